package logbook

import (
	"regexp"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/revisions"
)

// StatePair is a line of a record and the line of a later one that it has
// become; nil where there is none.
type StatePair struct{ Was, Now *StateLine }

// numbered is what tells lines of a table apart that are called alike.
var numbered = regexp.MustCompile(` \([0-9]+\)$`)

// Line is the line as it is now or, if it is gone, as it was.
func (p StatePair) Line() *StateLine {
	if p.Now != nil {
		return p.Now
	}
	return p.Was
}

// PairStates finds what has become of each line of a record: those of the later
// one in their order, then what is gone. Lines of a table that are called alike
// are told apart by what they hold, for their numbers change when one goes. A joint
// list whose sheet was renamed is the one that it was.
func (b *Log) PairStates(was, now []StateLine) []StatePair {
	renamed := b.Renamed()
	var keys, contents [2][]string
	for side, lines := range [2][]StateLine{revisions.Old: was, revisions.New: now} {
		for _, s := range lines {
			name := strings.ToLower(s.Name)
			switch s.What {
			case StateList, StateRows:
				if side == revisions.New && renamed[name] != "" {
					name = strings.ToLower(renamed[name])
				}
			case StateSingle, StateFormulas, StateOrder:
			default:
				name = numbered.ReplaceAllString(name, "")
			}
			keys[side] = append(keys[side], s.What+"\x00"+name)
			contents[side] = append(contents[side], s.Value)
		}
	}
	out := make([]StatePair, len(now))
	for i := range now {
		out[i].Now = &now[i]
	}
	gone := make([]bool, len(was))
	for _, p := range revisions.Paired(keys, contents) {
		switch {
		case p[revisions.New] == revisions.None:
			gone[p[revisions.Old]] = true
		case p[revisions.Old] != revisions.None:
			out[p[revisions.New]].Was = &was[p[revisions.Old]]
		}
	}
	for i := range was {
		if gone[i] && !comesBack(&was[i], out) {
			out = append(out, StatePair{Was: &was[i]})
		}
	}
	return out
}

// comesBack finds a joint list that is gone in one that is new and says the same,
// under a title that nothing has followed.
func comesBack(gone *StateLine, out []StatePair) bool {
	if s, ok := readListState(gone.Value); gone.What != StateList || !ok || s.rows == 0 {
		return false
	}
	for i, p := range out {
		if p.Was == nil && p.Now.What == StateList && p.Now.Value == gone.Value {
			out[i].Was = gone
			return true
		}
	}
	return false
}

// Renamed says what sheets of joint lists were called at the last run, by what they
// are called now in lower case: the headings in the Columns table follow a sheet
// that is renamed, and the titles in it do not.
func (b *Log) Renamed() map[string]string {
	out := map[string]string{}
	r, _ := b.BlockAt(book.NameColumns)
	for row := r.Row1; row > 0 && row <= r.Row2; row++ {
		was := strings.TrimSpace(book.CellText(*b.Own.Cell(row, book.ColumnsSheet)))
		now, _, ok := page.SplitRef(b.Own.Cell(row, book.ColumnsHeading).Formula)
		if now = strings.TrimSpace(now); ok && was != "" && !strings.EqualFold(was, now) && b.Workbook.Sheet(now) >= 0 {
			out[strings.ToLower(now)] = was
		}
	}
	return out
}
