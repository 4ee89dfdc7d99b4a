package timesheet

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"seamtally/compute/floor"
	"seamtally/sheets/entry"
	"seamtally/templates"
)

// wordsFile is the template of a time sheet's words.
const wordsFile = "timesheet.txt"

// Columns of the floor's page, and of the estimator's, by their keys in the template.
const (
	colCar     = "car"
	colNumber  = "number"
	colDay     = "day"
	colWelder  = "welder"
	colClocked = "clocked"
	colBottles = "bottles"
	colRods    = "rods"
	colRepairs = "repairs"
	colWhole   = "whole"
	colNote    = "note"

	estPrefix  = "est_"
	estCar     = "est_car"
	estOrdered = "est_ordered"
	estAll     = "est_all"
	estFixed   = "est_fixed"
	estRods    = "est_rods"
	estRest    = "est_rest"
	estIs      = "est_is"
	estUnit    = "est_unit"
)

// stages are the columns of the stages, in their order.
func stages() [floor.Stages]string { return [...]string{"saw", "bench", "weld"} }

// words are the words of a time sheet.
type words struct {
	text    map[string]string
	labels  map[string]string
	say     []string
	columns []column // of both pages, in their order
	beside  []column // in the shop's own workbook: their keys, and what means them
}

// column is one of the table: its key, how it is headed, and what else means it.
type column struct {
	key     string
	width   float64
	heading string
	also    []string
}

// readWords reads the template. Its errors name the line.
func readWords() (*words, error) {
	w := &words{text: map[string]string{}, labels: map[string]string{}}
	if err := entry.EachLine(templates.FS, wordsFile, w.read); err != nil {
		return nil, err
	}
	return w, w.whole()
}

// read takes a line of the template.
func (w *words) read(key, rest string) error {
	parts := strings.Split(rest, "|")
	for i := range parts {
		parts[i] = strings.TrimSpace(parts[i])
	}
	switch key {
	case "say":
		w.say = append(w.say, rest)
	case "label":
		if len(parts) != 2 {
			return fmt.Errorf("label %q; write KEY | LABEL", rest)
		}
		w.labels[parts[0]] = parts[1]
	case "beside":
		if len(parts) != 2 {
			return fmt.Errorf("beside %q; write KEY | SPELLINGS", rest)
		}
		c := column{key: parts[0]}
		for also := range strings.SplitSeq(parts[1], ";") {
			c.also = append(c.also, strings.TrimSpace(also))
		}
		w.beside = append(w.beside, c)
	case "column":
		name, width, _ := strings.Cut(parts[0], " ")
		x, err := strconv.ParseFloat(strings.TrimSpace(width), 64)
		if err != nil || len(parts) < 2 {
			return fmt.Errorf("column %q; write KEY WIDTH | HEADING | ALSO", rest)
		}
		c := column{key: name, width: x, heading: parts[1]}
		if len(parts) > 2 {
			for also := range strings.SplitSeq(parts[2], ";") {
				c.also = append(c.also, strings.TrimSpace(also))
			}
		}
		w.columns = append(w.columns, c)
	default:
		w.text[key] = rest
	}
	return nil
}

// whole refuses a template that lacks something.
func (w *words) whole() error {
	if err := entry.NeedWords(wordsFile, w.text, "title", "draft", "of", "page", "procedure", "estimate", "warning", "what"); err != nil {
		return err
	}
	if err := entry.NeedWords(wordsFile, w.labels, "quote", "digest", "verdict", "units", "lines", "bottle", "yield", "seal"); err != nil {
		return err
	}
	have := map[string]string{}
	for _, c := range w.columns {
		have[c.key] = c.heading
	}
	keys := []string{colCar, colNumber, colDay, colWelder, colClocked, colBottles, colRods, colRepairs, colWhole, colNote, estCar, estOrdered, estAll, estFixed, estRods, estRest, estIs, estUnit}
	stage, gas := stages(), floor.GasLines()
	for _, key := range append(stage[:], gas[:]...) {
		keys = append(keys, key, estPrefix+key)
	}
	return entry.NeedWords(wordsFile, have, keys...)
}

// page are the columns of one of the two pages.
func (w *words) page(estimate bool) []column {
	var out []column
	for _, c := range w.columns {
		if strings.HasPrefix(c.key, estPrefix) == estimate {
			out = append(out, c)
		}
	}
	return out
}

// heading is what a text says as the heading of a column.
type heading struct {
	key  string
	kind string  // of joints, for repairs
	min  float64 // minutes in one, where a unit of time is named; 0 = none
	said bool    // the heading itself says that it was logged
}

// timeUnits are units of time as a heading ends in them, in minutes.
func timeUnits() map[string]float64 {
	return map[string]float64{
		"min": 1, "mins": 1, "minute": 1, "minutes": 1,
		"h": 60, "hr": 60, "hrs": 60, "hour": 60, "hours": 60,
	}
}

// recognise reads the heading of a column, of either page.
func (w *words) recognise(text string, estimate bool) (heading, bool) {
	said := entry.WordsIn(text)
	if len(said) == 0 {
		return heading{}, false
	}
	bare, unit := said, timeUnits()[said[len(said)-1]]
	if unit > 0 {
		bare = said[:len(said)-1]
	}
	for _, c := range w.page(estimate) {
		for _, spelled := range append([]string{c.heading}, c.also...) {
			if before, _, some := strings.Cut(spelled, "%s"); some {
				head := entry.WordsIn(before)
				if len(said) > len(head) && slices.Equal(said[:len(head)], head) {
					return heading{key: c.key, kind: strings.Join(said[len(head):], " ")}, true
				}
				continue
			}
			known := entry.WordsIn(spelled)
			inGas := estimate && len(said) == len(known)+1 && slices.Equal(bare[:len(known)], known)
			if slices.Equal(said, known) || slices.Equal(said, withoutUnit(known)) || inGas {
				return heading{key: c.key, min: unit}, true
			}
			if unit > 0 && (slices.Equal(bare, known) || slices.Equal(bare, withoutUnit(known))) {
				return heading{key: c.key, min: unit}, true
			}
		}
	}
	return heading{}, false
}

func withoutUnit(said []string) []string {
	if n := len(said); n > 1 && timeUnits()[said[n-1]] > 0 {
		return said[:n-1]
	}
	return said
}

// besides reads the heading of a column in the shop's own workbook.
func (w *words) besides(text string) (heading, bool) {
	var said []string
	unit := 0.0
	for _, word := range entry.WordsIn(text) {
		word = strings.Trim(word, ".")
		if x := timeUnits()[word]; x > 0 && unit == 0 {
			unit = x
			continue
		}
		said = append(said, word)
	}
	for _, c := range w.beside {
		for _, spelled := range c.also {
			if slices.Equal(said, entry.WordsIn(spelled)) {
				return heading{key: c.key, min: unit, said: slices.Contains(said, "logged")}, true
			}
		}
	}
	return heading{}, false
}
