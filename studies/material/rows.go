// Package material holds the values of melts and crystals behind material.base of a study, each
// with its source and how sure it is. They stand in rows.toml.
package material

import (
	_ "embed"
	"errors"
	"fmt"
	"math"

	"github.com/BurntSushi/toml"

	"onegrain/studies/strict"
	"onegrain/studies/unit"
)

// Property is one value of a material.
type Property struct {
	Key   string `json:"key"`   // of a study, as "material.peritectic_C"
	Value any    `json:"value"` // the name of a law, or a float64 in the unit of the key
	Unit  string `json:"unit"`
	// "read in the source", "from memory, high | medium | low confidence", "derived here", "calibrated
	// here", "assumed here"
	Sure   string `json:"sure"`
	Source string `json:"source"`
}

// Row is one material. What it does not give, the study has to.
type Row struct {
	Name       string     `json:"name"`
	Remark     string     `json:"remark"`
	Properties []Property `json:"properties" toml:"property"`
}

//go:embed rows.toml
var rows string

// Rows is the table behind material.base, in the order in which it is shown.
func Rows() []Row {
	var all struct{ Row []Row }
	if _, err := toml.Decode(rows, &all); err != nil {
		panic("the table of materials: " + err.Error()) // not reached: it is embedded above
	}
	for _, m := range all.Row {
		for i, p := range m.Properties {
			m.Properties[i].Unit = unit.Of(p.Key).Text
		}
	}
	return all.Row
}

// Find is the row of a name; the error says that there is none, and which may have been meant.
func Find(name string) (Row, error) {
	var names strict.Schema
	for _, m := range Rows() {
		if m.Name == name {
			return m, nil
		}
		names = append(names, strict.Field{Key: m.Name})
	}
	if near := names.Nearest(name); near != "" {
		return Row{}, fmt.Errorf("no such material; did you mean %q?", near)
	}
	return Row{}, errors.New("no such material; `onegrain materials` lists them")
}

// Number is a number of the row by its key, in the unit of the key; NaN where the row gives none.
func (m Row) Number(key string) float64 {
	for _, p := range m.Properties {
		if x, ok := p.Value.(float64); ok && p.Key == key {
			return x
		}
	}
	return math.NaN()
}
