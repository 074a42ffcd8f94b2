package number

import "math"

const erx = 8.45062911510467529297e-01 // erf(1) to 24 bits: the middle range is counted from it

// Erf is the error function 2/√π ∫₀ˣ e^(−t²) dt (msun s_erf.c).
func Erf(x float64) float64 {
	a := math.Abs(x)
	var y float64
	switch {
	case x != x:
		return x
	case a < 0x1p-28: // the series in x² would underflow and add nothing
		return mad(x, 1.28379167095512586316e-01, x)
	case a < 0.84375:
		return mad(x, erfSmall(float64(x*x)), x)
	case a < 1.25:
		y = erx + erfMiddle(a-1)
	case a < 6:
		y = 1 - erfcTail(a)
	default:
		y = 1
	}
	return math.Copysign(y, x)
}

// Erfc is 1 − Erf(x) without the cancellation for large x; 0 beyond 28.
func Erfc(x float64) float64 {
	a := math.Abs(x)
	switch {
	case x != x:
		return x
	case x < 0.25 && x > -0.84375:
		return 1 - Erf(x)
	case a < 0.84375:
		return 0.5 - (float64(x*erfSmall(float64(x*x))) + (x - 0.5))
	case x <= -0.84375:
		return 1 + Erf(a)
	case a < 1.25:
		return (1 - erx) - erfMiddle(a-1)
	case a < 28:
		return erfcTail(a)
	}
	return 0
}

// erfSmall is erf(x)/x − 1 as a function of z = x² < 0.84375².
func erfSmall(z float64) float64 {
	p := poly(z,
		-2.37630166566501626084e-05, -5.77027029648944159157e-03, -2.84817495755985104766e-02,
		-3.25042107247001499370e-01, 1.28379167095512558561e-01)
	return p / poly(z,
		-3.96022827877536812320e-06, 1.32494738004321644526e-04, 5.08130628187576562776e-03,
		6.50222499887672944485e-02, 3.97917223959155352819e-01, 1)
}

// erfMiddle is erf(1+s) − erx for −0.15625 ≤ s < 0.25.
func erfMiddle(s float64) float64 {
	p := poly(s,
		-2.16637559486879084300e-03, 3.54783043256182359371e-02, -1.10894694282396677476e-01,
		3.18346619901161753674e-01, -3.72207876035701323847e-01, 4.14856118683748331666e-01,
		-2.36211856075265944077e-03)
	return p / poly(s,
		1.19844998467991074170e-02, 1.36370839120290507362e-02, 1.26171219808761642112e-01,
		7.18286544141962662868e-02, 5.40397917702171048937e-01, 1.06420880400844228286e-01, 1)
}

// erfcTail is erfc(x) for 1.25 ≤ x < 28. e^(−x²) is taken in two factors, the first of an exact
// square.
func erfcTail(x float64) float64 {
	s := 1 / float64(x*x)
	ratio := erfcNear(s)
	if x >= 1/0.35 {
		ratio = erfcFar(s)
	}
	z := math.Float64frombits(math.Float64bits(x) &^ (1<<32 - 1))
	return float64(Exp(-float64(z*z)-0.5625)*Exp(float64((z-x)*(z+x))+ratio)) / x
}

// erfcNear is log(x·erfc(x)) + x² + 0.5625 as a function of s = 1/x², 1.25 ≤ x < 1/0.35.
func erfcNear(s float64) float64 {
	p := poly(s,
		-9.81432934416914548592e+00, -8.12874355063065934246e+01, -1.84605092906711035994e+02,
		-1.62396669462573470355e+02, -6.23753324503260060396e+01, -1.05586262253232909814e+01,
		-6.93858572707181764372e-01, -9.86494403484714822705e-03)
	return p / poly(s,
		-6.04244152148580987438e-02, 6.57024977031928170135e+00, 1.08635005541779435134e+02,
		4.29008140027567833386e+02, 6.45387271733267880336e+02, 4.34565877475229228821e+02,
		1.37657754143519042600e+02, 1.96512716674392571292e+01, 1)
}

// erfcFar is the same for 1/0.35 ≤ x < 28.
func erfcFar(s float64) float64 {
	p := poly(s,
		-4.83519191608651397019e+02, -1.02509513161107724954e+03, -6.37566443368389627722e+02,
		-1.60636384855821916062e+02, -1.77579549177547519889e+01, -7.99283237680523006574e-01,
		-9.86494292470009928597e-03)
	return p / poly(s,
		-2.24409524465858183362e+01, 4.74528541206955367215e+02, 2.55305040643316442583e+03,
		3.19985821950859553908e+03, 1.53672958608443695994e+03, 3.25792512996573918826e+02,
		3.03380607434824582924e+01, 1)
}
