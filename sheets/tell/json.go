package tell

import (
	"encoding/json"
	"io"
	"math"

	"seamtally/sheets"
)

// object is a JSON object; its keys come out sorted.
type object map[string]any

// JSON writes the report for other programs, keys sorted, and keeps its shape
// from one version to the next; keys may be added:
//
//	{
//	  "cars":     [{"car", "cars_ordered", figure: number ...}],
//	  "complete": whether the price may be quoted,
//	  "findings": [{"cell", "fix", "level", "what"}],
//	  "input":    file,
//	  "lines":    [{"car", "mark", "row", "sheet", figure: number ...}],
//	  "logged":   [what the log says of the run],
//	  "order":    {figure: number ...},
//	  "output":   file,
//	  "rows":     {"left_out", "priced", "read"},
//	  "units":    {figure: unit},
//	  "verdict":  which set-up takes the fewest hours, where Rates is written
//	}
//
// A figure that there is none of is left out. Notes are no findings here: they
// say how a cell was understood, and their words may change. Money has the unit
// "$" whatever the currency sign of the book, a share such as the margin "1".
func JSON(w io.Writer, r *sheets.Report) error {
	lines := make([]object, 0, len(r.Lines))
	for _, l := range r.Lines {
		o := flat(l.Figures)
		o["sheet"], o["row"], o["mark"], o["car"] = l.Sheet, l.Row, l.Mark, l.Car
		lines = append(lines, o)
	}
	cars := make([]object, 0, len(r.Cars))
	for _, c := range r.Cars {
		o := flat(c.Figures)
		o["car"], o["cars_ordered"] = c.Car, c.Ordered
		cars = append(cars, o)
	}
	found := make([]object, 0, len(r.Findings))
	for _, f := range r.Findings {
		if f.Level != sheets.LevelNote {
			found = append(found, object{"cell": f.Cell, "level": f.Level, "what": f.What, "fix": f.Fix})
		}
	}
	units := make(map[string]string, len(r.Units))
	for key, unit := range r.Units {
		if unit == "%" {
			unit = "1" // the figure is the share itself; only a cell's format makes it per cent
		}
		units[key] = unit
	}

	all := object{
		"input": r.Input, "output": r.Output, "complete": r.Complete,
		"units": units,
		"rows":  object{"read": r.Read, "priced": r.Priced, "left_out": r.LeftOut},
		"lines": lines, "cars": cars, "order": flat(r.Order),
		"findings": found, "logged": append([]string{}, r.Logged...),
	}
	if r.Verdict != "" {
		all["verdict"] = r.Verdict
	}
	return writeJSON(w, all)
}

// writeJSON writes one object, for people too: indented, signs as they are.
func writeJSON(w io.Writer, o object) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(o)
}

// flat is the figures as an object. JSON has no way to write what is not finite.
func flat(figures sheets.Figures) object {
	o := make(object, len(figures)+4)
	for key, x := range figures {
		if !math.IsNaN(x) && !math.IsInf(x, 0) {
			o[key] = x
		}
	}
	return o
}
