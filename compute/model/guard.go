package model

import (
	"fmt"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/units"
)

// Guard is how a column of a table is guarded: its usual range stands in the
// quantity (Low, High), its words in Choices.
type Guard struct {
	// Blank is what a blank cell stands for; "" where it is asked about.
	Blank string
	// Where is the condition, of the line's own columns, under which a blank is
	// asked about; nil: on every line.
	Where *formula.Formula
	// Never is a number that cannot be meant: this and all above it.
	Never float64
	// Zero is what to do where 0 is asked about too; "" where it says that there is none.
	Zero string
	// Rises: each line's number is over that of the line above; a blank is the last.
	Rises bool
	// Alike is how the lines of a table have much the same number; nil: they need not.
	Alike *Alike
	// Look: the price does not suffer.
	Look bool
	// Live is the check of the order that counts its blanks and words that are none.
	Live *Quantity

	where formula.Node
	src   formula.Source
}

// Alike says which lines of a table have much the same number, for as much of something.
type Alike struct {
	Within *Quantity        // lines with the same word here
	By     *formula.Formula // for as much of this, worked out of the line's own columns; nil: as it stands

	by   formula.Node
	src  formula.Source
	unit units.Unit
}

// readAlike reads "by wall*(od-wall), in², of one alloy" or "of one alloy".
func (m *Model) readAlike(t *Scope, text string, at formula.Source) (*Alike, error) {
	a := &Alike{}
	rest, of, _ := strings.Cut(text, "of one ")
	if a.Within = t.byKey[of]; a.Within == nil || !a.Within.IsText() {
		return nil, fmt.Errorf("lines are alike of one word, in a column before: alike of one alloy")
	}
	by, some := strings.CutPrefix(rest, "by ")
	if !some {
		return a, nil
	}
	parts := strings.Split(by, ", ")
	if len(parts) != 3 {
		return nil, fmt.Errorf("lines are alike by a formula, with its unit: alike by wall*(od-wall), in², of one alloy")
	}
	var err error
	if a.unit, err = units.Parse(parts[1]); err != nil {
		return nil, err
	}
	at.Text = parts[0]
	a.src = at
	a.by, err = formula.Parse(at)
	return a, err
}

// FarOff is how many times its usual range a number may be off before it is not
// believed.
const FarOff = 10

// readGuard reads the last two parts of a column: "low to high" or "low to high
// never x", in the unit of the US book; and what a blank cell is: "blank: ..."
// says what it stands for, "asked" or "told" that it is asked about, for some lines
// "asked where" a condition; ", 0 too:" what to do, where 0 is no more believed than a
// blank, or says no more. Behind a range that the lines are to rise through stands "rising". In place of a range, "alike"
// says that the lines have much the same.
func (m *Model) readGuard(t *Scope, q *Quantity, usual, blank string, at formula.Source) error {
	g := &Guard{}
	q.Guard = g
	usual, g.Rises = strings.CutSuffix(usual, " rising")
	ends, never, _ := strings.Cut(usual, " never ")
	var err error
	if alike, is := strings.CutPrefix(usual, "alike "); is {
		g.Alike, err = m.readAlike(t, alike, at)
	} else {
		err = m.readUsual(ends, q)
	}
	g.Never = FarOff * q.High
	if err == nil && never != "" {
		g.Never, err = m.usual(never, q.UnitOf)
	}
	if err != nil {
		return err
	}
	blank, g.Zero, _ = strings.Cut(blank, ", 0 too: ")
	said, where, some := strings.Cut(blank, " where ")
	stands, means := strings.CutPrefix(blank, "blank: ")
	switch {
	case means:
		g.Blank = stands
		return nil
	case said == "told":
		g.Look = true
	case said != "asked":
		return fmt.Errorf(`what a blank %s is, is written "blank: what it stands for", "asked" or "told"`, q.Key)
	}
	if some {
		at.Text = where
		g.src = at
		var err error
		g.where, err = formula.Parse(g.src)
		return err
	}
	return nil
}
