// Package battery holds the items of the evidence: what is asked, of whom the answer is known, and how the two are compared.
//
//  1. [All] lists the items, those of package grains included; each has a file of its own, itemN.go, and asks the same in two and in three dimensions where it exists.
//  2. An item writes its studies as text, as a user does, and reads the tables they leave.
//  3. What is expected comes from closed forms and quadratures written here, apart from the engine's own.
package battery

import (
	"onegrain/analysis/evidence"
	"onegrain/cmd/evidence/grains"
)

// All is the battery, in order.
func All() []evidence.Item {
	return append([]evidence.Item{
		lengths(), crystallisation(), survival(), practice(),
	}, grains.Items()...)
}
