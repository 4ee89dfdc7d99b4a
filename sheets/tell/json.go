package tell

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"unicode/utf16"
	"unicode/utf8"

	"seamtally/compute/model"
	"seamtally/sheets"
	"seamtally/sheets/book"
)

// object is a JSON object; its keys come out sorted.
type object map[string]any

// jsonVersion counts the shapes that the JSON of the commands has had. A key that is
// added leaves it as it is; one that goes, or means something else, is a new shape.
const jsonVersion = 1

// JSON writes the report for other programs, keys sorted, in the shape that
// templates/price.schema.json writes down.
//
// A figure that there is none of is left out. Notes are no findings here: they
// say how a cell was understood, and their words may change. Money has the unit
// "$" whatever the currency sign of the book, a share such as the margin "1".
func JSON(w io.Writer, r *sheets.Report) error {
	lines := make([]object, 0, len(r.Lines))
	for _, l := range r.Lines {
		o := flat(l.Figures)
		for key, word := range l.Words {
			o[key] = word
		}
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
		if f.Level != book.LevelNote {
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
		"input": r.Input, "output": r.Output, "complete": r.Complete, "reasons": reasons(r.Verdict), "open": reasons(sheets.Verdict{Reasons: r.Open}),
		"units": units,
		"rows":  object{"read": r.Read, "priced": r.Priced, "left_out": r.LeftOut},
		"lines": lines, "cars": cars, "order": flat(r.Order),
		"findings": found, "logged": append([]string{}, r.Logged...),
	}
	if r.SetUps != "" {
		all["verdict"] = r.SetUps
	}
	return writeJSON(w, all)
}

// writeJSON writes one object with the version of its shape, for people too:
// indented, signs as they are, but for those that a terminal would obey, which
// stand as \u009b.
func writeJSON(w io.Writer, o object) error {
	o["version"] = jsonVersion
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(o); err != nil {
		return err
	}
	_, err := w.Write(escaped(b.Bytes()))
	return err
}

// escaped is a JSON text with \u009b in place of such characters. They can stand
// in its strings only, but for the ends of its own lines.
func escaped(text []byte) []byte {
	if !bytes.ContainsFunc(text, hidden) {
		return text
	}
	var out []byte
	for _, r := range string(text) {
		if !hidden(r) {
			out = utf8.AppendRune(out, r)
			continue
		}
		for _, unit := range utf16.AppendRune(nil, r) {
			out = fmt.Appendf(out, `\u%04x`, unit)
		}
	}
	return out
}

func hidden(r rune) bool { return r != '\n' && obeyed(r) }

// flat is the figures as an object. JSON has no way to write what is not finite.
func flat(figures model.Figures) object {
	o := make(object, len(figures)+4)
	for key, x := range figures {
		if !math.IsNaN(x) && !math.IsInf(x, 0) {
			o[key] = x
		}
	}
	return o
}
