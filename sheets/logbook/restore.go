package logbook

import (
	"strconv"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/model"
)

// Restore gives what the shop has set the value that the last run recorded, if it did:
// of a single assumption, or of a table's line, counted from 0.
func (r *Log) Restore(q *model.Quantity, row int) {
	for _, p := range r.PairStates(r.ReadState(), r.state()) {
		switch {
		case p.Was == nil || p.Now == nil:
		case q.Scope == r.Model.Singles && p.Now.What == StateSingle && p.Now.Name == q.Key:
			SetState(q, r.Values.Singles, p.Was.Value)
		case p.Now.What == q.Scope.Title && p.Now.Row == row:
			_, cells := StateCells(p.Was.Value)
			SetState(q, r.Values.Rows(q.Scope).Frames[row], cells[q.Key])
		}
	}
}

// SetState gives a frame a value as the record writes it.
func SetState(q *model.Quantity, f *formula.Frame, text string) {
	if q.IsText() {
		if s, err := strconv.Unquote(text); err == nil {
			text = s
		}
		f.Text[q.TextSlot] = text
		return
	}
	number, _, _ := strings.Cut(text, " ")
	x, err := strconv.ParseFloat(number, 64)
	switch {
	case err != nil:
		x = formula.Blank()
	case q.Unit.String() == "%":
		x /= 100
	}
	f.Num[q.Slot] = x
}
