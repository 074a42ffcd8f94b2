// Package grains holds the items of the evidence that look at grains: how they share a body, how they are turned, where they meet,
// how they divide into sectors, and how all of that converges.
//
//  1. [Items] lists them; each has a file of its own, itemN.go, and asks the same in two and in three dimensions where it exists.
//  2. A scene writes a study as a user would (scene.go); the door runs it; tables and volumes come back.
//  3. What is expected comes from closed forms, quadratures and symmetry groups written here, apart from the engine's own.
package grains

import "onegrain/analysis/evidence"

// Items are 4, 5, 6, 7 and 9 of the battery.
func Items() []evidence.Item {
	return []evidence.Item{tessellations(), disorientations(), twoSeeds(), growthSectors(), convergence()}
}
