package offer

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets"
)

// Told is a figure behind the price that stands in the shop's own words, where
// the customer would read it.
type Told struct {
	Number string // as typed
	Figure string // what it is: "Cost of Coupe"
	Cell   string // of the words
}

// fewestDigits is how long a number must be to be taken for a figure: shorter
// ones are in every text.
const fewestDigits = 4

// toldBy looks through the words on an offer for money and hours of the cars and
// the order other than the prices on it.
func toldBy(t *sheets.Run, r *Report) []Told {
	open := map[string]bool{}
	for _, x := range r.prices() {
		for _, s := range spellings(x) {
			open[s] = true
		}
	}
	behind := map[string]string{}
	note := func(s *model.Scope, f model.Figures, of string) {
		for _, q := range s.Quantities {
			x, there := f[q.Key]
			if !there || q.UnitOf != "$" && q.Unit.String() != "h" {
				continue
			}
			for _, s := range spellings(x) {
				if !open[s] && behind[s] == "" {
					behind[s] = q.Heading + " of " + of
				}
			}
		}
	}
	for _, s := range t.Model.Summary {
		if s.Name == "cars" {
			for _, c := range t.Report.Cars {
				note(s, c.Figures, c.Car)
			}
		}
	}
	note(t.Model.OrderOf, t.Report.Order, "the order")
	var out []Told
	for _, f := range r.Fields {
		for _, n := range numbersIn(f.Text) {
			if what := behind[strings.ReplaceAll(n, ",", "")]; what != "" {
				out = append(out, Told{Number: n, Figure: what, Cell: f.Cell})
			}
		}
	}
	return out
}

// prices are the figures that the customer is to see.
func (r *Report) prices() []float64 {
	out := []float64{r.Total, r.Extra}
	for _, c := range r.Cars {
		out = append(out, c.Each, c.All)
	}
	return out
}

// spellings are the ways in which a figure is typed, without commas.
func spellings(x float64) []string {
	var out []string
	for _, places := range []int{0, 1, 2} {
		s := strconv.FormatFloat(math.Abs(x), 'f', places, 64)
		if len(strings.ReplaceAll(s, ".", "")) >= fewestDigits {
			out = append(out, s)
		}
	}
	return out
}

// numbersIn are the numbers in a text, as they stand there.
func numbersIn(s string) []string {
	return regexp.MustCompile(`\d+(?:,\d{3})*(?:\.\d+)?`).FindAllString(s, -1)
}
