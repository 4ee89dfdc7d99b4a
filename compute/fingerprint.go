package compute

import (
	"crypto/sha256"
	"fmt"
)

// Fingerprint is a short text that changes whenever a formula of the model, or
// the unit of a figure, does: two workbooks that show the same one were worked
// out alike.
func (m *Model) Fingerprint() string {
	h := sha256.New()
	for _, s := range m.scopes() {
		for _, q := range s.Quantities {
			fmt.Fprintln(h, q.ID(), q.Unit, q.src.Text)
		}
	}
	return fmt.Sprintf("%x", h.Sum(nil)[:4])
}
