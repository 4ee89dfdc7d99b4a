package sheetstest

import (
	"fmt"
	"math"
)

// size is a tube, in the unit of its list.
type size struct {
	alloy    string
	od, wall float64
}

// tubes lists what a titanium exhaust is made of, with one other metal: common
// practice, no source. Few sizes, so that a list of any length can be priced
// from a short stock table.
func tubes(metric bool) []size {
	if metric {
		return []size{
			{"grade 2", 38, 0.9}, {"grade 2", 45, 1}, {"grade 2", 50.8, 0.9}, {"grade 2", 50.8, 1},
			{"grade 2", 50.8, 1.2}, {"grade 2", 63.5, 1}, {"grade 2", 63.5, 1.2}, {"grade 2", 63.5, 1.5},
			{"grade 2", 76.1, 1}, {"grade 2", 76.1, 1.2}, {"grade 2", 76.1, 1.5}, {"grade 2", 88.9, 1.2},
			{"Ti-3Al-2.5V", 50.8, 1}, {"304L", 76.1, 1.5},
		}
	}
	return []size{
		{"grade 2", 1.5, 0.035}, {"grade 2", 1.75, 0.035}, {"grade 2", 2, 0.035}, {"grade 2", 2, 0.049},
		{"grade 2", 2.25, 0.039}, {"grade 2", 2.5, 0.035}, {"grade 2", 2.5, 0.047}, {"grade 2", 2.5, 0.065},
		{"grade 2", 3, 0.039}, {"grade 2", 3, 0.047}, {"grade 2", 3, 0.049}, {"grade 2", 3.5, 0.049},
		{"grade 2", 4, 0.049}, {"Ti-3Al-2.5V", 2, 0.035}, {"304L", 3, 0.065},
	}
}

// spelling writes a word of the program in one of the ways that shops do,
// mostly in the program's own.
func (g *generator) spelling(word string) string {
	if g.chance(0.4) {
		return word
	}
	switch word {
	case "grade 2":
		return oneOf(g, "Gr 2", "Grade 2", "CP2")
	case "Ti-3Al-2.5V":
		return oneOf(g, "Gr 9", "grade 9")
	case "304L":
		return "304"
	case "butt":
		return oneOf(g, "Butt", "butt weld", "square butt", "BW")
	case "pie cut":
		return oneOf(g, "Pie cut", "pie-cut", "pie", "segmented bend")
	case "fillet":
		return oneOf(g, "Fillet", "flange", "socket", "boss")
	case "branch":
		return oneOf(g, "Branch", "saddle", "coped")
	case "seam":
		return oneOf(g, "Seam", "long seam")
	}
	return word
}

// joint makes one row that can be priced, by input. A blank is a missing key.
// What a row cannot do without never stands in a spare column.
func (g *generator) joint() map[string]any {
	s := oneOf(g, g.sizes...)
	kind := oneOf(g, "butt", "butt", "pie cut", "pie cut", "fillet", "branch", "seam")
	j := map[string]any{
		"mark": g.mark(), "qty": g.rng.IntN(4) + 1,
		"od": inBook(s.od), "wall": inBook(s.wall),
		"alloy": g.spelling(s.alloy),
		"setup": oneOf[any](g, nil, nil, "cup, stop and start", "Cup, stop and start",
			"trailing shield, on rolls", "trailing shield, by hand"),
		"filler": oneOf[any](g, nil, nil, nil, "yes", "no", "fusion"),
		"colour": oneOf[any](g, nil, nil, "straw", "bright", "Silver", "blue"),
		"purges": oneOf[any](g, nil, nil, nil, 1, 2, 0.5, 0.25, 0),
	}
	if g.chance(0.01) {
		j["qty"] = 0
	}
	g.sometimes(j, 0.5, "section", oneOf[any](g, "front", "middle", "over the axle", "rear"))
	if s.alloy != "304L" {
		// The list may lack the column of the tube's own grade, and the tube is
		// then grade 2: only another titanium is sure to weld to it.
		g.sometimes(j, 0.2, "to_alloy", g.spelling(oneOf(g, "grade 2", "Ti-3Al-2.5V")))
	}
	g.sometimes(j, 0.5, "drawing", fmt.Sprintf("D-%03d", g.rng.IntN(400)))
	g.sometimes(j, 0.1, "remark", oneOf[any](g, "check on the car", "fit & finish", "<see drawing>"))
	g.sometimes(j, 0.1, "passes", 2)
	g.sometimes(j, 0.3, "gap", inBook(s.wall*g.between(0, 0.4, 0.1)))
	g.sometimes(j, 0.6, "tube", inBook(g.book(g.between(1, 36, 0.125))))
	g.sometimes(j, 0.5, "purge_length", inBook(g.book(g.between(6, 30, 0.5))))
	g.sometimes(j, 0.1, "wire", inBook(map[bool]float64{false: 0.045, true: 1.2}[g.metric]))
	switch kind {
	case "pie cut":
		g.pieCut(j, s)
	case "fillet":
		g.sometimes(j, 0.5, "leg", inBook(s.wall*g.between(1, 2.5, 0.25)))
		g.sometimes(j, 0.3, "sides", 2)
		delete(j, "gap") // moves nothing there, and is asked about
	case "branch":
		kind = g.branch(j, s)
	case "seam":
		j["weld_length"] = inBook(g.book(g.between(0.5, 24, 0.0625)))
	default:
		// Measured with a tape round the tube: near the geometry, not on it.
		g.sometimes(j, 0.1, "weld_length", inBook(math.Pi*s.od*g.between(0.9, 1.1, 0.01)))
	}
	j["kind"] = g.spelling(kind)
	if kind == "butt" && g.chance(0.1) {
		delete(j, "kind")
	}
	return j
}

func (g *generator) sometimes(j map[string]any, p float64, key string, v any) {
	if g.chance(p) {
		j[key] = v
	}
}

func (g *generator) pieCut(j map[string]any, s size) {
	pie := oneOf(g, 9, 10, 11.25, 15, 15, 18, 22.5, 30.0)
	bend := pie * float64(2+g.rng.IntN(int(180/pie)-1))
	if g.chance(0.05) {
		bend += 5 // does not divide: priced, and told
	}
	j["bend"] = bend
	if pie != 15 || g.chance(0.5) {
		j["pie_angle"] = pie
	}
	g.sometimes(j, 0.3, "ends", oneOf[any](g, "half", "full", "Full"))
	switch {
	case g.chance(0.6):
		j["clr"] = inBook(s.od * g.between(1, 2, 0.25))
	case g.chance(0.3):
		j["clr"] = oneOf[any](g, "1.5D", "1.25D", "2D", "1.5 x OD")
	}
}

// branch sets the main tube, or the measured length of the weld in its stead. A
// tube that has no wider one becomes a butt.
func (g *generator) branch(j map[string]any, s size) string {
	if g.chance(0.1) {
		j["weld_length"] = inBook(math.Pi * s.od * g.between(1, 1.2, 0.01))
		return "branch"
	}
	var wider []size
	for _, m := range g.sizes {
		if m.od > s.od*1.05 { // by more than a rounded text can take away
			wider = append(wider, m)
		}
	}
	if len(wider) == 0 {
		return "butt"
	}
	main := oneOf(g, wider...)
	j["run_od"] = inBook(main.od)
	g.sometimes(j, 0.3, "run_wall", inBook(main.wall))
	g.sometimes(j, 0.6, "branch_angle", oneOf[any](g, 90.0, 75.0, 60.0, 45.0, 30.0))
	return "branch"
}

// mark numbers the joints through.
func (g *generator) mark() string {
	g.marks++
	return fmt.Sprintf("J-%05d", g.marks)
}
