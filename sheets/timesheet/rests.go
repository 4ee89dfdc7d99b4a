package timesheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"seamtally/compute"
	"seamtally/compute/floor"
	"seamtally/compute/formula"
	"seamtally/compute/model"
)

// Rest is something that an estimate rests on: a number, or a text.
type Rest struct {
	What, Unit string
	Num        float64 // NaN for a text
	Text       string
}

// Same reports whether two are equal, as far as a workbook keeps digits.
func (r Rest) Same(o Rest) bool {
	return strings.EqualFold(r.Text, o.Text) && (r.Num == o.Num || math.IsNaN(r.Num) && math.IsNaN(o.Num) || math.Abs(r.Num-o.Num) <= 1e-9*math.Abs(r.Num))
}

// String is the value in words.
func (r Rest) String() string {
	if math.IsNaN(r.Num) {
		return r.Text
	}
	return strings.TrimSpace(formula.GeneralText(formula.Round(r.Num, 6)) + " " + r.Unit)
}

// restNone stands where there is no value.
const restNone = "none"

// RestsOn is what the minutes and the argon of a car rest on, apart from the factors,
// which are 100 %, and from what each order settles for itself. Allowance is in the
// clocked minutes.
func RestsOn(m *model.Model, v *compute.Values) (out []Rest) {
	cars := m.ClosingScope("cars")
	behind := m.Behind(cars.Quantity(floor.KeyMinutes), cars.Quantity(floor.KeyArgon))
	behind[m.Singles.Quantity(KeyAllowance)] = true
	stages := model.StageFactors()
	apart := append(stages[:], model.GasFactor, floor.KeyLearning)
	add := func(q *model.Quantity, f *formula.Frame, what string) {
		r := Rest{What: what, Unit: model.UnitLabel(q), Num: math.NaN()}
		switch digits := q.Digits(f); {
		case digits == "":
			r.Text = restNone
		case q.IsText():
			r.Text = digits
		default:
			if r.Num = q.Num(f); q.Unit.String() == "%" {
				r.Num, r.Unit = 100*r.Num, "%"
			}
			r.Num, _ = tidy(r.Num).(float64)
		}
		out = append(out, r)
	}
	for _, q := range m.Singles.Quantities {
		if q.Role == model.Assumption && behind[q] && !q.Anew && !slices.Contains(apart, q.Key) && !strings.HasPrefix(q.Key, "default_") {
			add(q, v.Singles, q.Key)
		}
	}
	for _, t := range m.Tables {
		if slices.Contains([]string{"cars", "parts", "edge"}, t.Name) {
			continue // an order's own, and what nobody sets
		}
		name := t.Quantity("name")
		for i, f := range v.Rows(t).Frames {
			by := fmt.Sprintf("line %d", i+1)
			if name != nil {
				by = name.Text(f)
			}
			for _, q := range t.Quantities {
				if q.Role == model.Column && behind[q] && q != name {
					add(q, f, fmt.Sprintf("%s.%s of %s", t.Name, q.Key, by))
				}
			}
		}
	}
	return out
}
