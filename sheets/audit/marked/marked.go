// Package marked writes a copy of an audited workbook with what was found on a sheet of
// its own.
package marked

import (
	"fmt"
	"math"
	"path/filepath"

	"seamtally/sheets/audit"
	"seamtally/sheets/book"
	"seamtally/sheets/disk"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/workbook"
)

// Copy writes a copy of the audited workbook with a sheet of what was found.
// The copy goes to out, which must not exist unless force is set.
func Copy(r *audit.Report, out, password string, force bool) error {
	if disk.SameFile(r.Input, out) {
		return fmt.Errorf("%s: the marked copy would replace the workbook that was audited; name another file", out)
	}
	if r.Against != "" && disk.SameFile(r.Against, out) {
		return fmt.Errorf("%s: the marked copy would replace the workbook that was audited against; name another file", out)
	}
	to, err := disk.Target(r.Input, out, false, force)
	if err != nil {
		return err
	}
	b, err := book.Open(r.Input, password)
	if err != nil {
		return err
	}
	defer b.Close()
	if err := b.ReadOwn(); err != nil {
		return fmt.Errorf("%s: %w", r.Input, err)
	}
	edit := b.Package.Edit()
	defer edit.Close()
	was := b.Own.Bid[keyAudit] // of an earlier audit
	title := b.TitleFor(was, "Audit")
	var patch workbook.Changes
	font, size := b.Styles.DefaultFont()
	p := sheet(r, title, look.New(font, size))
	p.Build = was == ""
	b.Names.Define(book.NameSheet+keyAudit, page.CellRef(title, 1, 1))
	target := b.Target(nil)
	target.Paper = book.PaperOf(r.System)
	if patch.AddSheets, patch.SetNames, err = p.Into(edit, target); err != nil {
		return err
	}
	patch.SetNames = append(append(patch.SetNames, b.Names.Defined...), b.PrintWhole(p)...)
	if err := b.PutWorkbook(edit, patch); err != nil {
		return err
	}
	return b.SaveEdit(to, edit)
}

const (
	keyAudit  = "audit" // of the sheet of an audit, among ours
	auditLast = 9       // its last column
)

// sheet lays out what was found; ink tells how high a row must be.
func sheet(r *audit.Report, title string, ink *look.Book) *page.Plan {
	p := page.New(title, true)
	p.Shell.Widths = []float64{14, 22, 24, 44, 34, 34, 13, 13, 40}
	p.Shell.FreezeRow = 4
	p.Put(1, page.Text(1, look.Title, "Audit", page.Static))
	head := fmt.Sprintf("%s: %d calculated cells of %d joints worked out afresh", filepath.Base(r.Input), r.Cells, r.Rows)
	if r.Against != "" {
		head += ", held against " + filepath.Base(r.Against)
	}
	p.Put(2, page.Text(1, look.Note, head, page.Static))
	p.Whole = auditLast
	for i, total := range []struct {
		what string
		x    float64
	}{{"Cost of the order, as it should be", r.Cost}, {"Price of the order, as it should be", r.Price}} {
		p.Put(2+i, page.Text(6, look.Label, total.what, page.Static))
		p.Put(2+i, page.Number(7, look.Calc, "#,##0.00", total.x, page.Static))
		p.Put(2+i, page.Text(8, look.Label, r.Currency, page.Static))
	}
	heads := []string{"Grade", "Cell", "Kind", "What", "There", "Should be", "Does to cost", "Does to price", "To do"}
	for i, h := range heads {
		p.Put(4, page.Text(i+1, look.Heading, h, page.Static))
	}
	for i, f := range r.Faults {
		row := 5 + i
		place := f.Cell
		if f.More > 0 {
			place += fmt.Sprintf(" and %d more", f.More)
		}
		for k, s := range []string{string(f.Grade), place, f.Rule, f.What, f.Found, f.Expected, "", "", f.Fix} {
			if s != "" {
				p.Put(row, page.Text(k+1, look.Words, s, page.Static))
			}
			p.Row(row).Height = max(p.Row(row).Height, ink.RowHeight(look.Words, s, p.Shell.Widths[k]))
		}
		if !math.IsNaN(f.Price) {
			p.Put(row, page.Number(7, look.Calc, look.Signed, f.Cost, page.Static))
			p.Put(row, page.Number(8, look.Calc, look.Signed, f.Price, page.Static))
		}
	}
	if len(r.Faults) == 0 {
		p.Put(5, page.Text(1, look.Words, "Nothing found.", page.Static))
	}
	p.Shell.Print = look.Print{TitleRows: "1:4", Area: "A1:" + grid.Ref(5+len(r.Faults), len(heads)), PagesWide: 1}
	return p
}
