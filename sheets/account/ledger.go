// Package account is the account of a workbook: what of it is read, what is the
// shop's own, and what is not settled, so that the price may be another. It goes over
// the rows that package joints has read, and knows nothing of our own sheets.
package account

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/alike"
	"seamtally/sheets/book"
	"seamtally/sheets/joints"
	"seamtally/sheets/notes"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/sayings"
	"seamtally/sheets/settling"
	"seamtally/sheets/totals"
	"seamtally/sheets/unread"
)

// Ledger is the account of the joint lists of a workbook, and of its other sheets.
type Ledger struct {
	*joints.Lists
	*settling.Settled
	MadeNone    map[*formula.Frame]bool  // these lines
	Unsettled   map[string]int           // what is not settled, by the check that counts it
	notes       map[string]*notes.Sheet  // comments, by the part of their sheet
	accounts    []*account               // of the lists, in their order
	behindPrice map[*model.Quantity]bool // what the price comes from; nil until it is asked for
	texts       *sayings.Reader
	Bases       map[*model.Quantity]string // what the shop has written beside single assumptions; none for those as shipped
	doubtful    map[string]bool            // cars of which nobody has said how many are ordered, in small letters
}

// New opens the account of joint lists.
func New(l *joints.Lists) *Ledger {
	return &Ledger{Lists: l, Settled: settling.Of(l.Book), texts: &sayings.Reader{Book: l.Book}, notes: map[string]*notes.Sheet{}}
}

// account is that of one joint list.
type account struct {
	*joints.Editor
	b *Ledger
	columnsBeside
	marksSeen
	carsSeen
	wordsAround
	span
	partsSeen
	alike  alike.List
	totals totals.Rows
	above  *unread.Sheet // what stands above the first list of a sheet
}

// columnsBeside are the columns of a list beside those that are read.
type columnsBeside struct {
	strays  map[int]*stray // those that are not read
	open    map[int]bool   // those that are not settled
	twins   map[int]*twin  // those that are headed as figures of ours
	blanks  []*blanks      // those of yes and no
	first   firstOnly      // those that only the first joint fills
	side    listBeside
	besides map[int]*besideSaid // words in them
	merged  map[[2]int]int      // the last row of cells that are merged downwards, by their first
	over    map[int]mergedWords // such cells with words, by their column
}

// marksSeen are the marks of the joints of a list.
type marksSeen struct {
	marks      marksOfSeveral      // that name several joints
	seen       map[string]seenMark // by mark and car
	pieces     map[string]float64  // by mark, in small letters
	markCounts markCounts
}

// carsSeen are the cars of the joints of a list, in small letters.
type carsSeen struct {
	cars    map[string]carPlace // of its priced joints
	left    map[string]bool     // of joints that were left out
	lastCar string              // of the last priced joint
}

// wordsAround are the words around the joints of a list, and what they may say otherwise.
type wordsAround struct {
	titles []titleRow      // rows of them among the joints
	asides []sayings.Aside // those above the joints, and below them
	said   *sayings.Said
	places map[string]bool // what stands under Section, in small letters
	refers map[int]bool    // columns whose headings point at other joints
	refer  []referring
	notes  *notes.Sheet // comments of the sheet
	noted  []noted      // those at joints
}

// span is from where to where on the sheet a list goes.
type span struct {
	firstJoint int // the first row that is one
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
	if err := b.takeCarNotes(); err != nil {
		return err
	}
	for _, lists := range b.BySheet() {
		eds, err := filler.Editors(lists)
		if err != nil {
			return err
		}
		of, first := map[*joints.Editor]*account{}, len(b.accounts)
		commented, err := b.notesOf(lists[0].Part)
		if err != nil {
			return err
		}
		for _, ed := range eds {
			of[ed] = b.accountOf(ed)
			of[ed].notes = commented
			b.accounts = append(b.accounts, of[ed])
		}
		if err := filler.Fill(eds, func(ed *joints.Editor, r *worksheet.Row) { of[ed].row(r) }); err != nil {
			return err
		}
		for _, ac := range b.accounts[first:] {
			ac.tellAbove()
			ac.tellListBeside()
			ac.tellStrays()
			ac.tellTicks()
			ac.tellMarkCounts()
			ac.tellBesides()
			ac.tellFirstOnly()
			ac.tellReferring()
			ac.tellNotes()
			ac.tellMarks()
			ac.tellParts()
			ac.tellTotals()
			ac.tellTwins()
			ac.tellPassed()
		}
		tellAround(b.accounts[first:])
	}
	b.tellBlanks()
	return nil
}

// accountOf opens the account of a list.
func (b *Ledger) accountOf(ed *joints.Editor) *account {
	ac := &account{
		Editor: ed, b: b, alike: alike.NewList(),
		columnsBeside: columnsBeside{strays: map[int]*stray{}, open: map[int]bool{}, twins: b.twinsOf(ed.L), merged: mergedDown(ed.L), over: map[int]mergedWords{}},
		marksSeen:     marksSeen{seen: map[string]seenMark{}},
		carsSeen:      carsSeen{cars: map[string]carPlace{}, left: map[string]bool{}},
		wordsAround:   wordsAround{said: b.texts.Of(ed.Cols), places: map[string]bool{}, refers: map[int]bool{}},
	}
	for col, head := range ed.L.Heads {
		ac.refers[col] = b.texts.Refers(sayings.Words(head))
	}
	ac.blanks = ac.yesOrNos()
	for i := range ed.L.Before {
		ac.keepAside(&ed.L.Before[i], false)
	}
	return ac
}

// row takes a row into the account, once it is filled.
func (ac *account) row(r *worksheet.Row) {
	ac.lookBeside(r)
	switch ac.Came.To {
	case joints.Unseen:
		ac.lookAbove(r)
		return
	case joints.NoJoint:
		ac.noJoint(r)
		return
	}
	ac.leadsTo(r.Num)
	ac.titleBeside(r)
	ac.lastFilled = r.Num
	ac.lookAtStrays(r)
	ac.lookAtPieces(r)
	ac.takeForTotals(r.Num)
	for _, i := range ac.Came.Typed {
		ac.typedNumber(ac.Cols[i].Q, r.Num)
	}
	ac.lookAtBlanks(r.Num)
	if ac.Came.To == joints.LeftOut {
		ac.left[strings.ToLower(ac.carOfRow())] = true
		ac.notes.Take(r.Num)
		return
	}
	ac.keepCar(r.Num)
	ac.keepAlike()
	ac.said.Keep(ac.Line, ac.Came.Mark)
	ac.besideJoint(r)
	ac.keepNotes(r.Num)
	ac.warnTwice(r)
	ac.lookAtFirst(r.Num)
	ac.tellBeyond(r.Num)
	ac.tellUnchosen(r.Num)
	ac.tellIdle(r.Num)
	ac.compareTwins(r)
}

// noJoint takes a row that is no joint into the account.
func (ac *account) noJoint(r *worksheet.Row) {
	why := ac.Came.Why
	ac.piecesAlone(r, why)
	if why != "" {
		ac.totals.Break()
	}
	if t := ac.titleOf(r, why); t != nil {
		ac.titles = append(ac.titles, *t)
	}
	switch why {
	case joints.IsNote, "":
		ac.keepAside(r, true)
	case joints.IsTotal:
		ac.keepTotal(r)
	}
	if slices.ContainsFunc(r.Cells, func(c worksheet.Cell) bool { return joints.Filled(&c) && !ac.OurCell(c.Col) }) {
		ac.lastFilled = r.Num
	}
}

// tellPassed says which rows were taken for no joints.
func (ac *account) tellPassed() {
	for _, p := range ac.L.Rows.PassedOver {
		ac.b.Note(book.LevelNote, "passed "+p.Why, ac.L.Ref(p.Row, ac.L.Shop["od"].Col), fmt.Sprintf("row %d is no joint: %s", p.Row, p.Why), "")
	}
}

// Account says what of the workbook is not settled, once its joints are read.
func (b *Ledger) Account() error {
	b.findDoubtful()
	b.tellTwice()
	b.tellCars()
	b.tellUnsaid()
	b.tellNames()
	b.tellAsides()
	for i, ac := range b.accounts {
		if i+1 < len(b.All) && b.All[i+1].Part == ac.L.Part {
			ac.endsAt(b.All[i+1])
		}
		ac.tellSayings()
		ac.tellTitles()
	}
	b.TellIdleCells()
	return b.tellUnread()
}

// IsOpen reports whether it is not settled what a column of a list is.
func (b *Ledger) IsOpen(l *joints.List, col int) bool { return b.accounts[l.No].open[col] }
