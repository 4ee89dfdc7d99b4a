package compute_test

import "math"

// The plain implementation's cars and order.

// total is what the plain implementation makes of a whole job.
type total struct {
	lines []figures
	cars  []figures
	tube  map[int]figures // by the number of the stock line
	rods  map[int]figures
	order figures
}

// perCar are figures of the rows that a car adds up: the car's key, the row's
// key, and how many of the row's unit are one of the car's.
var perCar = []struct {
	car, line string
	per       float64
}{
	{"car_welds", "welds", 1}, {"car_stops", "line_stops", 1},
	{"car_arc", "line_arc", 60}, {"car_tail", "line_tail", 60}, {"car_regrip", "line_regrip", 60},
	{"car_saw", "saw_time", 60}, {"car_fit", "line_fit", 60}, {"car_tacks", "line_tacks", 60}, {"car_rigging", "line_rigging", 60},
	{"car_tending", "line_tending", 60}, {"car_floor", "floor_time", 60}, {"car_paced", "paced_time", 60},
	{"torch_car", "torch_gas", 1}, {"trail_car", "trail_gas", 1}, {"purge_car", "purge_gas", 1},
	{"car_argon", "argon", 1}, {"car_filler", "filler_mass", 1}, {"car_tube", "tube_used", 1},
	{"argon_money", "argon_cost", 1}, {"filler_money", "filler_cost", 1}, {"tube_money", "tube_cost", 1},
	{"sundries_money", "sundries", 1}, {"car_lines", "line_cost", 1},
}

func (s *shop) work() total {
	t := total{order: figures{}}
	for _, r := range s.lines {
		t.lines = append(t.lines, s.line(r))
	}
	o := t.order
	cars := s.tables["cars"]
	for i, c := range cars {
		f := figures{"car_no": float64(i + 1), "car_qty": c.num("ordered", 0), "bid": c.num("bid", 0), "rows": 0}
		for _, p := range perCar {
			f[p.car] = 0
		}
		for _, l := range t.lines {
			if int(l["car_no"]) != i+1 {
				continue
			}
			f["rows"]++
			for _, p := range perCar {
				f[p.car] += l[p.line] / p.per
			}
		}
		t.cars = append(t.cars, f)
		o["order_cars"] += f["car_qty"]
		o["tube_all"] += f["tube_money"] * f["car_qty"]
	}
	s.buy(&t)
	for i := range s.stock {
		o["offcut_all"] = cent(o["offcut_all"] + t.tube[i+1]["offcut"])
		o["tube_sticks"] = cent(o["tube_sticks"] + t.tube[i+1]["sticks_paid"])
		o["tube_priced"] = cent(o["tube_priced"] + t.tube[i+1]["tube_paid"])
		o["tube_rack"] = cent(o["tube_rack"] + t.tube[i+1]["rack"])
	}
	o["tube_unpriced"] = cent(o["tube_sticks"] - o["tube_priced"])
	o["tube_all"] = cent(o["tube_all"])
	for _, p := range s.tables["parts"] {
		if p.text("per", "") == "order" && s.owner(p) == 0 {
			o["shared_hours"] += p.num("quantity", 0) * p.num("hours_each", 0)
			o["shared_money"] += cent(p.num("quantity", 0) * p.num("cost_each", 0))
		}
	}
	for i := range t.cars {
		s.price(t.cars[i], o)
	}
	s.close(&t)
	return t
}

// owner is the number of the car that a part is for, 0 if it is for all.
func (s *shop) owner(part row) int { return at(s.tables["cars"], "name", part.text("car", "")) + 1 }

// price takes a car from its rows to its price.
func (s *shop) price(f, o figures) {
	n := f["car_qty"]
	for _, k := range []string{"parts_learn", "parts_plain", "parts_once", "parts_money", "once_money"} {
		f[k] = 0
	}
	for _, p := range s.tables["parts"] {
		own := s.owner(p) > 0
		if own && f["car_no"] != float64(s.owner(p)) {
			continue
		}
		hours, money := p.num("quantity", 0)*p.num("hours_each", 0), cent(p.num("quantity", 0)*p.num("cost_each", 0))
		switch {
		case p["per"] == "order" && own:
			f["parts_once"] += hours
			f["once_money"] += money
		case p["per"] == "order": // shared by all cars of the order
		case p["learns"] == "yes":
			f["parts_learn"] += hours
			f["parts_money"] += money
		default:
			f["parts_plain"] += hours
			f["parts_money"] += money
		}
	}
	f["learning"] = math.Pow(s.a("learning_slope"), math.Log2(n))
	byHand := f["car_floor"] - f["car_paced"]
	f["work_hours"] = (byHand+f["parts_learn"])*f["learning"] + f["car_paced"] + f["parts_plain"]
	f["once_hours"] = (s.a("coupons")*s.a("coupon_time")/60+f["parts_once"])/n + o["shared_hours"]/o["order_cars"]
	f["car_hours"] = (f["work_hours"] + f["once_hours"]) * (1 + s.a("allowance"))
	f["labour_car"] = cent(f["car_hours"] * s.a("shop_rate"))
	f["overhead_car"] = cent(f["labour_car"] * s.a("overhead"))
	f["materials"] = cent(f["argon_money"] + f["filler_money"] + f["tube_money"] + f["sundries_money"] + f["parts_money"])
	f["once_share"] = cent((s.a("coupons")*s.a("coupon_cost")+f["once_money"])/n + o["shared_money"]/o["order_cars"])
	f["rework_car"] = cent((f["labour_car"] + f["materials"]) * s.a("rework"))
	f["offcuts"] = 0
	if o["tube_all"] > 0 {
		f["offcuts"] = cent(o["offcut_all"] * f["tube_money"] / o["tube_all"])
	}
	f["direct"] = cent(f["labour_car"] + f["overhead_car"] + f["materials"] + f["once_share"] + f["rework_car"] + f["offcuts"])
	f["contingency_car"] = cent(f["direct"] * s.a("contingency"))
	f["cost_car"] = cent(f["direct"] + f["contingency_car"])
	step := s.a("price_step")
	f["price_car"] = up(f["cost_car"]/(1-s.a("margin"))*(1+s.a("rush"))/step) * step
	f["price_all"] = f["price_car"] * n
	if f["price_car"] > 0 {
		f["margin_made"] = 1 - f["cost_car"]/f["price_car"]
	}
	f["other_cost"] = (f["direct"] - f["labour_car"] - f["overhead_car"]) * (1 + s.a("contingency"))
	works := f["car_hours"] > 0
	if works {
		f["earned"] = (f["price_car"] - f["other_cost"]) / f["car_hours"]
	}
	if bid := f["bid"]; bid > 0 {
		f["bid_margin"] = 1 - f["cost_car"]/bid
		if works {
			f["bid_earned"] = (bid - f["other_cost"]) / f["car_hours"]
		}
	}
}

// buy is what stock the order takes.
func (s *shop) buy(t *total) {
	t.tube, t.rods = map[int]figures{}, map[int]figures{}
	need := func(of map[int]figures, no float64, key string, x float64) {
		if of[int(no)] == nil {
			of[int(no)] = figures{}
		}
		of[int(no)][key] += x
	}
	for _, l := range t.lines {
		need(t.tube, l["stock_no"], "tube_rows", 1)
		need(t.rods, l["rod_no"], "rod_rows", 1)
		need(t.tube, l["stock_no"], "tube_needed", l["tube_order"])
		need(t.rods, l["rod_no"], "rod_needed", l["rod_order"])
	}
	for no, f := range t.tube {
		st := s.stock[no-1]
		f["stock_no"], f["sticks"], f["tube_bought"] = float64(no), 0, f["tube_needed"]
		if length := st.num("stick", 0); length > 0 {
			f["sticks"] = up(f["tube_needed"] / length)
			if st["charge"] == "whole sticks" {
				f["tube_bought"] = f["sticks"] * length
			}
		}
		f["tube_paid"] = cent(f["tube_bought"] * st.num("price", 0))
		whole := f["tube_needed"]
		if length := st.num("stick", 0); length > 0 {
			whole = f["sticks"] * length
		}
		f["stick_whole"] = whole
		f["sticks_paid"] = cent(whole * st.num("price", 0))
		f["rack"] = cent(f["sticks_paid"] - cent(f["tube_needed"]*st.num("price", 0)))
		f["offcut"] = cent(f["tube_paid"] - cent(f["tube_needed"]*st.num("price", 0)))
	}
	for no, f := range t.rods {
		rod := s.fillers[no-1]
		f["rod_no"], f["rods"] = float64(no), 0
		if length := rod.num("length", 0); length > 0 {
			f["rods"] = up(f["rod_needed"] / length)
		}
		wire := rod.num("wire", 0)
		f["rod_bought"] = f["rods"] * rod.num("length", 0)
		f["rod_mass"] = f["rod_bought"] * math.Pi / 4 * wire * wire * rod.num("density", 0)
	}
}

// close adds up the cars to the order.
func (s *shop) close(t *total) {
	o := t.order
	sum := func(key string, cars ...string) {
		o[key] += 0
		for _, f := range t.cars {
			for _, k := range cars {
				o[key] += f[k] * f["car_qty"]
			}
		}
	}
	for key, car := range map[string]string{
		"order_welds": "car_welds", "order_stops": "car_stops", "order_arc": "car_arc", "order_hours": "car_hours",
		"order_argon": "car_argon", "order_filler": "car_filler", "order_tube": "car_tube", "order_cost": "cost_car",
		"order_priced": "price_car", "order_bid": "bid",
		"hours_saw": "car_saw", "hours_fit": "car_fit", "hours_tacks": "car_tacks", "hours_rigging": "car_rigging",
		"hours_arc": "car_arc", "hours_tail": "car_tail", "hours_regrip": "car_regrip", "hours_tending": "car_tending",
		"hours_floor": "car_floor",
		"money_argon": "argon_money", "money_filler": "filler_money", "money_sundries": "sundries_money",
		"money_parts": "parts_money", "money_once": "once_share", "money_rework": "rework_car", "money_contingency": "contingency_car",
	} {
		sum(key, car)
	}
	for stage, parts := range map[string][]string{
		"saw_factor": {"hours_saw"}, "bench_factor": {"hours_fit", "hours_tacks", "hours_rigging"},
		"weld_factor": {"hours_arc", "hours_tail", "hours_regrip", "hours_tending"},
	} {
		for _, part := range parts {
			o[part] *= s.a(stage)
		}
	}
	sum("money_labour", "labour_car", "overhead_car")
	sum("money_tube", "tube_money", "offcuts")
	o["order_price"] = math.Max(o["order_priced"], s.a("minimum_order"))
	for _, f := range t.cars {
		each := f["bid"]
		if each == 0 {
			each = f["price_car"]
			o["order_unbid"]++
			o["unbid_price"] += each * f["car_qty"]
		}
		o["order_brings"] += each * f["car_qty"]
	}
	if o["order_unbid"] > 0 {
		o["order_brings"] = math.Max(o["order_brings"], s.a("minimum_order"))
	}
	o["money_margin"] = o["order_price"] - o["order_cost"]
	if o["order_price"] > 0 {
		o["order_margin"] = o["money_margin"] / o["order_price"]
	}
	o["days"] = o["order_hours"] / (s.a("hours_per_day") * s.a("welders") * s.a("utilisation"))
	o["hours_else"] = o["order_hours"] - o["hours_floor"]
	lossy := 1 + s.a("argon_loss")
	full := s.a("bottle_size") * s.a("bottle_usable")
	gas, apart := 0.0, 0.0
	for _, line := range []string{"torch", "trail", "purge"} {
		sum(line+"_all", line+"_car")
		o[line+"_all"] *= lossy * s.a("gas_factor")
		o[line+"_bottles"] = up(o[line+"_all"] / full)
		gas += o[line+"_all"]
		apart += o[line+"_bottles"]
	}
	o["all_bottles"] = up(gas / full)
	o["bottles"] = apart
	if s.singles["gas_lines"] == "together" {
		o["bottles"] = o["all_bottles"]
	}
	for _, k := range []string{"order_cars", "order_brings", "order_unbid", "unbid_price", "tube_all", "offcut_all", "tube_sticks", "tube_priced", "tube_rack", "tube_unpriced", "shared_hours", "shared_money"} {
		o[k] += 0
	}
}
