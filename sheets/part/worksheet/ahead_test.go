package worksheet

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/require"
)

// Rows that are read ahead come whole and in order, up to the first error, be it the
// reader's or that of whoever looks at them; by then nothing is read any more.
func TestRowsAhead(t *testing.T) {
	torn, enough := errors.New("torn"), errors.New("enough")
	for _, rows := range []int{0, 1, aheadRows, aheadRows + 1, 1000} {
		for _, wide := range []int{0, 3, aheadCells / 7, aheadCells + 1} {
			if rows*wide > 2e5 {
				continue
			}
			for _, stop := range []int{0, 1, 5, aheadRows, rows - 1} { // 0: at no row
				for _, tears := range []bool{false, true} {
					reading, got := true, 0
					err := ahead(func(each func(*Row) error) error {
						defer func() { reading = false }()
						own := Row{Cells: make([]Cell, wide)} // which a reader fills again and again
						for n := 1; n <= rows; n++ {
							own.Num = n
							for i := range own.Cells {
								own.Cells[i].Row = n
							}
							if err := each(&own); err != nil {
								return err
							}
						}
						if tears {
							return torn
						}
						return nil
					}, func(r *Row) error {
						got++
						require.Equal(t, got, r.Num)
						require.Len(t, r.Cells, wide)
						for i := range r.Cells {
							require.Equal(t, got, r.Cells[i].Row)
							r.Cells[i].Row = -1 // whoever looks at a row may change it
						}
						if got == stop {
							return enough
						}
						return nil
					})
					require.False(t, reading)
					switch {
					case stop > 0 && stop <= rows:
						require.ErrorIs(t, err, enough)
						require.Equal(t, stop, got)
					case tears:
						require.ErrorIs(t, err, torn)
						require.Equal(t, rows, got)
					default:
						require.NoError(t, err)
						require.Equal(t, rows, got)
					}
				}
			}
		}
	}
}
