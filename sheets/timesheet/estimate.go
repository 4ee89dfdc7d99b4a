package timesheet

import (
	"crypto/sha256"
	"fmt"
	"strings"

	"seamtally/compute/floor"
	"seamtally/compute/model"
	"seamtally/sheets"
)

// estimates are what the model makes of the cars of an order, and what that is of.
type estimates struct {
	floor.Order
	digest   string // SHA-256 of the quote
	complete bool
	metric   bool
	rests    []Rest
}

// KeyAllowance is the assumption that clocked minutes rest on, and stages do not.
const KeyAllowance = "allowance"

// estimated takes them from an order that is worked out.
func estimated(t *sheets.Run) (*estimates, error) {
	digest, err := t.InputSum()
	if err != nil {
		return nil, err
	}
	made, err := floor.Of(t.Order)
	if err != nil {
		return nil, err
	}
	return &estimates{*made, digest, t.Report.Complete, t.Model.System == model.Metric, RestsOn(t.Model, t.Values)}, nil
}

// seal is a digest of all that is compared with: a number that was changed by hand
// would make every factor wrong.
func (e *estimates) seal() string {
	h := sha256.New()
	fmt.Fprintf(h, "%s %t %t %t %.12g %.12g\n", e.digest, e.complete, e.metric, e.Together, e.Holds, e.Yield)
	for _, c := range e.Cars {
		fmt.Fprintf(h, "%s %.12g %.12g %.12g %.12g %.12g\n", strings.Join(strings.Fields(c.Name), " "), c.Stages, c.All, c.Fixed, c.Gas, c.Rods)
	}
	for _, r := range e.rests {
		fmt.Fprintf(h, "%s %.12g %s %s\n", r.What, r.Num, r.Text, r.Unit)
	}
	return fmt.Sprintf("%x", h.Sum(nil))[:sealDigits]
}

// sealDigits is how much of the digest is kept.
const sealDigits = 16
