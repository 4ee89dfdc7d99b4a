package tell

import (
	"fmt"
	"path/filepath"
	"strconv"
	"strings"

	"golang.org/x/text/language"
	"golang.org/x/text/message"

	"seamtally/sheets/traveller"
)

// Numbers reads which cars of a run are meant: a number, or two with a dash between;
// 0 and 0 for all.
func Numbers(text string) (from, to int, err error) {
	if text == "" {
		return 0, 0, nil
	}
	first, last, two := strings.Cut(text, "-")
	if !two {
		last = first
	}
	if from, err = strconv.Atoi(strings.TrimSpace(first)); err == nil {
		to, err = strconv.Atoi(strings.TrimSpace(last))
	}
	if err != nil || from < 1 || to < from {
		return 0, 0, fmt.Errorf("--numbers %q is not understood; write which cars of the run, as 3 or 3-5", text)
	}
	return from, to, nil
}

// Travelled tells of the bench's pages of an order.
func (v Voice) Travelled(r *traveller.Report) error {
	p := message.NewPrinter(language.English)
	rows := [][]string{{"Travellers", "Cars", "Joints, each car", "Welds, each car"}}
	cars := 0
	for _, c := range r.Cars {
		n := c.Last - c.First + 1
		cars += n
		rows = append(rows, []string{plain(c.Name), number(p, float64(n), 0), number(p, float64(c.Pieces), 0), number(p, float64(c.Welds), 0)})
	}
	rows = append(rows, []string{"Sheets", number(p, float64(cars), 0), "", ""})
	if err := say(v.Out, aligned(rows)...); err != nil {
		return err
	}
	return say(v.Err, append(travellerNotes(r), "wrote "+plain(r.Output))...)
}

// mostNamed is how many joints of one kind are named before the rest is counted.
const mostNamed = 10

// travellerNotes is the talk: what to look at before the pages go to the bench.
func travellerNotes(r *traveller.Report) []string {
	base := plain(filepath.Base(r.Input))
	var lines []string
	if !r.Complete {
		lines = append(lines, verdict(r.Verdict)...)
	}
	tell := func(where, level, format string, args ...any) {
		if where != "" {
			where = ":" + where
		}
		lines = append(lines, plain(base+where+": "+level+": "+fmt.Sprintf(format, args...)))
	}
	if !r.Priced {
		tell("", "warning", "it has no sheet of assumptions, so set-ups and colour limits are as shipped and not the shop's; price it, set them, and write the travellers of that workbook")
	}
	for i, x := range r.NoReason {
		if i == mostNamed {
			tell("", "warning", "more joints that may be blue, and no reason is typed: %d", len(r.NoReason)-i)
			break
		}
		tell(x.Cell, "warning", "%s may be blue, and no reason is typed; type why in a note on its row, with the word blue, or on the page", x.Joint)
	}
	for i, x := range r.Hidden {
		if i == mostNamed {
			tell("", "warning", "more places whose words are left out: %d", len(r.Hidden)-i)
			break
		}
		tell(x.Cell, "warning", "%q of %s is left out: a bench would read a setting in it; reword the cell, price again, and write the travellers again", x.What, x.Joint)
	}
	for i, x := range r.Unsaid {
		if i == mostNamed {
			tell("", "warning", "more notes that are left out: %d", len(r.Unsaid)-i)
			break
		}
		tell(x.Cell, "warning", "the note %q of %s is left out: a bench could read a setting or an estimate in it; keep to words, sizes and angles with their unit, and marks", x.What, x.Joint)
	}
	if r.Unasked > 0 {
		tell("", "note", "left off: %s of the list; --notes prints them too", counted(r.Unasked, "note"))
	}
	if len(r.Bare) > 0 {
		tell("", "note", "no traveller for %s: no joint, or none ordered of those asked for", strings.Join(r.Bare, ", "))
	}
	if r.Encrypted {
		tell("", "note", "the travellers are not encrypted; the password of the workbook is not for the bench")
	}
	return lines
}
