package evidence

import (
	_ "embed" // the page that was kept
	"encoding/json"
	"fmt"
)

//go:embed evidence.json
var kept []byte

// Kept is the page as it was when `make evidence-page` last wrote it, for reports. Its ModelVersion tells whether it is of the physics at
// hand.
func Kept() (Page, error) {
	var p Page
	if err := json.Unmarshal(kept, &p); err != nil {
		return p, fmt.Errorf("analysis/evidence/evidence.json: %w: make it anew with `make evidence-page`", err)
	}
	return p, nil
}
