package model

import (
	"crypto/sha256"
	"fmt"
)

// Fingerprint is a short text that changes whenever a formula of the model as it
// is printed, or the unit of a figure, does: two workbooks that show the same one
// were worked out alike. Names stand for cells.
func (m *Model) Fingerprint() string {
	h := sha256.New()
	name := func(table, key string) (string, error) { return table + "." + key, nil }
	for _, s := range m.all() {
		for _, q := range s.Quantities {
			printed := ""
			if q.formula != nil {
				printed, _ = q.formula.Print(name) // every name has one
			}
			fmt.Fprintln(h, q.ID(), q.Unit, printed)
			if q.Role == Check && s.Once() {
				fmt.Fprintln(h, q.VerdictFormula(q.Key))
			}
		}
	}
	return fmt.Sprintf("%x", h.Sum(nil)[:4])
}
