package shop

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"seamtally/sheets/sheetstest"
)

// Same reports whether two lines of a log say the same.
func (e LogEntry) Same(o LogEntry) bool {
	for heading, v := range e.Cells {
		if o.Cells[heading] != v {
			return false
		}
	}
	return true
}

// LogEntry is a line of the log: its cells by heading, and its row.
type LogEntry struct {
	Row   int
	No    float64
	Cells map[string]sheetstest.Value
}

// Text is the text below a heading of the log.
func (e LogEntry) Text(heading string) string { return e.Cells[heading].Text }

// LogOf reads the log in the order in which it stands.
func LogOf(t testing.TB, path string) (out []LogEntry) {
	t.Helper()
	return LogIn(t, path, sheetstest.Read(t, path))
}

// LogIn does so where the cells of the workbook have been read already.
func LogIn(t testing.TB, path string, g sheetstest.Grid) (out []LogEntry) {
	t.Helper()
	first, last := NamedRows(t, path, "seamtally.log")
	a := g["Assumptions"]
	head := first - 1 // or further up, where a row was inserted below it
	for a[fmt.Sprint("A", head)].Text != "No." {
		head--
		require.Positive(t, head)
	}
	for row := first; row <= last; row++ {
		e := LogEntry{Row: row, Cells: map[string]sheetstest.Value{}}
		for col := 'A'; col <= 'M'; col++ {
			e.Cells[a[fmt.Sprintf("%c%d", col, head)].Text] = a[fmt.Sprintf("%c%d", col, row)]
		}
		if no := e.Cells["No."]; no.Kind == sheetstest.Number {
			e.No = no.Num
			out = append(out, e)
		}
	}
	return out
}
