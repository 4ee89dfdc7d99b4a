package compute_test

import (
	"fmt"
	"hash/fnv"
	"math/rand/v2"

	"seamtally/compute/model"
)

// randomJob is a sound order: every single assumption somewhere in its usual
// range, the tables varied, and rows of every kind.
func randomJob(m *model.Model, d dice, lines int) job {
	j := job{singles: randomSingles(m, d), tables: map[string][]row{}}
	j.tables["setups"] = randomSetups(d)
	j.tables["kinds"] = []row{
		{"name": "butt", "travel_factor": d.between(0.8, 1.2, 40), "cuts": d(3), "extra": d.between(0, 3, 30), "closes": "yes"},
		{"name": "pie cut", "travel_factor": d.between(0.8, 1.2, 40), "cuts": 0, "extra": d.between(0, 3, 30), "closes": "yes"},
		{"name": "fillet", "travel_factor": d.between(0.6, 1, 40), "cuts": 0, "extra": 0, "closes": "yes"},
		{"name": "branch", "travel_factor": d.between(0.6, 1, 40), "cuts": 1, "extra": d.between(5, 20, 30), "closes": "yes"},
		{"name": "seam", "travel_factor": 1, "cuts": 0, "extra": 0, "closes": "no"},
	}
	j.tables["walls"] = []row{ // no wall of the trade: a bound that was converted is not met to the last bit
		{"to": d.between(0.0305, 0.0455, 15), "factor": d.between(1, 1.3, 30)},
		{"to": d.between(0.0505, 0.0605, 10), "factor": 1},
		{"to": 0.0705, "factor": 0.85},
		{"factor": d.between(0.5, 0.8, 30)},
	}
	j.tables["alloys"] = []row{
		{"name": "grade 2", "family": "titanium", "density": 0.163, "colour_rule": "yes"},
		{"name": "Ti-3Al-2.5V", "family": "titanium", "density": 0.162, "colour_rule": "yes"},
		{"name": "304L", "family": "stainless", "density": 0.286, "colour_rule": "no"},
		{"name": "alloy 625", "family": "nickel", "density": 0.305, "colour_rule": "no"},
	}
	for range 1 + d(6) {
		size := row{
			"alloy": d.of(alloys...), "od": d.some(ods...), "wall": d.some(walls...),
			"price": d.between(5, 80, 7500), "stick": d.between(3, 20, 34), "charge": d.of("used", "whole sticks"),
		}
		if d.odds(4) { // charged by the stick, of a length that nobody typed
			delete(size, "stick")
		}
		j.tables["stock"] = append(j.tables["stock"], size)
	}
	for range 1 + d(4) {
		j.tables["fillers"] = append(j.tables["fillers"], row{
			"alloy": d.of(alloys...), "wire": d.some(wires...),
			"price": d.between(10, 120, 1100), "density": d.between(0.15, 0.31, 160), "length": d.between(24, 40, 16),
		})
	}
	cars := 1 + d(3)
	for i := range cars {
		car := row{"name": fmt.Sprintf("Spec %d", i+1), "ordered": 1 + d(12)}
		if d.odds(2) {
			car["bid"] = d.between(500, 9000, 340)
		}
		j.tables["cars"] = append(j.tables["cars"], car)
	}
	for range d(6) {
		part := row{"item": "part", "car": d.of("all", "", "Spec 1", fmt.Sprintf("Spec %d", cars)), "quantity": d.some(0, 1, 2, 3, 0.5), "per": d.of("car", "order", ""), "learns": d.of("yes", "no", "")}
		if d.odds(2) {
			part["hours_each"] = d.between(0, 5, 100)
		}
		if d.odds(2) {
			part["cost_each"] = d.between(0, 300, 300000)
		}
		j.tables["parts"] = append(j.tables["parts"], part)
	}
	busy := 1 + d(cars) // the cars behind it have no rows
	for range lines {
		r := randomLine(d, fmt.Sprintf("Spec %d", 1+d(busy)), j.tables["stock"])
		j.lines = append(j.lines, r)
	}
	return j
}

var (
	alloys = []string{"grade 2", "Ti-3Al-2.5V", "304L", "alloy 625"}
	ods    = []float64{1.5, 1.75, 2, 2.25, 2.375, 2.5, 3, 3.0625, 3.5, 4}
	walls  = []float64{0.028, 0.035, 0.039, 0.047, 0.049, 0.0625, 0.065, 0.083, 0.12}
	wires  = []float64{0.03, 0.035, 0.045, 0.0625, 0.094}
)

// randomSingles sets every assumption that is a number; a count stays whole. Each is
// drawn for itself, so that a new one changes none of the others.
func randomSingles(m *model.Model, d dice) row {
	r := row{
		"default_kind": d.of("butt", "fillet"), "default_alloy": d.of(alloys...), "default_filler": d.of("yes", "no"),
		"default_setup": d.of(setups...), "default_colour": d.of("bright", "straw", "blue"), "default_ends": d.of("half", "full"),
		"gas_lines": d.of("apart", "together"),
	}
	whole := map[string]bool{
		"default_qty": true, "default_passes": true, "tacks_least": true, "coupons": true, "welders": true,
	}
	seed := uint64(d(1 << 30))
	for _, q := range m.Singles.Quantities {
		key := fnv.New64a()
		key.Write([]byte(q.Key))
		d := dice(rand.New(rand.NewPCG(seed, key.Sum64())).IntN)
		switch {
		case q.Role != model.Assumption || q.IsText():
		case q.Key == "default_sides": // two sides are for fillets only
			r[q.Key] = 1
		case whole[q.Key]:
			r[q.Key] = q.Low + float64(d(int(q.High-q.Low)+1))
		default:
			r[q.Key] = d.between(q.Low, q.High, 1000)
		}
	}
	r["default_wire"] = d.some(wires...)
	r["coupons"] = d(7)                                        // with none, a car without rows costs nothing
	r["price_step"] = d.some(1, 5, 10, 25, 50, 100, 500, 0.05) // whole cents, as a price is
	r["minimum_order"] = d.some(0, 0, 2000, 1e6)
	return r
}

var setups = []string{"cup, stop and start", "trailing shield, on rolls", "trailing shield, by hand", "open bench"}

func randomSetups(d dice) []row {
	var list []row
	for i, name := range setups {
		s := row{
			"name": name, "cup_bore": d.between(0.5, 1.25, 12), "bead_share": 0, "travel": d.between(1.5, 6, 90),
			"torch_flow": d.between(15, 45, 60), "trail_flow": d.between(0, 40, 80), "purge_flow": d.between(10, 40, 60),
			"purge_hold": d.between(5, 20, 30), "pre_flow": d.between(0, 4, 8), "post_flow": d.between(5, 25, 40),
			"reposition": d.between(0, 10, 20), "mount": d.between(0, 5, 10),
		}
		if d.odds(3) {
			s["fits"] = d.of("butt", "butt, pie cut", "fillet")
		}
		switch i {
		case 0:
			s["bead_share"] = d.between(0.2, 0.7, 50)
		case 2:
			s["longest_run"] = d.between(1.5, 6, 18)
		case 3: // nothing is filled
			s["purge_flow"], s["longest_run"] = 0, d.between(0.5, 4, 35)
		}
		list = append(list, s)
	}
	return list
}

// randomLine is a sound joint row; a cell is left blank as often as not.
func randomLine(d dice, car string, stock []row) row {
	r := row{"car": car, "od": d.some(ods...), "wall": d.some(walls...), "kind": d.of("butt", "pie cut", "fillet", "branch", "seam")}
	if d.odds(4) { // sizes that no table lists
		r["od"], r["wall"] = d.between(1, 6, 5000), d.between(0.02, 0.2, 180)
	}
	metals := d.of("titanium", "other", "")
	if d.odds(3) { // a size that is in stock
		size := stock[d(len(stock))]
		r["alloy"], r["od"], r["wall"], metals = size["alloy"], size["od"], size["wall"], ""
	}
	if d.odds(8) {
		delete(r, "kind")
	}
	maybe := func(key string, x any) {
		if d.odds(2) {
			r[key] = x
		}
	}
	maybe("qty", d(7))
	if metals != "" {
		of := alloys[:2]
		if metals == "other" { // joined as they come: only titanium is particular
			of = alloys[2:]
		}
		r["alloy"] = d.of(of...)
		maybe("to_alloy", d.of(of...))
	}
	maybe("passes", 1+d(3))
	maybe("filler", d.of("yes", "no"))
	maybe("wire", d.some(wires...))
	maybe("setup", d.of(setups...))
	maybe("colour", d.of("bright", "straw", "blue"))
	maybe("gap", d.between(0, 0.06, 60))
	maybe("tube", d.between(0, 120, 1200))
	maybe("purge_length", d.between(0, 60, 600))
	maybe("purge_bore", d.between(0.5, 6, 550))
	maybe("purges", d.some(0, 1, 0.5, 0.25, 2))
	maybe("extra", d.between(0, 30, 60))
	maybe("clr", r.num("od", 0)*d.some(0.75, 1, 1.5, 2, 3))
	maybe("leg", d.between(0.03, 0.3, 270))
	od := r.num("od", 0)
	if d.odds(4) { // what only another kind of joint needs
		r["bend"], r["run_od"], r["branch_angle"] = d.some(30, 90), od*1.5, 60
	}
	switch r["kind"] {
	case "pie cut":
		r["bend"] = d.some(15, 22.5, 30, 45, 60, 90, 100, 137, 180, 360)
		maybe("pie_angle", d.some(6, 7.5, 10, 15, 18, 22.5, 30, 45, 80))
		maybe("ends", d.of("half", "full"))
	case "fillet":
		maybe("sides", 1+d(2))
	case "branch":
		r["run_od"] = od * d.some(1, 1.02, 1.1, 1.25, 1.5, 2, 4)
		maybe("run_wall", d.between(0.02, 0.12, 100))
		maybe("branch_angle", d.between(20, 90, 140))
		if d.odds(5) {
			delete(r, "run_od")
			r["weld_length"] = d.between(1, 30, 580)
		}
	case "seam":
		r["weld_length"] = d.between(0.5, 60, 1190)
	}
	if d.odds(6) {
		r["weld_length"] = d.between(0.25, 40, 795)
	}
	return r
}
