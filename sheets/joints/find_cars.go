package joints

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/headings"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/workbook"
	"seamtally/sheets/part/worksheet"
)

// CarList is a list of the cars ordered that the shop keeps itself.
type CarList struct {
	Title   string
	HeadRow int
	Pages   worksheet.Pages
	Entries []CarEntry
	Open    []OpenCar      // what it leaves open
	strays  map[int]string // headings that mean nothing to the program
	Words   []CarWords     // beside the cars, and around them
	bidHead string         // over bids, where it does not say that they are per car
}

type CarEntry struct {
	Name         string
	Row, Col     int
	Ordered, Bid *CarCell
}

type CarCell struct {
	Ref string // absolute, on its sheet: $B$7
	Num float64
}

// CarWords are words on the sheet of the cars, beside a car or, without one, around them.
type CarWords struct {
	Row, Col int
	Text     string
	Car      *CarEntry
	Ways     []string // the texts as which they are to be read too
	In       string   // what they stand in, as "in a comment"; "" for a cell
}

// mostCarWords bounds how many are kept.
const mostCarWords = 200

// keepWords keeps the words of a row, but for the car's name.
func (b *Lists) keepWords(r *worksheet.Row, read [3]int, above bool) {
	var of *CarEntry
	for _, c := range r.Cells {
		if c.Col == read[0] {
			of = b.Cars.Entry(book.CellText(c))
		}
	}
	for _, c := range r.Cells {
		if c.Kind == worksheet.Text && (of == nil && !above || of != nil && !slices.Contains(read[:], c.Col)) && len(b.Cars.Words) < mostCarWords {
			b.Cars.Words = append(b.Cars.Words, CarWords{Row: r.Num, Col: c.Col, Text: strings.TrimSpace(strings.Clone(c.Text)), Car: of})
		}
	}
}

// OpenCar is what the list of cars leaves open.
type OpenCar struct {
	Cell, What, Fix string
	Name            string // of the car, "" where it is about none
	Col             int    // what is to be settled is this column's, under Head
	Head            string
	IfListed        bool // only if the car has joints
}

// findCars looks for the cars ordered: a heading row with the car and how many
// are ordered of it, on a sheet of its own or above a joint list.
func (b *Lists) findCars(rows []worksheet.Row, s workbook.Sheet, lists []*List) (found bool, err error) {
	end := grid.MaxRow + 1
	if len(lists) > 0 {
		end = lists[0].TopRow
	}
	for _, r := range rows {
		if r.Num >= end {
			break
		}
		if !slices.ContainsFunc(r.Cells, func(c worksheet.Cell) bool {
			return c.Kind == worksheet.Text && b.Quick.Recognise(strings.TrimSpace(c.Text)).Key == "ordered"
		}) {
			continue
		}
		cols := headings.Finder{Book: b.Book}.Recognise(headings.Texts(r.Cells), nil, "cars", nil)
		car, ok := cols["car"]
		ordered, has := cols["ordered"]
		if !ok || !has {
			continue
		}
		if b.Cars != nil {
			b.Cars.Open = append(b.Cars.Open, OpenCar{Cell: grid.Ref(b.Cars.HeadRow, 1),
				What: fmt.Sprintf("the cars ordered are listed on %s too, and this list alone is read", s.Name), Fix: "keep one list of cars"})
			return true, nil
		}
		b.Cars = &CarList{Title: s.Name, HeadRow: r.Num, strays: b.strayHeads(headings.Texts(r.Cells), cols)}
		if bid := cols["bid"]; !b.Quick.Recognise(bid.Head).Exact {
			b.Cars.bidHead = bid.Head
		}
		next := r.Num + 1
		info, err := b.ReadPart(s.PartName, func(r *worksheet.Row) error {
			// Above a joint list the cars end where a row is blank: a title may follow.
			above := len(lists) > 0
			named := slices.ContainsFunc(r.Cells, func(c worksheet.Cell) bool { return c.Col == car.Col && Filled(&c) })
			if r.Num > b.Cars.HeadRow && r.Num < end && (!above || named && r.Num == next) {
				next = r.Num + 1
				b.readCar(r, car.Col, ordered.Col, cols["bid"].Col)
			}
			if r.Num != b.Cars.HeadRow && r.Num < end {
				b.keepWords(r, [3]int{car.Col, ordered.Col, cols["bid"].Col}, above)
			}
			return nil
		})
		if err == nil {
			b.Cars.Pages = info.Pages
		}
		return true, err
	}
	return false, nil
}

// strayHeads are the headings of the list of cars that mean nothing to the program, and
// are not known to be the shop's own.
func (b *Lists) strayHeads(texts map[int]string, cols map[string]headings.Column) map[int]string {
	out := map[int]string{}
	for col, text := range texts {
		if m := b.Quick.Recognise(text); m.Key == "" && (!m.Own || cols["bid"].Col == 0 && b.ofMoney(text)) {
			out[col] = text
		}
	}
	for _, c := range cols {
		delete(out, c.Col)
	}
	return out
}

// ofMoney reports whether a heading has a word for what a car is offered at.
func (b *Lists) ofMoney(head string) bool {
	return slices.ContainsFunc(entry.WordsIn(head), func(w string) bool {
		_, _, err := b.Words.Read("money", w, nil)
		return err == nil
	})
}

// strayOfCar leaves open what a number beside a car is, if nothing says so: it may be
// a bid.
func (b *Lists) strayOfCar(r *worksheet.Row) {
	for _, c := range r.Cells {
		if head, stray := b.Cars.strays[c.Col]; stray && c.Kind == worksheet.Number && !b.IsDate(c.Style) && c.Num != 0 {
			b.Cars.Open = append(b.Cars.Open, OpenCar{Cell: grid.Ref(r.Num, c.Col), Col: c.Col, Head: head,
				What: fmt.Sprintf("the column %q beside the cars holds numbers, and is not read", head),
				Fix:  `head it "Bid per car" if that is what it is, or with a word that says what else`})
			delete(b.Cars.strays, c.Col)
		}
	}
}

// readCar reads a row of the list of cars.
func (b *Lists) readCar(r *worksheet.Row, car, ordered, bid int) {
	e := CarEntry{Row: r.Num, Col: car}
	if i := slices.IndexFunc(r.Cells, func(c worksheet.Cell) bool { return c.Col == car }); i >= 0 {
		e.Name = book.CellText(r.Cells[i])
	}
	var faults []OpenCar
	odd := func(c worksheet.Cell, what, fix string) {
		faults = append(faults, OpenCar{Cell: grid.Ref(r.Num, c.Col), Name: e.Name, What: what, Fix: fix})
	}
	for _, c := range r.Cells {
		if c.Col == ordered && b.Styles.Struck(c.Style) && Filled(&c) {
			odd(c, "the cars ordered are struck out", "delete the row, or take the line through it off")
			continue
		}
		switch {
		case c.Col == ordered && c.Kind == worksheet.Number && b.carsShown(&c) != "":
			odd(c, "the cars ordered are "+b.carsShown(&c), formatFix)
		case c.Col == ordered && c.Kind == worksheet.Number:
			e.Ordered = &CarCell{page.Absolute(r.Num, c.Col), c.Num}
		case c.Col == ordered && Filled(&c):
			number := "a number"
			if n, ok := b.Measures.WholeNumber(book.CellText(c)); ok {
				number = strconv.Itoa(n)
			}
			odd(c, fmt.Sprintf("the cars ordered are %q, which is no number", book.CellText(c)), "type "+number+", and set the cell's format to a number")
		case bid > 0 && c.Col == bid && c.Kind == worksheet.Number:
			e.Bid = &CarCell{page.Absolute(r.Num, c.Col), c.Num}
		case bid > 0 && c.Col == bid && Filled(&c):
			odd(c, fmt.Sprintf("the bid is %q, which is no number, and is not read", book.CellText(c)), "type a number; the sign for money comes with the cell's format")
		}
	}
	switch {
	case e.Name == "" || b.totalWord(e.Name):
		return
	case len(b.Cars.strays) > 0:
		b.strayOfCar(r)
	}
	switch {
	case b.Cars.Entry(e.Name) != nil && (e.Ordered != nil || len(faults) > 0):
		b.Cars.Open = append(b.Cars.Open, OpenCar{Cell: grid.Ref(r.Num, car),
			What: fmt.Sprintf("the car %q is on the list of cars twice, on row %d too; that row alone is read", e.Name, b.Cars.Entry(e.Name).Row), Fix: "keep one row for each car"})
		return
	case e.Ordered == nil && len(faults) == 0:
		b.Cars.Open = append(b.Cars.Open, OpenCar{Cell: grid.Ref(r.Num, ordered), Name: e.Name, IfListed: true,
			What: fmt.Sprintf("how many of %q are ordered is blank", e.Name), Fix: "type how many"})
	}
	b.Cars.Open = append(b.Cars.Open, faults...)
	if b.Cars.bidHead != "" && e.Bid != nil && e.Bid.Num != 0 && e.Ordered != nil && e.Ordered.Num > 1 {
		b.Cars.Open = append(b.Cars.Open, OpenCar{Cell: grid.Ref(b.Cars.HeadRow, bid),
			What: fmt.Sprintf("%q over the bids does not say whether each is for one car or for all that are ordered; they are taken for one", b.Cars.bidHead),
			Fix:  `head it "Bid per car"; divide bids for all cars by how many are ordered`})
		b.Cars.bidHead = ""
	}
	if e.Ordered != nil {
		b.Cars.Entries = append(b.Cars.Entries, e)
	}
}

// Asks reports whether the list leaves open what it says of a car.
func (c *CarList) Asks(name string) bool {
	return slices.ContainsFunc(c.Open, func(o OpenCar) bool { return o.Name != "" && strings.EqualFold(o.Name, name) })
}

// Entry finds a car of the shop's own list.
func (c *CarList) Entry(name string) *CarEntry {
	if c == nil {
		return nil
	}
	for i := range c.Entries {
		if strings.EqualFold(c.Entries[i].Name, name) {
			return &c.Entries[i]
		}
	}
	return nil
}
