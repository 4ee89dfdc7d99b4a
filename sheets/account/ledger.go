package account

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/sheets/book"
	"seamtally/sheets/joints"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/worksheet"
)

// Ledger is the account of the joint lists of a workbook, and of its other sheets.
type Ledger struct {
	*joints.Lists
	PartsNone   bool                       // lines of other work that nothing was filled in on are none
	MadeNone    map[*formula.Frame]bool    // these lines
	Unsettled   map[string]int             // what is not settled, by the check that counts it
	whole       []string                   // sheets of which it is to be settled, as a whole, what they are
	accounts    []*account                 // of the lists, in their order
	behindPrice map[*compute.Quantity]bool // what the price comes from; nil until it is asked for
	doubtful    map[string]bool            // cars of which nobody has said how many are ordered, in small letters
}

// account is that of one joint list.
type account struct {
	*joints.Editor
	b *Ledger

	odAt, wallAt, qtyAt int // of the columns that are filled

	strays  map[int]*stray      // columns that are not read
	open    map[int]bool        // those that are not settled
	twins   map[int]*twin       // columns of the shop's that are headed as figures of ours
	blanks  []*blanks           // columns of yes and no
	marks   markRanges          // that name a first and a last one
	seen    map[string]seenMark // by mark and car
	cars    map[string]carPlace // of its priced joints, in small letters
	left    map[string]bool     // cars of joints that were left out, in small letters
	lastCar string              // of the last priced joint
	titles  []titleRow          // rows of words among the joints
	asides  []aside             // those above the joints, and below them
	alike   alikes
	repeats repeats

	lastJoint  int // the last row that is one
	lastFilled int // the last row with something of the shop's in it
}

// FindUnsettled begins the rules of findings of what is not settled.
const FindUnsettled = "not settled: "

// unsettled tells of one thing that could change the price and is not understood,
// and counts it: while there is any, that check keeps the order from being complete.
func (b *Ledger) unsettled(check, rule, cell, what, fix string) {
	if b.Unsettled == nil {
		b.Unsettled = map[string]int{}
	}
	b.Unsettled[check]++
	b.Fails(check, FindUnsettled+rule, cell, what, fix)
}

// FillLists fills every joint list, and takes its rows into the account.
func (b *Ledger) FillLists(e *opc.Edit) error {
	filler, err := b.Filler(e)
	if err != nil {
		return err
	}
	for _, lists := range b.BySheet() {
		eds, err := filler.Editors(lists)
		if err != nil {
			return err
		}
		of, first := map[*joints.Editor]*account{}, len(b.accounts)
		for _, ed := range eds {
			of[ed] = b.accountOf(ed)
			b.accounts = append(b.accounts, of[ed])
		}
		if err := filler.Fill(eds, func(ed *joints.Editor, r *worksheet.Row) { of[ed].row(r) }); err != nil {
			return err
		}
		for _, ed := range b.accounts[first:] {
			ed.tellStrays()
			ed.tellMarks()
			ed.tellRepeats()
			ed.tellTwins()
			ed.tellPassed()
		}
	}
	b.tellBlanks()
	return nil
}

// accountOf opens the account of a list.
func (b *Ledger) accountOf(ed *joints.Editor) *account {
	a := &account{
		Editor: ed, b: b, strays: map[int]*stray{}, open: map[int]bool{}, twins: b.twinsOf(ed.L), seen: map[string]seenMark{},
		cars: map[string]carPlace{}, left: map[string]bool{}, alike: newAlikes(),
	}
	for i, c := range ed.Cols {
		switch c.Q.Key {
		case "od":
			a.odAt = i
		case "wall":
			a.wallAt = i
		case "qty":
			a.qtyAt = i
		}
	}
	a.blanks = a.yesOrNos()
	for i := range ed.L.Before {
		a.keepAside(&ed.L.Before[i], false)
	}
	return a
}

// row takes a row into the account, once it is filled.
func (ed *account) row(r *worksheet.Row) {
	switch ed.Came.To {
	case joints.Unseen:
		return
	case joints.NoJoint:
		ed.noJoint(r)
		return
	}
	ed.leadsTo(r.Num)
	ed.lastFilled = r.Num
	ed.lookAtStrays(r)
	ed.lookAtPieces(r)
	if !ed.Came.Doubt {
		ed.lookAtRepeats(r)
	}
	for _, i := range ed.Came.Typed {
		ed.typedNumber(ed.Cols[i].Q, r.Num)
	}
	if ed.Came.To == joints.LeftOut {
		ed.left[strings.ToLower(ed.carOfRow())] = true
		return
	}
	ed.keepCar(r.Num)
	ed.keepAlike()
	ed.warnTwice(r)
	ed.lookAtBlanks(r.Num)
	ed.tellBeyond(r.Num)
	ed.tellIdle(r.Num)
	ed.compareTwins(r)
}

// noJoint takes a row that is no joint into the account.
func (ed *account) noJoint(r *worksheet.Row) {
	why := ed.Came.Why
	if t := ed.titleOf(r, why); t != nil {
		ed.titles = append(ed.titles, *t)
	}
	if why == joints.IsNote || why == "" {
		ed.keepAside(r, true)
	}
	if slices.ContainsFunc(r.Cells, func(c worksheet.Cell) bool { return joints.Filled(&c) && !ed.OurCell(c.Col) }) {
		ed.lastFilled = r.Num
	}
}

// carOfRow is the car of the joint on the row.
func (ed *account) carOfRow() string { return ed.b.Model.Line.Quantity("car").Text(&ed.Line.Frame) }

// keepCar notes what a priced joint says of its car.
func (ed *account) keepCar(row int) {
	car := ed.carOfRow()
	if car == ed.lastCar && len(ed.cars) > 0 {
		return
	}
	ed.lastCar = strings.Clone(car)
	low := strings.ToLower(ed.lastCar)
	if _, has := ed.cars[low]; !has {
		ed.cars[low] = carPlace{ed.lastCar, row, max(ed.L.Shop["car"].Col, 1)}
	}
}

// tellPassed says which rows were taken for no joints.
func (ed *account) tellPassed() {
	for _, p := range ed.L.PassedOver {
		ed.b.Note(book.LevelNote, "passed "+p.Why, ed.L.Ref(p.Row, ed.L.Shop["od"].Col), fmt.Sprintf("row %d is no joint: %s", p.Row, p.Why), "")
	}
}

// IsOpen reports whether it is not settled what a column of a list is.
func (b *Ledger) IsOpen(l *joints.List, col int) bool { return b.accounts[l.No].open[col] }
