package look

import (
	"fmt"
	"slices"

	"github.com/xuri/excelize/v2"
)

// Where the lists of the starter workbook stand.
const (
	headingRow = 4
	firstRow   = headingRow + 1
	lastRow    = 1000 // as far as the choices reach
)

// Starter gives the workbook that a shop begins with: a joint list with example
// rows of every kind, and a sheet of the cars ordered. Lengths are in mm if
// metric, else in inches. Two calls give equal bytes.
func Starter(metric bool) ([]byte, error) {
	return StarterWith(metric, setups(), nil)
}

// StarterWith is the same for a shop that has set-ups and alloys of its own: a
// joint that would name another leaves its cell blank. Without alloys, any will do.
func StarterWith(metric bool, setups, alloys []string) ([]byte, error) {
	b := New("", 0)
	for _, add := range []func(*Book, bool, shopNames) error{addJoints, addOrder, addChoices} {
		if err := add(b, metric, shopNames{setups, alloys}); err != nil {
			return nil, fmt.Errorf("starter workbook: %w", err)
		}
	}
	return b.Bytes()
}

// shopNames are those that the starter's joints may name.
type shopNames struct{ setups, alloys []string }

// known is what a cell may hold: nothing, where the shop has no such name.
func (n shopNames) known(head string, value any) any {
	name, _ := value.(string)
	if head == setUpHead && !slices.Contains(n.setups, name) || head == alloyHead && n.alloys != nil && !slices.Contains(n.alloys, name) {
		return nil
	}
	return value
}

// starterZoom has the results beside the list seen together with it on a wide screen.
const starterZoom = 80

func addJoints(b *Book, metric bool, names shopNames) error {
	cols, rows := jointColumns(metric), exampleJoints(metric)
	s := Sheet{
		Title:     "Joints",
		FreezeRow: headingRow, FreezeCol: 1,
		ShowGrid: true, Zoom: starterZoom,
		Print: Print{Paper: PaperFor(metric), TitleRows: fmt.Sprintf("%d:%[1]d", headingRow), Foot: "Joint list"},
	}
	last, err := excelize.ColumnNumberToName(len(cols))
	if err != nil {
		return err
	}
	s.Print.Area = fmt.Sprintf("A1:%s%d", last, excelize.TotalRows) // results then have pages of their own, in letters no smaller
	for i, c := range cols {
		s.Widths = append(s.Widths, c.width)
		name, err := excelize.ColumnNumberToName(i + 1)
		if err != nil {
			return err
		}
		if c.choice.Words != nil || c.choice.Source != "" || c.choice.Prompt != "" {
			c.choice.Range = fmt.Sprintf("%s%d:%[1]s%[3]d", name, firstRow, lastRow)
			s.Validations = append(s.Validations, c.choice)
		}
	}
	if err := b.AddSheet(s); err != nil {
		return err
	}
	w := writer{b: b, sheet: s.Title}
	// Right of the marks, which are repeated on the results' pages: there a title would be cut.
	w.head(2, "Joint list — example rows of an invented car: type yours over them",
		"One row is a joint on one car; for a pie-cut line, one bend. OD and wall are needed, what is left blank takes a default. Own columns may be added anywhere.",
		"An estimate is not a welding procedure: weld, purge and ventilate by qualified procedures and the rules that hold where you work.")
	for i, c := range cols {
		w.put(i+1, headingRow, c.head, Style{Role: Heading})
	}
	w.height(headingRow, 48)
	for r, row := range rows {
		for i, c := range cols {
			w.put(i+1, firstRow+r, names.known(c.head, row[i]), c.style)
		}
	}
	return w.err
}

func addOrder(b *Book, metric bool, _ shopNames) error {
	s := Sheet{
		Title:     "Order",
		Widths:    []float64{24, 14, 14},
		FreezeRow: headingRow,
		ShowGrid:  true,
		Print:     Print{Paper: PaperFor(metric), Portrait: true, Foot: "Cars ordered"},
		Validations: []Validation{{
			Range: fmt.Sprintf("B%d:B%d", firstRow, lastRow), Whole: true, Low: new(1.0), Strict: true,
			ErrorTitle: "Cars ordered", Error: "Type a whole number of cars, 1 or more.",
		}},
	}
	if err := b.AddSheet(s); err != nil {
		return err
	}
	w := writer{b: b, sheet: s.Title}
	w.head(1, "Cars ordered — example row: type yours over it",
		"The car is written as in the joint list. The bid is the fixed price already offered for one car; leave it blank if there is none.", "")
	for i, head := range []string{"Car", "Cars ordered", "Bid per car"} {
		w.put(i+1, headingRow, head, Style{Role: Heading})
	}
	w.put(1, firstRow, exampleCar, Style{Role: InputText, Format: "@"})
	w.put(2, firstRow, 2, Style{Role: Input, Format: "0"})
	w.put(3, firstRow, nil, Style{Role: Input, Format: "#,##0.00"})
	return w.err
}

// addChoices keeps the names of the set-ups in cells, because their commas
// would part them in a list kept in the validation itself.
func addChoices(b *Book, metric bool, names shopNames) error {
	s := Sheet{Title: choices, Widths: []float64{34}, ShowGrid: true, Print: Print{Paper: PaperFor(metric), Portrait: true, Foot: choices}}
	if err := b.AddSheet(s); err != nil {
		return err
	}
	w := writer{b: b, sheet: s.Title}
	w.head(1, "Names that the joint list offers for its set-ups",
		"A set-up is added on the Assumptions sheet, once the list has been priced; write its name here too.", "")
	for i, name := range names.setups {
		w.put(1, firstRow+i, name, Style{Role: InputText})
	}
	return w.err
}

// writer puts cells on one sheet and remembers the first error.
type writer struct {
	b     *Book
	sheet string
	err   error
}

func (w *writer) put(col, row int, value any, s Style) {
	if w.err != nil {
		return
	}
	var cell string
	if cell, w.err = excelize.CoordinatesToCellName(col, row); w.err != nil {
		return
	}
	var xf int
	if xf, w.err = w.b.Style(s); w.err != nil {
		return
	}
	if w.err = w.b.lib().SetCellStyle(w.sheet, cell, cell, xf); w.err == nil && value != nil {
		w.err = w.b.lib().SetCellValue(w.sheet, cell, value)
	}
}

// head writes what stands above a list: its title, and up to two remarks.
func (w *writer) head(col int, title, hint, second string) {
	w.put(col, 1, title, Style{Role: Title})
	w.put(col, 2, hint, Style{Role: Note})
	if second != "" {
		w.put(col, 3, second, Style{Role: Note})
	}
	w.height(1, 24)
}

func (w *writer) height(row int, points float64) {
	if w.err == nil {
		w.err = w.b.lib().SetRowHeight(w.sheet, row, points)
	}
}
