package sheets

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/book"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/sheetstest"
)

// TestSpeedPart is what .ci/speed runs, in processes of their own, beside the
// command itself. SEAMTALLY_SPEED says which part: "make ROWS DISTINCT OUT" an
// order, "bare IN OUT" the same as price with ready cells in place of figures,
// "cells IN OUT" a list of the calculated cells of a priced workbook, "library
// IN CELLS OUT" those cells set one by one in the spreadsheet library, and saved.
func TestSpeedPart(t *testing.T) {
	args := strings.Fields(os.Getenv("SEAMTALLY_SPEED"))
	if len(args) == 0 {
		t.Skip(".ci/speed runs it")
	}
	switch args[0] {
	case "make":
		rows, err := strconv.Atoi(args[1])
		require.NoError(t, err)
		distinct, err := strconv.Atoi(args[2])
		require.NoError(t, err)
		data, err := sheetstest.GenerateRepeating(rows, distinct, 1, false)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(args[3], data, 0o600))
	case "bare":
		priceFile(t, args[1], args[2], true)
	case "cells":
		require.NoError(t, listCells(args[1], args[2]))
	case "library":
		require.NoError(t, setCells(args[1], args[2], args[3]))
	default:
		t.Fatalf("%s is no part of it", args[0])
	}
}

// listCells writes the cells with formulas of the joint lists of a priced
// workbook, one a line: sheet, cell, "n" or "s", value, formula.
func listCells(in, out string) (err error) {
	b, err := book.Open(in, "")
	if err != nil {
		return err
	}
	defer b.Close()
	run := newRun(context.Background(), b, PriceOptions{In: in}, Unwatched{})
	if err := run.understand(); err != nil {
		return err
	}
	f, err := os.Create(out)
	if err != nil {
		return err
	}
	w := bufio.NewWriter(f)
	for _, l := range run.All {
		_, err := b.ReadPart(l.Part, func(r *worksheet.Row) error {
			for _, c := range r.Cells {
				if !c.HasFormula {
					continue
				}
				kind, value := "s", c.Text
				if c.Kind == worksheet.Number {
					kind, value = "n", strconv.FormatFloat(c.Num, 'g', -1, 64)
				}
				fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\n", l.Title, grid.Ref(c.Row, c.Col), kind, value, c.Formula)
			}
			return nil
		})
		if err != nil {
			return err
		}
	}
	if err := w.Flush(); err != nil {
		return err
	}
	return f.Close()
}

// setCells does with the spreadsheet library's cell calls what can be done with
// them: value, then formula.
func setCells(in, cells, out string) error {
	book, err := excelize.OpenFile(in)
	if err != nil {
		return err
	}
	f, err := os.Open(cells)
	if err != nil {
		return err
	}
	defer f.Close()
	lines := bufio.NewReader(f)
	for {
		line, err := lines.ReadString('\n')
		if err == io.EOF {
			break
		}
		if err != nil {
			return err
		}
		c := strings.Split(strings.TrimSuffix(line, "\n"), "\t")
		if c[2] == "n" {
			x, err := strconv.ParseFloat(c[3], 64)
			if err != nil {
				return err
			}
			err = book.SetCellValue(c[0], c[1], x)
			if err != nil {
				return err
			}
		} else if err := book.SetCellStr(c[0], c[1], c[3]); err != nil {
			return err
		}
		if err := book.SetCellFormula(c[0], c[1], c[4]); err != nil {
			return err
		}
	}
	if err := book.SaveAs(out); err != nil {
		return err
	}
	return book.Close()
}
