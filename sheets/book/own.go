package book

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/workbook"
	"seamtally/sheets/part/worksheet"
)

// Names that mark our own sheets and blocks on them. A dot keeps them apart
// from the names of figures.
const (
	NameAssumptions = "seamtally.assumptions"
	NameWorkings    = "seamtally.summary"
	NameUnits       = "seamtally.units"
	NameColumns     = "seamtally.columns"
	NameModel       = "seamtally.model"
	NamePrice       = "seamtally.price"
	NameLog         = "seamtally.log"
	NameState       = "seamtally.last"
	NameContents    = "seamtally.contents" // of Assumptions
	NameBlanks      = "seamtally.blanks"
	NameReliability = "seamtally.reliability"
	NameSince       = "seamtally.since"
	NameBlock       = "seamtally.block." // followed by the block of Workings
	NameSheet       = "seamtally.sheet." // followed by the key of a sheet for the bid
	NameAgrees      = "seamtally.agree." // its count of what does not agree
	NameMade        = "seamtally.made."  // and the inputs that its values were made from
)

// Ours is what is known of our own sheets in a workbook that was priced
// before.
type Ours struct {
	Assumptions, Workings string                          // titles; "" where there is none
	Bid                   map[string]string               // titles of the sheets for the bid, by key
	Cells                 map[int]map[int]*worksheet.Cell // of Assumptions, by row and column
	Last                  int                             // last row of Assumptions
	Records               []ColumnRecord
	Among                 []ColumnRecord // of words among joints
	Model                 string         // which formulas worked the workbook out
	Keys                  map[string]int // rows of Assumptions, by key

	// Fields of the head and of the basis, by key with its prefix, that a workbook
	// without Assumptions takes from an earlier one.
	Taken map[string]*worksheet.Cell
}

func (o *Ours) IsOurs(title string) bool {
	if title == "" {
		return false
	}
	for _, t := range o.Bid {
		if strings.EqualFold(title, t) {
			return true
		}
	}
	return strings.EqualFold(title, o.Assumptions) || strings.EqualFold(title, o.Workings)
}

// Titles are those of all our sheets.
func (o *Ours) Titles() []string {
	var out []string
	for _, t := range []string{o.Workings, o.Assumptions} {
		if t != "" {
			out = append(out, t)
		}
	}
	for _, k := range slices.Sorted(maps.Keys(o.Bid)) {
		out = append(out, o.Bid[k])
	}
	return out
}

// Points reports whether a reference is to one of our sheets.
func (o *Ours) Points(ref string) bool {
	sheet, _, ok := page.SplitRef(ref)
	return ok && o.IsOurs(sheet)
}

func (o *Ours) Cell(row, col int) *worksheet.Cell {
	if c := o.Cells[row][col]; c != nil {
		return c
	}
	return &worksheet.Cell{Row: row, Col: col}
}

// ReadOwn finds our sheets by their names and reads Assumptions.
func (b *Book) ReadOwn() error {
	b.Own.Bid = map[string]string{}
	for _, d := range b.Workbook.Names {
		sheet, _, ok := page.SplitRef(d.Ref)
		if !ok || d.Sheet >= 0 || b.Workbook.Sheet(sheet) < 0 {
			continue
		}
		title := b.Workbook.Sheets[b.Workbook.Sheet(sheet)].Name
		key, isBid := strings.CutPrefix(d.Name, NameSheet)
		switch {
		case d.Name == NameAssumptions:
			b.Own.Assumptions = title
		case d.Name == NameWorkings:
			b.Own.Workings = title
		case isBid:
			b.Own.Bid[key] = title
		}
	}
	b.Names = page.NewNames(b.Workbook, func(ref string) bool {
		// A name of ours that leads nowhere was broken, and is set right.
		return b.Own.Points(ref) || b.Own.Assumptions != "" && strings.Contains(ref, "#REF!")
	})
	if b.Own.Assumptions == "" {
		return nil
	}
	b.Names.AsWritten = b.AsWritten
	b.Own.Cells, b.Own.Keys = map[int]map[int]*worksheet.Cell{}, map[string]int{}
	s := b.Workbook.Sheets[b.Workbook.Sheet(b.Own.Assumptions)]
	words := b.WordRows()
	_, err := b.ReadPart(s.PartName, func(r *worksheet.Row) error {
		row := map[int]*worksheet.Cell{}
		for _, c := range r.Cells {
			row[c.Col] = &c
		}
		b.Own.Cells[r.Num], b.Own.Last = row, r.Num
		if key := row[AssumeKey]; key != nil && b.Own.Keys[CellText(*key)] == 0 && !words(r.Num) {
			b.Own.Keys[CellText(*key)] = r.Num
		}
		return nil
	})
	if err != nil {
		return fmt.Errorf("sheet %q: %w", s.Name, err)
	}
	b.Own.Model = b.ownText(NameModel)
	b.readRecords()
	return nil
}

// AssumptionsGone reports whether a workbook that was priced has lost its
// Assumptions: the shipped rates must not take the place of the shop's unsaid.
func (b *Book) AssumptionsGone() bool {
	if b.Own.Assumptions != "" {
		return false
	}
	return b.Own.Workings != "" || slices.ContainsFunc(b.Workbook.Names, func(d workbook.DefinedName) bool {
		return d.Sheet < 0 && d.Name == NameAssumptions
	})
}

// WordRows tells the rows of Assumptions whose first column holds titles of
// sheets and other words, and not keys: a sheet may be called like an assumption.
func (b *Book) WordRows() func(row int) bool {
	var all []grid.Range
	for _, name := range []string{NameState, NameColumns, NameLog} {
		if r, ok := b.BlockAt(name); ok {
			all = append(all, r)
		}
	}
	return func(row int) bool {
		return slices.ContainsFunc(all, func(r grid.Range) bool { return row >= r.Row1 && row <= r.Row2 })
	}
}

// OwnSystem reads the system of units from Assumptions.
func (b *Book) OwnSystem() (model.System, bool) {
	_, at, ok := page.SplitRef(b.Names.Find(NameUnits))
	if !ok {
		return model.US, false
	}
	if strings.EqualFold(CellText(*b.Own.Cell(at.Row1, at.Col1)), model.Metric.String()) {
		return model.Metric, true
	}
	return model.US, true
}

// ChoicesOf are the words that a text assumption may be.
func (b *Book) ChoicesOf(q *model.Quantity) []string {
	for _, t := range b.Model.Tables {
		if t.Name+".name" == q.ChoicesOf {
			return b.TableNames(t)
		}
	}
	return q.Choices
}

func IsCount(n float64) bool { return n >= 1 && n == math.Trunc(n) }

// BlockAt is the block of Assumptions that a name of ours points at.
func (b *Book) BlockAt(name string) (grid.Range, bool) {
	sheet, r, ok := page.SplitRef(b.Names.Find(name))
	return r, ok && strings.EqualFold(sheet, b.Own.Assumptions)
}

// ownText is the text of the cell on Assumptions that a name of ours points at.
func (b *Book) ownText(name string) string {
	_, at, ok := page.SplitRef(b.Names.Find(name))
	if !ok {
		return ""
	}
	return CellText(*b.Own.Cell(at.Row1, at.Col1))
}

// OldPrice is the order's price as the workbook has it.
func (b *Book) OldPrice() (price float64, ok bool, err error) {
	sheet, at, named := page.SplitRef(b.Names.Find(NamePrice))
	i := b.Workbook.Sheet(sheet)
	if !named || i < 0 {
		return 0, false, nil
	}
	_, err = b.ReadPart(b.Workbook.Sheets[i].PartName, func(r *worksheet.Row) error {
		for _, c := range r.Cells {
			if c.Row == at.Row1 && c.Col == at.Col1 && c.Kind == worksheet.Number {
				price, ok = c.Num, true
			}
		}
		return nil
	})
	return price, ok, err
}

// Used reports whether any cell of a row from one column to another has
// something in it.
func (o *Ours) Used(row, from, to int) bool {
	for col, c := range o.Cells[row] {
		if col >= from && col <= to && (c.Kind != worksheet.Empty || c.HasFormula) {
			return true
		}
	}
	return false
}
