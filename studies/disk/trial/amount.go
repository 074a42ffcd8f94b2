package trial

import "os"

// Stage says whether, of n things, the i-th ends another tenth, which the long forms tell.
func Stage(i, n int) bool { return n >= 200 && i > 0 && i%(n/10) == 0 }

// Amount is how much of something a test of reliability does: `long` and `ci` where the environment
// has ONEGRAIN_RELIABILITY=long or ci, `short`, a few seconds at most, otherwise.
func Amount(short, ci, long int) int {
	switch os.Getenv("ONEGRAIN_RELIABILITY") {
	case "ci":
		return ci
	case "long":
		return long
	}
	return short
}
