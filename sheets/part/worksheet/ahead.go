package worksheet

import "errors"

// Rows are taken apart ahead of whoever looks at them, by a goroutine of their own: on
// two cores both go on at once. They are handed over so many at a time, fewer where they
// have many cells.
const aheadRows, aheadCells = 16, 2_000

// aheadBatches is how many go round: one is filled while the other is looked at.
const aheadBatches = 2

// batch is some rows with their cells.
type batch struct {
	rows  []Row
	cells []Cell
}

// add puts a copy of a row in, as the reader takes its own for the next one, and says
// whether the batch is full.
func (b *batch) add(r *Row) bool {
	from := len(b.cells)
	b.cells = append(b.cells, r.Cells...)
	row := *r
	row.Cells = b.cells[from:len(b.cells):len(b.cells)]
	b.rows = append(b.rows, row)
	return len(b.rows) == aheadRows || len(b.cells) >= aheadCells
}

// empty is the batch without its rows.
func (b *batch) empty() *batch {
	b.rows, b.cells = b.rows[:0], b.cells[:0]
	return b
}

// errUnwanted ends the reading of rows that nobody waits for any more.
var errUnwanted = errors.New("no more rows are wanted")

// ahead gives each row that read reads to each, in order, in this goroutine. The first
// error ends it, be it of a row that was read or of the reading.
func ahead(read func(each func(*Row) error) error, each func(*Row) error) error {
	full, free, unwanted := make(chan *batch), make(chan *batch, aheadBatches), make(chan struct{})
	for range aheadBatches {
		free <- &batch{}
	}
	var readErr error // to be looked at once full is closed
	go func() {
		defer close(full)
		b := <-free
		hand := func() error {
			select {
			case full <- b:
				b = (<-free).empty()
				return nil
			case <-unwanted:
				return errUnwanted
			}
		}
		readErr = read(func(r *Row) error {
			if b.add(r) {
				return hand()
			}
			return nil
		})
		if len(b.rows) > 0 {
			hand()
		}
	}()
	for b := range full {
		for i := range b.rows {
			if err := each(&b.rows[i]); err != nil {
				close(unwanted)
				for b := range full {
					free <- b
				}
				return err
			}
		}
		free <- b
	}
	return readErr
}
