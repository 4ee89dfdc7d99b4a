package account

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/joints"
	"seamtally/sheets/notes"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/sayings"
	"seamtally/sheets/settling"
)

// A comment at a joint's row is read as the same words in a column of the shop's own
// would be, and elsewhere as words around the joints; so are text boxes, which may hang
// anywhere, and what stands at the head and the foot of printed pages.

// noted is a comment at the row of a joint, and what it says against the row.
type noted struct {
	sayings.Beside
	note notes.Note
	mark string // of the joint, in small letters
}

// notesOf are the comments of a sheet that nobody has taken.
func (b *Ledger) notesOf(part string) (s *notes.Sheet, err error) {
	if s = b.notes[part]; s == nil {
		s, err = notes.Read(b.Package, part)
		b.notes[part] = s
	}
	return s, err
}

// keepNotes keeps the comments at the row of a joint until all marks are known.
func (ac *account) keepNotes(row int) {
	for _, note := range ac.notes.Take(row) {
		n := noted{note: note, mark: strings.ToLower(ac.Came.Mark)}
		for _, text := range note.Ways {
			if n.What == "" {
				n.Beside = ac.said.BesideNoCell(ac.Editor, text)
			}
		}
		ac.noted = append(ac.noted, n)
	}
}

// tellNotes tells of comments at the joints of a list.
func (ac *account) tellNotes() {
	for _, n := range ac.noted {
		if n.What == "" && ac.refersTo(n.note.Words, n.mark) {
			n.What, n.Fix = "may say that the joint is there already, as another", "take the row out if it is"
		}
		at := wordsOfNote(n.note)
		if n.What != "" && !ac.b.WordsAreOwn(ac.L.Title, at) {
			ac.b.unsettled(book.CheckInputs, "comment", ac.L.Ref(at.Row, at.Col), fmt.Sprintf("%q in a comment at the joint %s", at.Text, n.What),
				n.Fix+"; if it says nothing of the joint: "+settling.WordsAsOwn(ac.L.Title, at))
		}
	}
}

func wordsOfNote(n notes.Note) settling.Words {
	return settling.Words{Row: n.Row, Col: n.Col, Text: n.Words}
}

// tellAround tells of comments around the joints of a sheet with those lists, of its text
// boxes, and of what its pages have at the head and the foot; that is settled by the cell of
// the first heading.
func tellAround(of []*account) {
	first := of[0]
	for _, words := range notes.OnPages(first.L.Info.Pages) {
		t := titleRow{Words: settling.Words{Row: first.L.HeadRow, Col: first.L.Sorted()[0].Col, Text: words}}
		for _, ac := range of {
			if ac.tellSaying(&t, "at the head or the foot of the pages with") {
				break
			}
		}
	}
	for _, n := range first.notes.TakeBoxes() {
		for _, ac := range of {
			if ac.tellSaying(&titleRow{Words: wordsOfNote(n)}, "in a text box beside", n.Ways...) {
				break
			}
		}
	}
	for _, row := range first.notes.Rows() {
		ac := first
		if i := slices.IndexFunc(of, func(ac *account) bool { return ac.L.Has(row) }); i >= 0 {
			ac = of[i]
		}
		for _, n := range first.notes.Take(row) {
			ac.tellSaying(&titleRow{Words: wordsOfNote(n)}, "in a comment around", n.Ways...)
		}
	}
}

// takeCarNotes adds what stands in no cell on the sheet of the cars to the words there: all
// of it, or where it has joints too the comments beside a car.
func (b *Ledger) takeCarNotes() error {
	if b.Cars == nil {
		return nil
	}
	part := b.Workbook.Sheets[b.Workbook.Sheet(b.Cars.Title)].PartName
	listed := slices.ContainsFunc(b.All, func(l *joints.List) bool { return l.Part == part })
	s, err := b.notesOf(part)
	if err != nil {
		return err
	}
	for _, row := range s.Rows() {
		i := slices.IndexFunc(b.Cars.Entries, func(e joints.CarEntry) bool { return e.Row == row })
		if listed && i < 0 {
			continue
		}
		for _, n := range s.Take(row) {
			w := joints.CarWords{Row: row, Col: n.Col, Text: n.Words, Ways: n.Ways, In: "in a comment "}
			if i >= 0 {
				w.Car = &b.Cars.Entries[i]
			}
			b.Cars.Words = append(b.Cars.Words, w)
		}
	}
	if listed {
		return nil
	}
	for _, n := range s.TakeBoxes() {
		b.Cars.Words = append(b.Cars.Words, joints.CarWords{Row: n.Row, Col: n.Col, Text: n.Words, Ways: n.Ways, In: "in a text box "})
	}
	for _, words := range notes.OnPages(b.Cars.Pages) {
		b.Cars.Words = append(b.Cars.Words, joints.CarWords{Row: b.Cars.HeadRow, Col: 1, Text: words, In: "at the head or the foot of the pages, "})
	}
	return nil
}

// saidOfJoints is what a text on another sheet may say of the joints of a list, "" for
// nothing.
func (b *Ledger) saidOfJoints(text string) (says string) {
	for _, ac := range b.accounts {
		if says == "" {
			says = ac.said.Otherwise(text)
		}
	}
	return says
}

// wordsInNoCell is what words that stand in no cell of a sheet that is not read may say of
// the joints, and at which cell: "" for nothing.
func (b *Ledger) wordsInNoCell(part string, pages worksheet.Pages) (what, cell string, err error) {
	s, err := b.notesOf(part)
	if err != nil {
		return "", "", err
	}
	say := func(in string, at notes.Note) {
		for _, text := range at.Ways {
			if says := b.saidOfJoints(text); what == "" && says != "" {
				what, cell = fmt.Sprintf("%q %s may %s", text, in, says), grid.Ref(at.Row, at.Col)
			}
		}
	}
	for _, row := range s.Rows() {
		for _, n := range s.Take(row) {
			say("in a comment", n)
		}
	}
	for _, n := range s.TakeBoxes() {
		say("in a text box", n)
	}
	say("at the head or the foot of its pages", notes.Note{Row: 1, Col: 1, Ways: notes.OnPages(pages)})
	return what, cell, nil
}
