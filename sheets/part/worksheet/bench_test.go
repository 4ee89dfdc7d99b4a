package worksheet

import (
	"fmt"
	"io"
	"runtime"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/markup"
)

// rowSource writes a long sheet as it is read.
type rowSource struct {
	rows, cells int
	next        int
	left        []byte
}

func (s *rowSource) Read(b []byte) (int, error) {
	for len(s.left) == 0 {
		switch {
		case s.next == 0:
			s.left = append(s.left[:0], `<worksheet xmlns="`+markup.SheetNS+`"><dimension ref="A1"/><sheetData>`...)
		case s.next <= s.rows:
			s.left = s.row(s.left[:0], s.next)
		case s.next == s.rows+1:
			s.left = append(s.left[:0], `</sheetData></worksheet>`...)
		default:
			return 0, io.EOF
		}
		s.next++
	}
	n := copy(b, s.left)
	s.left = s.left[n:]
	return n, nil
}

func (s *rowSource) row(dst []byte, num int) []byte {
	dst = fmt.Appendf(dst, `<row r="%d">`, num)
	for col := 1; col <= s.cells; col++ {
		dst = fmt.Appendf(dst, `<c r="%s" s="3"><v>%d.25</v></c>`, grid.Ref(num, col), num+col)
	}
	return append(dst, "</row>"...)
}

// longEditor puts columns of formulas behind each row, from one slice.
type longEditor struct {
	from, count int
	cells       []NewCell
}

func (e *longEditor) Next(int) int { return 0 }

func (e *longEditor) Row(r *Row) (RowEdit, error) {
	e.cells = e.cells[:0]
	for i := range e.count {
		e.cells = append(e.cells, NewCell{Col: e.from + i, Style: 2, Kind: Number, Num: float64(r.Num*i) / 7, Formula: "(F7*G7+H7)/60"})
	}
	return RowEdit{Cells: e.cells}, nil
}

// byteCount counts what is written to it.
type byteCount int64

func (c *byteCount) Write(b []byte) (int, error) {
	*c += byteCount(len(b))
	return len(b), nil
}

// Memory stays what a few rows need, however long the sheet.
func TestSpliceMemoryIsBounded(t *testing.T) {
	if testing.Short() {
		t.Skip("a long sheet")
	}
	var peak atomic.Uint64
	done := make(chan struct{})
	stopped := make(chan struct{})
	go func() {
		defer close(stopped)
		var m runtime.MemStats
		for {
			select {
			case <-done:
				return
			case <-time.After(5 * time.Millisecond):
				runtime.ReadMemStats(&m)
				peak.Store(max(peak.Load(), m.HeapAlloc))
			}
		}
	}()
	runtime.GC()
	var before runtime.MemStats
	runtime.ReadMemStats(&before)
	size := new(byteCount)
	require.NoError(t, Splice(size, &rowSource{rows: 10_000, cells: 20}, Edit{Editor: &longEditor{from: 21, count: 115}}))
	close(done)
	<-stopped
	assert.Greater(t, *size, byteCount(50<<20))
	assert.Less(t, int64(peak.Load())-int64(before.HeapAlloc), int64(24<<20), "bytes on the heap at once")
}

func BenchmarkReadSheet(b *testing.B) {
	for _, cells := range []int{20, 135} {
		b.Run(fmt.Sprintf("10000x%d", cells), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				_, err := Read(&rowSource{rows: 10_000, cells: cells}, Strings{}, nil)
				require.NoError(b, err)
			}
		})
	}
}

// BenchmarkSplice adds 115 calculated cells to each of 100,000 rows of 20, and
// then finds them there.
func BenchmarkSplice(b *testing.B) {
	ed := Edit{Editor: &longEditor{from: 21, count: 115}}
	b.Run("first", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			require.NoError(b, Splice(io.Discard, &rowSource{rows: 100_000, cells: 20}, ed))
		}
	})
	b.Run("again", func(b *testing.B) {
		var once strings.Builder
		require.NoError(b, Splice(&once, &rowSource{rows: 10_000, cells: 20}, ed))
		b.SetBytes(int64(once.Len()))
		b.ReportAllocs()
		for b.Loop() {
			require.NoError(b, Splice(io.Discard, strings.NewReader(once.String()), ed))
		}
	})
}
