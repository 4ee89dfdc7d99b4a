package compute_test

import (
	"fmt"
	"math"
	"strconv"

	"github.com/shopspring/decimal"
)

// A second, plain implementation of the method, in inches, minutes and cubic
// feet, that shares nothing with the model files: what the model works out is
// compared with it, figure by figure.

// figures are what was worked out, by key; a blank is absent.
type figures map[string]float64

// shop reads a job as a person would: what is typed, or what stands for it.
type shop struct {
	job
	stock, fillers []row // with the lines that the joint rows have added
}

func newShop(j job) *shop {
	return &shop{job: j, stock: j.tables["stock"], fillers: j.tables["fillers"]}
}

func (s *shop) a(key string) float64 { return s.singles.num(key, 0) }

// places rounds to n places, a tie away from zero, after bringing x to 15
// significant digits.
func places(x float64, n int32) float64 {
	return decimal.RequireFromString(strconv.FormatFloat(x, 'e', 14, 64)).Round(n).InexactFloat64()
}

func cent(x float64) float64 { return places(x, 2) }
func up(x float64) float64   { return math.Ceil(places(x, 6)) }
func down(x float64) float64 { return math.Floor(places(x, 6)) }

func rad(deg float64) float64 { return deg * math.Pi / 180 }

// at finds a row of a table by one text, counted from 0.
func at(rows []row, key, name string) int {
	for i, r := range rows {
		if r[key] == name {
			return i
		}
	}
	return -1
}

func size(r row, keys ...string) string {
	s := r.text("alloy", "")
	for _, k := range keys {
		s += fmt.Sprintf("|%d", int(places(r.num(k, 0)*1000, 0)))
	}
	return s
}

// stocked finds the stock line of a size, or adds one without a price.
func stocked(list *[]row, want row, keys ...string) int {
	for i, r := range *list {
		if size(r, keys...) == size(want, keys...) {
			return i
		}
	}
	*list = append(*list, want)
	return len(*list) - 1
}

// words are the texts that a joint row finds; its findings are not among them.
func (s *shop) words(r row) map[string]string {
	alloy := r.text("alloy", s.singles.text("default_alloy", ""))
	family := func(name string) string {
		return s.tables["alloys"][at(s.tables["alloys"], "name", name)].text("family", "")
	}
	setups := s.tables["setups"]
	fits := setups[at(setups, "name", r.text("setup", s.singles.text("default_setup", "")))].text("fits", "")
	if fits == "" {
		fits = r.text("kind", s.singles.text("default_kind", ""))
	}
	return map[string]string{
		"family": family(alloy), "to_family": family(r.text("to_alloy", alloy)), "shield_fits": fits,
	}
}

const halfTurnPoints = 36

// coped is the mean length of the coped edge over 5° steps round the branch.
func coped(ratio, angle float64) float64 {
	sum := 0.0
	for i := range 2 * halfTurnPoints {
		p := rad(2.5 + 5*float64(i))
		rise := (ratio*math.Sin(p)*math.Cos(p)/math.Sqrt(1-ratio*ratio*math.Sin(p)*math.Sin(p)) + math.Sin(p)*math.Cos(rad(angle))) / math.Sin(rad(angle))
		sum += math.Hypot(1, rise)
	}
	return sum / (2 * halfTurnPoints)
}

// line works out one joint row.
func (s *shop) line(r row) figures {
	f := figures{}
	kind := r.text("kind", s.singles.text("default_kind", ""))
	alloy := r.text("alloy", s.singles.text("default_alloy", ""))
	filler := r.text("filler", s.singles.text("default_filler", "")) == "yes"
	colour := r.text("colour", s.singles.text("default_colour", ""))
	ends := r.text("ends", s.singles.text("default_ends", ""))
	setupNo := at(s.tables["setups"], "name", r.text("setup", s.singles.text("default_setup", "")))
	kindNo, alloyNo := at(s.tables["kinds"], "name", kind), at(s.tables["alloys"], "name", alloy)
	setup, kinds, metal := s.tables["setups"][setupNo], s.tables["kinds"][kindNo], s.tables["alloys"][alloyNo]

	od, wall := r.num("od", 0), r.num("wall", 0)
	qty, sides, passes := r.num("qty", s.a("default_qty")), r.num("sides", s.a("default_sides")), r.num("passes", s.a("default_passes"))
	runOD := r.num("run_od", 0)
	bore := od - 2*wall
	if kind == "branch" && runOD > 0 {
		bore = runOD - 2*r.num("run_wall", wall)
	}
	f["bore"] = bore
	bore = r.num("purge_bore", bore)
	purges, purgeLength := r.num("purges", s.a("default_purges")), r.num("purge_length", s.a("default_purge_length"))
	leg, gap := r.num("leg", s.a("leg_per_wall")*wall), r.num("gap", s.a("default_gap"))
	wire, clr := r.num("wire", s.a("default_wire")), r.num("clr", s.a("clr_per_od")*od)

	wallNo := 0
	for wallNo < 3 && wall > s.tables["walls"][wallNo].num("to", 0)+1e-9 {
		wallNo++
	}
	carNo := at(s.tables["cars"], "name", r.text("car", ""))
	tubeNo := stocked(&s.stock, row{"alloy": alloy, "od": od, "wall": wall}, "od", "wall")
	rodNo := stocked(&s.fillers, row{"alloy": alloy, "wire": wire, "density": metal.num("density", 0)}, "wire")
	tube, rod := s.stock[tubeNo], s.fillers[rodNo]
	f["car_no"], f["kind_no"], f["setup_no"], f["wall_no"] = float64(carNo+1), float64(kindNo+1), float64(setupNo+1), float64(wallNo+1)
	toNo := at(s.tables["alloys"], "name", r.text("to_alloy", alloy))
	f["alloy_no"], f["to_no"], f["stock_no"], f["rod_no"] = float64(alloyNo+1), float64(toNo+1), float64(tubeNo+1), float64(rodNo+1)
	f["rod_rate"], f["tube_rate"], f["wire_per_wall"] = rod.num("price", 0), tube.num("price", 0), wire/wall

	// Welds and their length.
	pies, turn, welds, cuts := 0.0, 0.0, sides, kinds.num("cuts", 0)
	if kind == "pie cut" {
		pies = up(r.num("bend", 0) / r.num("pie_angle", s.a("default_pie_angle")))
		turn = r.num("bend", 0) / pies
		welds, cuts = pies, pies+1
		if ends == "full" {
			welds++
		}
	}
	if ends == "full" {
		f["full_ends"] = 1
	} else {
		f["full_ends"] = 0
	}
	saw := rad(turn / 2)
	f["pies"], f["turn"], f["half_turn"], f["throat"] = pies, turn, turn/2, (2*clr-od)*math.Tan(saw)
	f["welds_per_joint"], f["cuts"] = welds, cuts
	welds *= qty
	f["welds"] = welds
	long := 1 / math.Cos(saw) // half axes of the cut: long and 1
	f["cut_stretch"] = long
	f["pie_edge"] = (3*(long+1) - math.Sqrt((3*long+1)*(long+3))) / 2
	f["branch_ratio"], f["branch_edge"] = 0, 1
	if kind == "branch" && runOD > 0 {
		f["branch_ratio"] = od / runOD
		f["branch_edge"] = coped(od/runOD, r.num("branch_angle", s.a("default_branch_angle")))
	}
	f["geometry"] = math.Pi * (od - (sides-1)*wall) * f["pie_edge"] * f["branch_edge"]
	f["length_known"] = 1
	if kind == "seam" || kind == "branch" && runOD == 0 {
		f["length_known"] = 0
	}
	seam := f["geometry"]
	if given := r.num("weld_length", 0); given > 0 {
		seam = given
	}
	f["seam"] = seam
	run := setup.num("longest_run", 0)
	if share := setup.num("bead_share", 0); share > 0 {
		run = share * setup.num("cup_bore", 0)
	}
	bead := seam
	if run > 0 {
		bead = math.Min(seam, run)
		f["dabs_per_start"] = down(bead / s.a("dab_pitch"))
	}
	starts := passes * up(seam/bead)
	stops := starts - passes
	tacks := math.Max(s.a("tacks_least"), up(seam/s.a("tack_pitch")))
	f["bead_limit"], f["starts"], f["stops"], f["tacks"], f["line_stops"] = bead, starts, stops, tacks, welds*stops

	s.times(f, r, setup, kinds, metal, filler, colour)
	f["fills"] = qty * purges
	f["purge_volume"] = math.Pi * bore * bore / 4 * purgeLength / 1728 * s.a("purge_mixing") * math.Log(s.a("air_oxygen")/s.a("target_oxygen"))
	f["purge_fill"], f["purge_by_flow"] = 0, 0
	if flow := setup.num("purge_flow", 0); flow > 0 {
		f["purge_by_flow"] = f["purge_volume"] / flow * 60
		f["purge_fill"] = math.Max(s.a("purge_least"), f["purge_by_flow"])
	}
	purging := f["fills"] * f["purge_fill"]
	f["line_rigging"] = purging + f["fills"]*s.a("purge_rig")
	f["line_fit"] = welds*s.a("clean_fit") + qty*r.num("extra", 0)

	// The shop's own factors stand on the three stages.
	f["saw_time"] = qty * (cuts*s.a("cut_deburr") + kinds.num("extra", 0))
	f["bench_time"] = f["line_fit"] + welds*f["tack_time"] + f["line_rigging"]
	f["weld_time"] = welds * (f["weld_out"] + f["restart"] + setup.num("mount", 0) + s.a("inspect"))
	f["floor_time"] = f["saw_time"]*s.a("saw_factor") + f["bench_time"]*s.a("bench_factor") + f["weld_time"]*s.a("weld_factor")
	f["paced_time"] = (welds*f["tack_on"]+purging)*s.a("bench_factor") + welds*(f["weld_out"]-f["regrip"])*s.a("weld_factor")

	// Argon, in ft³ from ft³/h and minutes.
	f["hold_time"] = 0
	if purges > 0 {
		f["hold_time"] = welds * (f["tack_time"] + f["weld_out"] + setup.num("mount", 0) + f["restart"])
	}
	f["torch_gas"] = setup.num("torch_flow", 0) / 60 * welds * (f["arc_time"] + f["flow_tail"] + f["tack_on"])
	f["trail_gas"] = setup.num("trail_flow", 0) / 60 * welds * (f["arc_time"] + f["flow_tail"])
	f["purge_gas"] = setup.num("purge_flow", 0)/60*purging + setup.num("purge_hold", 0)/60*f["hold_time"]
	f["argon"] = s.a("gas_factor") * (f["torch_gas"] + f["trail_gas"] + f["purge_gas"]) * (1 + s.a("argon_loss"))

	// Filler, in inches and pounds; tube, in feet.
	f["butt_area"] = gap*wall + 2.0/3*(s.a("bead_width_per_wall")*wall)*(s.a("crown_height_per_wall")*wall)
	f["fillet_area"] = leg * leg / 2 * (1 + s.a("fillet_convexity"))
	f["bead_area"] = f["butt_area"]
	if kind == "fillet" {
		f["bead_area"] = f["fillet_area"]
	}
	f["deposit_area"] = 0
	if filler {
		f["deposit_area"] = f["bead_area"]
	}
	f["wire_area"] = math.Pi * wire * wire / 4
	f["filler_length"] = welds * seam * f["deposit_area"] / (f["wire_area"] * s.a("filler_yield"))
	f["filler_mass"] = welds * seam * f["deposit_area"] / s.a("filler_yield") * rod.num("density", 0)
	f["bend_length"] = 2 * pies * clr * math.Tan(saw)
	f["cut_loss"] = cuts * (s.a("kerf")*long + s.a("facing"))
	f["tube_used"] = qty * (r.num("tube", s.a("default_tube")) + f["bend_length"] + f["cut_loss"]) * (1 + s.a("tube_scrap")) / 12
	ordered := s.tables["cars"][carNo].num("ordered", 0)
	f["tube_order"], f["rod_order"] = f["tube_used"]*ordered, f["filler_length"]*ordered

	f["labour"] = cent(f["floor_time"] / 60 * s.a("shop_rate"))
	f["argon_cost"] = cent(f["argon"] * s.a("argon_price"))
	f["filler_cost"] = cent(f["filler_mass"] * rod.num("price", 0))
	f["tube_cost"] = cent(f["tube_used"] * tube.num("price", 0))
	f["sundries"] = cent(welds * s.a("sundries_per_weld"))
	f["line_cost"] = cent(f["labour"] + f["argon_cost"] + f["filler_cost"] + f["tube_cost"] + f["sundries"])
	return f
}

// times are the minutes of one weld, and of all of the row.
func (s *shop) times(f figures, r, setup, kinds, metal row, filler bool, colour string) {
	passes := r.num("passes", s.a("default_passes"))
	starts, stops, tacks, welds := f["starts"], f["stops"], f["tacks"], f["welds"]
	f["corner_factor"] = kinds.num("travel_factor", 0) * s.tables["walls"][int(f["wall_no"])-1].num("factor", 0)
	f["metal_factor"] = 1
	if !filler {
		f["metal_factor"] = s.a("fusion_factor")
	}
	travel := setup.num("travel", 0) * f["corner_factor"] * f["metal_factor"]
	melted := passes*f["seam"] + starts*s.a("tie_in")
	if kinds["closes"] == "yes" {
		melted += passes * s.a("closing_overlap")
	}
	f["travel_used"], f["arc_time"] = travel, melted/travel
	f["flow_tail"] = starts * (setup.num("pre_flow", 0) + setup.num("post_flow", 0)) / 60
	f["regrip"] = stops * setup.num("reposition", 0) / 60
	f["weld_out"] = f["arc_time"] + f["flow_tail"] + f["regrip"]
	f["tack_on"] = tacks * (s.a("tack_arc") + s.a("tack_pre_flow") + s.a("tack_post_flow")) / 60
	f["tack_time"] = f["tack_on"] + tacks*s.a("tack_handling")/60
	f["restart"] = 0
	if metal["colour_rule"] == "yes" && colour != "blue" {
		f["restart"] = stops * s.a("restart_clean")
	}
	f["line_arc"], f["line_tail"], f["line_regrip"] = welds*f["arc_time"], welds*f["flow_tail"], welds*f["regrip"]
	f["line_tacks"], f["line_tending"] = welds*f["tack_time"], welds*(s.a("inspect")+setup.num("mount", 0)+f["restart"])
}
