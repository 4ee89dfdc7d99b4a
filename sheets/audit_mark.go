package sheets

import (
	"fmt"
	"math"
	"path/filepath"

	"seamtally/sheets/disk"
	"seamtally/sheets/look"
	"seamtally/sheets/part"
)

// Mark writes a copy of the audited workbook with a sheet of what was found.
// The copy goes to out, which must not exist unless force is set.
func (r *AuditReport) Mark(out, password string, force bool) error {
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
	b, err := openBook(r.Input, password)
	if err != nil {
		return err
	}
	defer b.close()
	run := &pricing{book: b, report: &Report{}}
	if err := run.readOwn(); err != nil {
		return fmt.Errorf("%s: %w", r.Input, err)
	}
	edit := b.pkg.Edit()
	defer edit.Close()
	was := b.own.bid[keyAudit] // of an earlier audit
	title, err := run.titleFor(was, "Audit")
	if err != nil {
		return err
	}
	var patch part.WorkbookPatch
	font, size := b.styles.DefaultFont()
	p := r.sheet(title, look.New(font, size))
	p.build = was == ""
	run.names.set(nameSheet+keyAudit, rangeRef(title, oneCell(1, 1)))
	if patch.AddSheets, patch.SetNames, err = run.putPlan(edit, p); err != nil {
		return err
	}
	patch.SetNames = append(append(patch.SetNames, run.names.refs...), b.printWhole(p)...)
	if err := run.putWorkbook(edit, patch); err != nil {
		return err
	}
	return b.saveEdit(to, edit)
}

const (
	keyAudit  = "audit" // of the sheet of an audit, among ours
	auditLast = 9       // its last column
	signed    = "+#,##0.00;-#,##0.00;0.00"
)

// sheet lays out what was found; ink tells how high a row must be.
func (r *AuditReport) sheet(title string, ink *look.Book) *plan {
	p := newPlan(title, true)
	p.shell.Widths = []float64{14, 22, 24, 44, 34, 34, 13, 13, 40}
	p.shell.FreezeRow = 4
	p.put(1, text(1, look.Title, "Audit", static))
	head := fmt.Sprintf("%s: %d calculated cells of %d joints worked out afresh", filepath.Base(r.Input), r.Cells, r.Rows)
	if r.Against != "" {
		head += ", held against " + filepath.Base(r.Against)
	}
	p.put(2, text(1, look.Note, head, static))
	p.whole = auditLast
	for i, total := range []struct {
		what string
		x    float64
	}{{"Cost of the order, as it should be", r.Cost}, {"Price of the order, as it should be", r.Price}} {
		p.put(2+i, text(6, look.Label, total.what, static))
		p.put(2+i, number(7, look.Calc, "#,##0.00", total.x, static))
		p.put(2+i, text(8, look.Label, r.Currency, static))
	}
	heads := []string{"Grade", "Cell", "Kind", "What", "There", "Should be", "Does to cost", "Does to price", "To do"}
	for i, h := range heads {
		p.put(4, text(i+1, look.Heading, h, static))
	}
	for i, f := range r.Faults {
		row := 5 + i
		place := f.Cell
		if f.More > 0 {
			place += fmt.Sprintf(" and %d more", f.More)
		}
		for k, s := range []string{string(f.Grade), place, f.Rule, f.What, f.Found, f.Expected, "", "", f.Fix} {
			if s != "" {
				p.put(row, text(k+1, look.Words, s, static))
			}
			p.row(row).height = max(p.row(row).height, ink.RowHeight(look.Words, s, p.shell.Widths[k]))
		}
		if !math.IsNaN(f.Price) {
			p.put(row, number(7, look.Calc, signed, f.Cost, static))
			p.put(row, number(8, look.Calc, signed, f.Price, static))
		}
	}
	if len(r.Faults) == 0 {
		p.put(5, text(1, look.Words, "Nothing found.", static))
	}
	p.shell.Print = look.Print{TitleRows: "1:4", Area: "A1:" + part.Ref(5+len(r.Faults), len(heads)), PagesWide: 1}
	return p
}
