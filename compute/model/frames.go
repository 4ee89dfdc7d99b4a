package model

import (
	"math"
	"strconv"
	"strings"

	"seamtally/compute/formula"
)

// Rows are the lines of a table in use, each with its columns and figures.
type Rows struct{ Frames []*formula.Frame }

// At is the line of that number, counted from 1; nil if there is none. A number may
// be typed by anybody, and be anything: it is taken as INDEX takes it in the formulas
// that are printed, without what is behind the point.
func (r *Rows) At(no float64) *formula.Frame {
	if no >= 1 && no < float64(len(r.Frames)+1) {
		return r.Frames[int(no)-1]
	}
	return nil
}

// NewFrame is an empty row of the scope: every number blank, every text "".
func (s *Scope) NewFrame() *formula.Frame {
	f := &formula.Frame{Num: make([]float64, len(s.Quantities)), Text: make([]string, s.texts)}
	for i := range f.Num {
		f.Num[i] = formula.Blank()
	}
	return f
}

// Num and Text read a quantity of a frame.
func (q *Quantity) Num(f *formula.Frame) float64 { return f.Num[q.Slot] }

// Text reads a text quantity of a frame; of a number it is "".
func (q *Quantity) Text(f *formula.Frame) string {
	if !q.IsText() {
		return ""
	}
	return f.Text[q.TextSlot]
}

// Blank takes what a frame has of a quantity out.
func (q *Quantity) Blank(f *formula.Frame) {
	if q.IsText() {
		f.Text[q.TextSlot] = ""
		return
	}
	f.Num[q.Slot] = formula.Blank()
}

// Copy gives a frame what another has of a quantity.
func (q *Quantity) Copy(to, from *formula.Frame) {
	if q.IsText() {
		to.Text[q.TextSlot] = from.Text[q.TextSlot]
		return
	}
	to.Num[q.Slot] = from.Num[q.Slot]
}

// SetShipped gives a frame the value that an assumption is shipped with.
func (q *Quantity) SetShipped(f *formula.Frame) {
	if q.IsText() {
		f.Text[q.TextSlot] = q.TextValue
		return
	}
	f.Num[q.Slot] = q.Value
}

// Digits is a value as text, for comparing: with every digit that it has.
func (q *Quantity) Digits(f *formula.Frame) string {
	switch {
	case q.IsText():
		return strings.ToLower(q.Text(f)) // capitals make no difference anywhere
	case formula.IsBlank(q.Num(f)):
		return ""
	}
	return strconv.FormatFloat(q.Num(f), 'g', -1, 64)
}

// Same reports whether a quantity is the same in two frames.
func (q *Quantity) Same(x, y *formula.Frame) bool { return q.Digits(x) == q.Digits(y) }

// ZeroIfBlank is how a spreadsheet reckons with an empty cell.
func ZeroIfBlank(x float64) float64 {
	if formula.IsBlank(x) {
		return 0
	}
	return x
}

// Figures are the figures of a line, a car or the order, by the names of the
// model. Texts and blanks are left out.
type Figures map[string]float64

// Figures are those of a frame; flags are not among them either.
func (s *Scope) Figures(f *formula.Frame) Figures {
	out := Figures{}
	for _, q := range s.Quantities {
		x := f.Num[q.Slot]
		if q.IsText() || q.Inner() || math.IsNaN(x) {
			continue
		}
		if q.UnitOf == "$" {
			// A stored value keeps the dust that float64 leaves behind the
			// cents, as the spreadsheet's own sum has it; a report does not.
			x = formula.Round(x, MoneyPlaces)
		}
		out[q.Key] = x
	}
	return out
}
