package sheetstest

import (
	"fmt"
	"math"
	"strings"
)

// measure is what a column holds, for the ways of writing it.
type measure uint8

const (
	plain  measure = iota // a count, a word or a text: as it is
	length                // a length; the heading names its unit
	gauge                 // a length that may also be a wire gauge
	angle                 // degrees
)

// column is one column as a generated list has it.
type column struct {
	key     string
	heading string
	measure measure
	mm      bool // the heading's unit, of a length
}

// columnKind is a column that a list may have, by its input.
type columnKind struct {
	key      string
	measure  measure
	ownUnit  bool     // its heading may name the other unit
	spare    bool     // no row loses what it needs where the column is left out
	headings []string // %s stands for the unit
}

func columnKinds() []columnKind {
	return []columnKind{
		{"mark", plain, false, false, []string{"Joint", "Joint no.", "Mark", "Weld no."}},
		{"car", plain, false, false, []string{"Car"}},
		{"section", plain, false, true, []string{"Where", "Section"}},
		{"kind", plain, false, false, []string{"Kind", "Joint type", "Kind of joint"}},
		{"qty", plain, false, false, []string{"Qty", "Qty/car", "No. off"}},
		{"od", length, false, false, []string{"OD (%s)", "O.D. %s", "Tube OD, %s"}},
		{"wall", gauge, false, false, []string{"Wall (%s)", "Wall thk. [%s]", "Wall %s"}},
		{"alloy", plain, false, true, []string{"Grade", "Alloy"}},
		{"to_alloy", plain, false, true, []string{"To grade", "To material"}},
		{"run_od", length, false, false, []string{"Main OD (%s)", "Main OD %s"}},
		{"run_wall", gauge, true, true, []string{"Main wall (%s)"}},
		{"branch_angle", angle, false, true, []string{"Branch angle °", "Branch angle"}},
		{"bend", angle, false, false, []string{"Bend °", "Bend"}},
		{"pie_angle", angle, false, true, []string{"Pie angle °", "Pie angle (deg)"}},
		{"ends", plain, false, true, []string{"Ends"}},
		{"clr", length, true, true, []string{"CLR (%s)", "CLR, %s"}},
		{"leg", length, true, true, []string{"Leg (%s)", "Leg %s"}},
		{"sides", plain, false, true, []string{"Sides"}},
		{"gap", length, true, true, []string{"Gap (%s)", "Root gap (%s)"}},
		{"weld_length", length, true, false, []string{"Weld length (%s)", "Weld length %s"}},
		{"passes", plain, false, true, []string{"Passes"}},
		{"filler", plain, false, true, []string{"Filler"}},
		{"wire", length, true, true, []string{"Filler wire (%s)"}},
		{"setup", plain, false, true, []string{"Shielding", "Set-up"}},
		{"tube", length, true, true, []string{"Tube length (%s)", "Tube length\n%s"}},
		{"purge_length", length, true, true, []string{"Purge length (%s)"}},
		{"purges", plain, false, true, []string{"Purges"}},
		{"colour", plain, false, true, []string{"Colour", "Weld color"}},
		{"drawing", plain, false, true, []string{"Drawing"}},
		{"remark", plain, false, true, []string{"Remarks"}},
	}
}

// columns picks the columns of a list, their headings and their order.
func (g *generator) columns(cars bool) []column {
	var cols []column
	for _, k := range columnKinds() {
		if k.key == "car" && !cars || k.spare && g.chance(0.2) {
			continue
		}
		c := column{key: k.key, measure: k.measure, mm: g.metric}
		if k.ownUnit && g.chance(0.25) {
			c.mm = !c.mm
		}
		c.heading = oneOf(g, k.headings...)
		if strings.Contains(c.heading, "%s") {
			c.heading = fmt.Sprintf(c.heading, map[bool]string{false: "in", true: "mm"}[c.mm])
		}
		cols = append(cols, c)
	}
	g.rng.Shuffle(len(cols), func(i, j int) { cols[i], cols[j] = cols[j], cols[i] })
	return cols
}

// inBook is a length in the book's unit, on its way to a cell.
type inBook float64

// cell writes a value as a shop might: mostly as a number in the unit of the
// heading, and one time in twelve as text.
func (g *generator) cell(v any, c column) any {
	odd := g.chance(1.0 / 12)
	switch v := v.(type) {
	case inBook:
		inches, mm := float64(v), float64(v)*mmPerInch
		if g.metric {
			inches, mm = float64(v)/mmPerInch, float64(v)
		}
		if odd {
			return g.lengthText(inches, mm, c)
		}
		if c.mm {
			return round(mm, 2)
		}
		return round(inches, 4)
	case float64:
		if odd && c.measure == angle {
			return fmt.Sprintf(oneOf(g, "%g°", "%g deg", "%g"), v)
		}
	}
	return v
}

func (g *generator) lengthText(inches, mm float64, c column) string {
	ways := []string{fmt.Sprintf("%.4g mm", mm), fmt.Sprintf("%.4gmm", mm), fmt.Sprintf("%.4g in", inches)}
	if !c.mm && inches < 1 {
		ways = append(ways, strings.TrimPrefix(fmt.Sprintf("%.4f", inches), "0"))
	}
	if ga := birmingham(inches); ga != "" && c.measure == gauge {
		ways = append(ways, ga)
	}
	if text := sixteenths(inches); text != "" {
		ways = append(ways, text+`"`, text+" in")
		if !c.mm {
			ways = append(ways, text)
		}
	}
	return oneOf(g, ways...)
}

// birmingham writes some walls, in inches, as their gauge; "" for the others.
// Source: Birmingham wire gauge, as in public engineering tables.
func birmingham(inches float64) string {
	switch round(inches, 4) {
	case 0.065:
		return "16 ga"
	case 0.049:
		return "18ga"
	case 0.035:
		return "20 ga"
	}
	return ""
}

// sixteenths writes inches as a fraction, "" where they are none.
func sixteenths(inches float64) string {
	n := math.Round(inches * 16)
	if n < 1 || math.Abs(inches*16-n) > 1e-9 {
		return ""
	}
	whole, over, under := int(n)/16, int(n)%16, 16
	for over > 0 && over%2 == 0 {
		over, under = over/2, under/2
	}
	switch {
	case over == 0:
		return fmt.Sprint(whole)
	case whole == 0:
		return fmt.Sprintf("%d/%d", over, under)
	default:
		return fmt.Sprintf("%d %d/%d", whole, over, under)
	}
}

func round(x float64, places int) float64 {
	p := math.Pow(10, float64(places))
	return math.Round(x*p) / p
}
