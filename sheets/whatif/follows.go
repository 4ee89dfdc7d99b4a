package whatif

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// shopFormula is a formula of the shop's. Its value is the stored one: only a
// spreadsheet program works it out.
type shopFormula struct {
	sheet    string
	row, col int
	text     string
	read     bool // a joint, a number of cars or an assumption is read from it
}

func (f shopFormula) at() string { return f.sheet + "!" + grid.Ref(f.row, f.col) }

// follows refuses cells that a formula of the shop's goes by, itself or by way of
// others, where an input is read from it: what it would come to is not known here, and
// the order would be priced with the old value.
func (l *locator) follows(cells []Cell) error {
	all, err := l.shopFormulas()
	if err != nil || len(all) == 0 {
		return err
	}
	type mover struct {
		of Cell
		at book.Typed
	}
	var moves []mover
	for _, c := range cells {
		moves = append(moves, mover{c, c.typed})
	}
	for len(moves) > 0 {
		m := moves[0]
		moves = moves[1:]
		by := l.mentions(m.at)
		all = slices.DeleteFunc(all, func(f shopFormula) bool {
			if err != nil || !by(f) {
				return false
			}
			if f.read {
				err = fmt.Errorf("%s: the shop's formula in %s goes by %s, and what it would come to only a spreadsheet program can say; type %s there, save, and price that", m.of.Name, f.at(), m.of.At, m.of.New)
			}
			moves = append(moves, mover{m.of, book.Typed{Sheet: f.sheet, Row: f.row, Col: f.col}})
			return true
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// shopFormulas are those of the joint lists, of what is typed on Assumptions, and of
// the shop's other sheets.
func (l *locator) shopFormulas() (out []shopFormula, err error) {
	typed := l.typedHere()
	for _, s := range l.Workbook.Sheets {
		assumptions := strings.EqualFold(s.Name, l.Own.Assumptions)
		if s.Kind != "worksheet" || s.PartName == "" || l.Own.IsOurs(s.Name) && !assumptions {
			continue
		}
		_, err := l.ReadPart(s.PartName, func(r *worksheet.Row) error {
			for _, c := range r.Cells {
				if !c.HasFormula {
					continue
				}
				f := shopFormula{s.Name, r.Num, c.Col, c.Formula, false}
				switch {
				case assumptions && (!typed[[2]int{r.Num, c.Col}] || l.showsList(c.Formula)):
					continue
				case assumptions:
					f.read = true
				default:
					ours, read := l.inList(s.Name, r.Num, c.Col)
					if ours {
						continue
					}
					f.read = read
				}
				out = append(out, f)
			}
			return nil
		})
		if err != nil {
			return nil, fmt.Errorf("sheet %q: %w", s.Name, err)
		}
	}
	return out, nil
}

// typedHere are the cells of Assumptions that the shop types into.
func (l *locator) typedHere() map[[2]int]bool {
	out := map[[2]int]bool{}
	for _, row := range l.at.Key {
		out[[2]int{row, book.AssumeValue}] = true
	}
	for _, t := range l.Model.Tables {
		at := l.at.Table[t]
		for i := range l.Values.Rows(t).Frames {
			for q, col := range at.Cols {
				if q.Role == model.Column {
					out[[2]int{at.First + i, col}] = true
				}
			}
		}
	}
	return out
}

// inList reports whether a cell is in a column of ours, or one that is read.
func (l *locator) inList(sheet string, row, col int) (ours, read bool) {
	for _, list := range l.All {
		if !strings.EqualFold(list.Title, sheet) || !list.Has(row) {
			continue
		}
		for _, c := range list.Ours {
			ours = ours || c == col
		}
		for _, c := range list.Shop {
			read = read || c.Col == col
		}
	}
	if l.Cars != nil && strings.EqualFold(l.Cars.Title, sheet) {
		read = true
	}
	return ours, read
}

var wholeColumns = regexp.MustCompile(`\$?\b([A-Za-z]{1,3}):\$?([A-Za-z]{1,3})\b`)

// mentions tells the formulas that name a cell, by its place, in a block or by a name.
func (l *locator) mentions(c book.Typed) func(shopFormula) bool {
	var named []string
	for _, d := range l.Workbook.Names {
		if sheet, r, ok := page.SplitRef(d.Ref); ok && strings.EqualFold(sheet, c.Sheet) && r.Contains(c.Row, c.Col) {
			named = append(named, regexp.QuoteMeta(d.Name))
		}
	}
	if strings.EqualFold(c.Sheet, l.Own.Assumptions) {
		for key, row := range l.at.Key {
			if row == c.Row {
				named = append(named, regexp.QuoteMeta(key))
			}
		}
	}
	names := regexp.MustCompile(`(?i)(^|[^\w.!])(` + strings.Join(append(named, `\x00`), "|") + `)($|[^\w.(])`)
	// A block is lost where a cell along its edges is: all of the row and the column are,
	// so that no block around the cell escapes, and what is lost is looked at.
	m := grid.Moved{
		Sheet: c.Sheet, Row: func(row int) int { return row },
		At: func(row, col int) (int, int, bool) { return row, col, row != c.Row && col != c.Col },
	}
	return func(f shopFormula) bool {
		if names.MatchString(f.text) {
			return true
		}
		if !m.Names(f.text, f.sheet) {
			return false
		}
		_, lost := m.MoveRefs(f.text, f.sheet)
		for _, ref := range lost {
			r, err := grid.ParseRange(strings.ReplaceAll(ref[strings.LastIndex(ref, "!")+1:], "$", ""))
			if err != nil || r.Contains(c.Row, c.Col) {
				return true
			}
		}
		for _, columns := range wholeColumns.FindAllStringSubmatch(f.text, -1) {
			first, err1 := grid.ParseCol(strings.ToUpper(columns[1]))
			last, err2 := grid.ParseCol(strings.ToUpper(columns[2]))
			if err1 == nil && err2 == nil && c.Col >= min(first, last) && c.Col <= max(first, last) {
				return true
			}
		}
		return false
	}
}
