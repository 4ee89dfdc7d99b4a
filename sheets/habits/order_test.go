package habits_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
)

// joint is what one row of a list means, by input: numbers in the units of the
// book, and the program's own words. What is not there has its default.
type joint map[string]any

// car is a car spec that the order means.
type car struct {
	name    string
	ordered int
	bid     float64 // 0 = none
}

// size is a tube in stock, in inches or millimetres. All are among those shipped,
// so that no price is missing.
type size struct{ od, wall float64 }

func sizes(metric bool) []size {
	if metric {
		return []size{{38, 1}, {45, 1}, {50.8, 0.9}, {50.8, 1.2}, {63.5, 1}, {63.5, 1.2}, {63.5, 1.5}, {76.1, 1}, {76.1, 1.2}, {76.1, 1.5}, {88.9, 1.2}}
	}
	return []size{{1.5, 0.035}, {2, 0.035}, {2, 0.049}, {2.5, 0.035}, {2.5, 0.047}, {2.5, 0.049}, {2.5, 0.065}, {3, 0.035}, {3, 0.047}, {3, 0.049}, {3.5, 0.047}, {3.5, 0.049}, {4, 0.049}}
}

// The inputs in the order in which lists have them, with the heading that the
// README gives for each, and the kind of thing that stands there.
var inputs = []struct{ key, head, takes string }{
	{"mark", "Joint no", ""},
	{"car", "Car", ""},
	{"section", "Section", ""},
	{"kind", "Kind", ""},
	{"qty", "Qty", ""},
	{"od", "OD", "length"},
	{"wall", "Wall", "length"},
	{"alloy", "Alloy", ""},
	{"bend", "Bend angle", "angle"},
	{"pie_angle", "Pie angle", "angle"},
	{"clr", "CLR", "length"},
	{"ends", "End pies", ""},
	{"run_od", "Main OD", "length"},
	{"branch_angle", "Branch angle", "angle"},
	{"leg", "Leg", "length"},
	{"sides", "Sides", ""},
	{"gap", "Root gap", "length"},
	{"weld_length", "Weld length", "length"},
	{"passes", "Passes", ""},
	{"filler", "Filler", ""},
	{"wire", "Wire dia", "length"},
	{"setup", "Set-up", ""},
	{"tube", "Tube length", "length"},
	{"purge_length", "Purge length", "length"},
	{"purges", "Purges per joint", ""},
	{"colour", "Weld colour", ""},
}

func pick[T any](r *rand.Rand, from ...T) T { return from[r.IntN(len(from))] }

// step gives a number from low to high in steps.
func step(r *rand.Rand, low, high, by float64) float64 {
	n := int(math.Round((high - low) / by))
	return round(low + by*float64(r.IntN(n+1)))
}

// round takes off the dust that a product leaves behind the ninth place.
func round(x float64) float64 { return math.Round(x*1e9) / 1e9 }

// drawKeys says which inputs a shop's lists have columns for.
func drawKeys(r *rand.Rand, needs, without []string) []string {
	likely := map[string]float64{
		"mark": 0.95, "kind": 0.9, "qty": 0.9, "section": 0.2, "alloy": 0.3, "bend": 0.6, "pie_angle": 0.6, "clr": 0.4,
		"ends": 0.1, "run_od": 0.3, "branch_angle": 0.3, "leg": 0.2, "sides": 0.1, "gap": 0.1, "weld_length": 0.2, "passes": 0.1,
		"filler": 0.2, "wire": 0.1, "setup": 0.3, "tube": 0.4, "purge_length": 0.2, "purges": 0.1, "colour": 0.1,
	}
	has := map[string]bool{"od": true, "wall": true}
	for _, in := range inputs {
		has[in.key] = has[in.key] || r.Float64() < likely[in.key]
	}
	for _, k := range needs {
		has[k] = true
	}
	for _, k := range without {
		has[k] = false
	}
	// A column of a kind's own input makes no sense without its kind.
	has["kind"] = has["kind"] || slices.Contains(needs, "kind")
	for _, k := range []string{"bend", "run_od", "leg", "sides", "weld_length"} {
		if has[k] && !has["kind"] && !slices.Contains(without, "kind") {
			has["kind"] = slices.Contains(needs, k)
			has[k] = has["kind"]
		}
		has[k] = has[k] && has["kind"] || slices.Contains(needs, k)
	}
	for of, ks := range map[string][]string{"bend": {"pie_angle", "clr", "ends"}, "run_od": {"branch_angle"}} {
		for _, k := range ks {
			if has[k] && !has[of] {
				has[k] = slices.Contains(needs, k)
				has[of] = has[k]
				has["kind"] = has["kind"] || has[k]
			}
		}
	}
	var out []string
	for _, in := range inputs {
		if has[in.key] {
			out = append(out, in.key)
		}
	}
	return out
}

// drawJoint draws a joint of sense, with nothing that the lists have no column for.
func drawJoint(r *rand.Rand, metric bool, keys []string, mark string) joint {
	scale := 1.0
	if metric {
		scale = 25
	}
	all := sizes(metric)
	s := all[r.IntN(len(all))]
	has := func(k string) bool { return slices.Contains(keys, k) }
	kinds := []string{"butt", "butt", "butt"}
	var wider []size
	for _, w := range all {
		if w.od > s.od*1.1 {
			wider = append(wider, w)
		}
	}
	if has("kind") {
		kinds = append(kinds, "fillet")
		if has("bend") {
			kinds = append(kinds, "pie cut", "pie cut")
		}
		if has("run_od") && len(wider) > 0 {
			kinds = append(kinds, "branch")
		}
		if has("weld_length") {
			kinds = append(kinds, "seam")
		}
	}
	kind := pick(r, kinds...)
	j := joint{"mark": mark, "kind": kind, "qty": float64(1 + r.IntN(6)), "od": s.od, "wall": s.wall}
	some := func(p float64, key string, v any) {
		if r.Float64() < p {
			j[key] = v
		}
	}
	some(0.9, "section", pick[any](r, "front", "middle", "rear"))
	some(0.7, "alloy", "grade 2")
	some(0.5, "setup", pick[any](r, "cup, stop and start", "trailing shield, on rolls", "trailing shield, by hand"))
	some(0.5, "filler", pick[any](r, "yes", "no"))
	some(0.3, "passes", 2.0)
	some(0.3, "gap", round(s.wall*0.2))
	some(0.3, "wire", map[bool]float64{false: 0.045, true: 1.2}[metric])
	some(0.6, "tube", step(r, 2, 30, 0.5)*scale)
	some(0.5, "purge_length", step(r, 6, 30, 0.5)*scale)
	some(0.4, "purges", pick(r, 1.0, 2.0))
	some(0.3, "colour", pick[any](r, "straw", "bright", "blue"))
	switch kind {
	case "pie cut":
		pie := pick(r, 9.0, 10, 15, 18, 22.5, 30)
		n := 2 + r.IntN(int(180/pie)-1)
		if !has("pie_angle") {
			pie = 15
			n = 2 + r.IntN(6)
		}
		j["bend"], j["pie_angle"] = pie*float64(n), pie
		some(0.7, "clr", round(s.od*pick(r, 1.0, 1.5, 2)))
		some(0.4, "ends", pick[any](r, "half", "full"))
	case "branch":
		j["run_od"] = wider[r.IntN(len(wider))].od
		some(0.7, "branch_angle", pick(r, 90.0, 75, 60, 45))
	case "fillet":
		some(0.7, "leg", round(s.wall*pick(r, 1.0, 1.5, 2)))
		some(0.3, "sides", 2.0)
	case "seam":
		j["weld_length"] = step(r, 1, 20, 0.5) * scale
	}
	if kind == "fillet" {
		delete(j, "gap") // moves nothing there, and is questioned
	}
	if j["filler"] == "no" {
		delete(j, "wire")
	}
	for k := range j {
		if !has(k) {
			delete(j, k)
		}
	}
	return j
}

// drawOrder draws the cars and their joints. Every car has a joint with each of the
// inputs that are needed.
func drawOrder(r *rand.Rand, metric bool, keys, needs []string, cars, joints int) (specs []*car, lists [][]joint) {
	names := [][]string{{"Demo coupe", "Demo spyder", "Demo track"}, {"Car A", "Car B", "Car C"}, {"DX-1", "DX-2", "DX-3"}, {"Musterwagen 1", "Musterwagen 2", "Musterwagen 3"}}[r.IntN(4)]
	for i := range cars {
		specs = append(specs, &car{name: names[i], ordered: 1})
		n := max(3+r.IntN(6), len(needs))
		var list []joint
		for k := range n {
			mark := fmt.Sprintf("%c-%02d", 'A'+i, k+1)
			j := drawJoint(r, metric, keys, mark)
			for tries := 0; tries < 200 && k < len(needs) && j[needs[k]] == nil; tries++ {
				j = drawJoint(r, metric, keys, mark)
			}
			if k < joints {
				list = append(list, j)
			}
		}
		lists = append(lists, list)
	}
	blankIsYes(slices.Concat(lists...))
	return specs, lists
}

// blankIsYes has joints say that filler is added where all that say anything do: of
// blanks beside nothing but yes it is asked whether they mean no.
func blankIsYes(list []joint) {
	said := func(word string) bool {
		return slices.ContainsFunc(list, func(j joint) bool { return j["filler"] == word })
	}
	if !said("yes") || said("no") {
		return
	}
	for _, j := range list {
		j["filler"] = "yes"
	}
}
