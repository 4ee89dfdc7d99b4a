package model

import (
	"fmt"
	"io/fs"
	"strings"
)

// Roles are the quantities that the program itself has to do with, whatever the
// model says of them. All others it only carries.
type Roles struct {
	// Of a joint line.
	Fine, Finding, Words, LineCost, CarNo *Quantity
	// Of the cars, and of the order.
	CarQty, Price, Brings *Quantity
	// What a run finds, see checks.txt.
	Beside, Outside, Changed, Moved, BelowRoom, BlankPoints, Disagreeing *Quantity
	Rounded                                                              *Quantity
	UnsettledSheets, UnsettledColumns, UnsettledCars, UnsettledInputs    *Quantity
	UnsettledTables, OddTables                                           *Quantity
	// Work beside the welds that is not settled, and whether the order is complete.
	PartsOpen, Verdict *Quantity
}

// findRoles refuses a model in which one is missing.
func (m *Model) findRoles(fs.FS) error {
	r := &m.Roles
	closing := []struct {
		to   **Scope
		name string
	}{{&m.Lists, "lists"}, {&m.OrderOf, "order"}, {&m.Run, "run"}, {&m.Ready, "readiness"}}
	for _, c := range closing {
		if *c.to = m.ClosingScope(c.name); *c.to == nil {
			return fmt.Errorf("the model has no scope %s, which the program needs", c.name)
		}
	}
	cars := m.ClosingScope("cars")
	if cars == nil {
		return fmt.Errorf("the model has no scope cars, which the program needs")
	}
	for _, role := range []struct {
		to  **Quantity
		of  *Scope
		key string
	}{
		{&r.Fine, m.Line, "fine"}, {&r.Finding, m.Line, "finding"}, {&r.Words, m.Line, "check"},
		{&r.LineCost, m.Line, "line_cost"}, {&r.CarNo, m.Line, "car_no"},
		{&r.CarQty, cars, "car_qty"},
		{&r.Price, m.OrderOf, "order_price"}, {&r.Brings, m.OrderOf, "order_brings"},
		{&r.Beside, m.Run, "beside"}, {&r.Outside, m.Run, "outside"}, {&r.Changed, m.Run, "changed"}, {&r.Moved, m.Run, "moved"},
		{&r.Rounded, m.Run, "rounded"},
		{&r.BelowRoom, m.Run, "below_room"}, {&r.BlankPoints, m.Run, "blank_points"}, {&r.Disagreeing, m.Run, "disagreeing"},
		{&r.UnsettledSheets, m.Run, "unsettled_sheets"}, {&r.UnsettledColumns, m.Run, "unsettled_columns"}, {&r.UnsettledCars, m.Run, "unsettled_cars"},
		{&r.UnsettledInputs, m.Run, "unsettled_inputs"},
		{&r.UnsettledTables, m.Run, "unsettled_tables"}, {&r.OddTables, m.Run, "odd_tables"},
		{&r.PartsOpen, m.Ready, "parts_open"}, {&r.Verdict, m.Ready, "verdict"},
	} {
		if *role.to = role.of.byKey[role.key]; *role.to == nil {
			return role.of.lacks(role.key)
		}
	}
	if r.PartsOpen.Call("unfilled") == nil {
		return fmt.Errorf("%s: %s counts the lines that are to be settled, by unfilled and nothing else", r.PartsOpen.Where(), r.PartsOpen.Key)
	}
	for of, keys := range named() {
		s := m.BidScope(of)
		if s == nil {
			s = m.ClosingScope(of)
		}
		if t := m.Table(of); t != nil && s == nil {
			s = t
		}
		switch of {
		case m.Singles.Name:
			s = m.Singles
		case m.Line.Name:
			s = m.Line
		case "cars ordered": // the table that the cars of the order follow
			s = m.Table("cars")
		}
		if s == nil {
			return fmt.Errorf("the model has no scope %s, which the program needs", of)
		}
		for _, key := range strings.Fields(keys) {
			if s.byKey[key] == nil {
				return s.lacks(key)
			}
		}
	}
	return nil
}

// lacks is why a model without a quantity cannot be worked with.
func (s *Scope) lacks(key string) error {
	return fmt.Errorf("%s: %s has no %s, which the program works with by that name; put it back, or change the program too", s.where, s.Name, key)
}

// Named are the quantities that the program shows in places of its own, sorts or
// compares by, or reads from a joint list in a way of their own, by scope. A
// model in which one is called otherwise is refused: it would be missed only when
// it is drawn.
func named() map[string]string {
	return map[string]string{
		"lists":             "list_first_error",
		"schedule_shop":     "begins day_hours hours_all shut_now week weeks_left",
		"schedule_stages":   "",
		"schedule_weeks":    "bench monday other saw week_hours week_no weld",
		"schedule_end":      "end end_day first_car", // drawn whole
		"schedule_cars":     "",
		"schedule_shut":     "in_order shut_from shut_to shut_why till",
		"buying_coupons":    "",
		"buying_total":      "",
		"rates_checks":      "",
		"rates_income":      "",
		"buying_rods":       "name",
		"buying_saw":        "argon_together bottle_full cut_width",
		"buying_tube":       "drop_length halves_loose name piece_axis piece_count piece_length stick_saw sticks_cut sticks_least stock_no unplanned why_none",
		"buying_gas":        "argon_all argon_left bottles_more bottles_whole gas_line weld_most why_more",
		"buying_joints":     "bend_blank blank_pies half_long halves joint joint_no joints_all pie_long purge_each reach straight torch_each trail_each",
		"buying_parts":      "part_no",
		"breaks_cars":       "cars_of_it name price_if_one price_of_one",
		"breaks_checks":     "name price_listed",
		"range_need":        "carried carried_share direct direct_p50 direct_p80 lies_direct lies_priced loss_chance",
		"range_swings":      "assumption cost_at_high cost_at_low cost_high cost_low high_end high_now hours_at_high hours_at_low likely likely_now low_end low_now range_basis still_so swing_no swing_unit",
		"rates_order":       "hours_listed rate_cost rate_hours setup_no",
		"rates_kits":        "cost_listed cost_tried kits paid_cars setup_no setup_tried sizes",
		"rates_welds":       "line_listed setup_tried tube_listed weld_fits weld_joint weld_key weld_no",
		"rates_joints":      "joint joint_no weld",
		"rates_work":        "fits size",
		"buying_paid":       "name sticks_more",
		"buying_paid_total": "",
		"buying_bottles":    "",

		"readiness": "rows_left_out lists_beside sheets_unsettled columns_unsettled cars_unsettled cars_without_joints cars_unpriced lines_below_room tables_unsettled",
		"singles": "allowance argon_loss bench_factor bottle_size bottle_usable days_per_week default_colour default_kind default_purges default_setup facing filler_yield gas_factor " +
			"gas_lines kerf learning_slope least_drop minimum_order saw_factor seed start_date time_correlation trials weld_factor win_chance",
		"setups":  "basis cup_bore name setup_wrong",
		"kinds":   "extra name",
		"walls":   "to",
		"alloys":  "name",
		"stock":   "alloy key od price stick wall",
		"fillers": "key length price wire",
		"parts":   "car car_no cost_each item",
		"shut":    "from to why",
		"edge":    "point",
		"lines": "alloy argon bench_time bend car car_no check colour ends filler filler_length filler_mass fills finding gap half_turn kind line_cost od paced_time passes pies price_missing " +
			"purge_gas purges qty rod_no rod_rate run_od run_wall saw_time setup setup_no shield_fits shield_kind shield_large shield_small shield_throat " +
			"sides starts stock_no tack_time to_alloy torch_gas trail_gas tube tube_cost tube_rate tube_used turn wall weld_out weld_time welds welds_per_joint",
		"tube":         "sticks tube_needed",
		"rods":         "rods",
		"cars ordered": "basis bid name ordered",
		"cars":         "bid bid_earned car_arc car_argon car_filler car_floor car_hours car_qty car_stops car_tube car_welds cost_car earned learning other_cost price_all price_car purge_car rows torch_car trail_car work_hours",
		"order": "all_bottles bottles days money_contingency order_arc order_argon order_cars order_cost order_filler order_hours order_price order_stops order_tube order_welds purge_all purge_bottles torch_all torch_bottles " +
			"trail_all trail_bottles",
	}
}

// Names are all keys by which the program knows quantities.
func (m *Model) Names() map[string]bool {
	out := map[string]bool{}
	for _, keys := range named() {
		for _, key := range strings.Fields(keys) {
			out[key] = true
		}
	}
	for _, s := range []*Scope{m.Run, m.Ready} {
		for _, q := range s.Quantities {
			out[q.Key] = true
		}
	}
	return out
}
