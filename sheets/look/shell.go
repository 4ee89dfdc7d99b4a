package look

import (
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"
)

// AddSheet adds the shell of a sheet. Its title must be new to the workbook.
func (b *Book) AddSheet(s Sheet) error {
	if err := b.open(s.Title); err != nil {
		return fmt.Errorf("look: sheet %q: %w", s.Title, err)
	}
	steps := []struct {
		what string
		do   func(Sheet) error
	}{
		{"column widths", b.widths},
		{"view", b.view},
		{"frozen rows and columns", b.freeze},
		{"merged cells", b.merge},
		{"entries allowed", b.validate},
		{"marks for bad words", b.mark},
		{"chart", b.draw},
		{"print set-up", b.print},
	}
	for _, step := range steps {
		if err := step.do(s); err != nil {
			return fmt.Errorf("look: sheet %q: %s: %w", s.Title, step.what, err)
		}
	}
	return nil
}

// open makes room for a sheet. A new file begins with one of the library's own,
// which the first takes over.
func (b *Book) open(title string) error {
	if b.sheets == 0 {
		if err := b.lib().SetSheetName(b.lib().GetSheetName(0), title); err != nil {
			return err
		}
	} else {
		// NewSheet hands back an existing sheet in silence.
		at, err := b.lib().GetSheetIndex(title)
		if err != nil {
			return err
		}
		if at >= 0 {
			return fmt.Errorf("there is one of that title; give another")
		}
		if _, err := b.lib().NewSheet(title); err != nil {
			return err
		}
	}
	b.sheets++
	return nil
}

func (b *Book) widths(s Sheet) error {
	for i, w := range s.Widths {
		if w == 0 {
			continue
		}
		col, err := excelize.ColumnNumberToName(i + 1)
		if err != nil {
			return err
		}
		if err := b.lib().SetColWidth(s.Title, col, col, w); err != nil {
			return err
		}
	}
	return nil
}

func (b *Book) merge(s Sheet) error {
	for _, m := range s.Merges {
		from, to, _ := strings.Cut(m, ":")
		if err := b.lib().MergeCell(s.Title, from, to); err != nil {
			return err
		}
	}
	return nil
}

func (b *Book) view(s Sheet) error {
	zoom := float64(s.Zoom)
	if zoom == 0 {
		zoom = 100
	}
	if err := b.lib().SetSheetView(s.Title, 0, &excelize.ViewOptions{ShowGridLines: &s.ShowGrid, ZoomScale: &zoom}); err != nil {
		return err
	}
	below, fit := !s.SummaryAbove, true
	return b.lib().SetSheetProps(s.Title, &excelize.SheetPropsOptions{OutlineSummaryBelow: &below, FitToPage: &fit})
}

func (b *Book) freeze(s Sheet) error {
	if s.FreezeRow == 0 && s.FreezeCol == 0 {
		return nil
	}
	cell, err := excelize.CoordinatesToCellName(s.FreezeCol+1, s.FreezeRow+1)
	if err != nil {
		return err
	}
	pane := "bottomRight"
	switch {
	case s.FreezeCol == 0:
		pane = "bottomLeft"
	case s.FreezeRow == 0:
		pane = "topRight"
	}
	return b.lib().SetPanes(s.Title, &excelize.Panes{
		Freeze: true, XSplit: s.FreezeCol, YSplit: s.FreezeRow,
		TopLeftCell: cell, ActivePane: pane,
		Selection: []excelize.Selection{{SQRef: cell, ActiveCell: cell, Pane: pane}},
	})
}
