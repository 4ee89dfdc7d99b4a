package bid

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/sheets/bid/breaks"
	"seamtally/sheets/bid/buying"
	"seamtally/sheets/bid/layout"
	"seamtally/sheets/bid/ranges"
	"seamtally/sheets/bid/schedule"
	"seamtally/sheets/bid/setups"
	"seamtally/sheets/book"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/progress"
	"seamtally/sheets/workings"
)

// fills lay out what stands on each kind of sheet.
func fills() map[string]func(*layout.Laid) error {
	return map[string]func(*layout.Laid) error{
		"rates": setups.Fill, "breaks": breaks.Fill, "buying": buying.Fill, "range": ranges.Fill, "schedule": schedule.Fill,
	}
}

// Sheets names all there are, as the command line and the assumptions with_<name>
// have them.
func Sheets() []string {
	var out []string
	for _, k := range book.Kinds() {
		out = append(out, k.Key)
	}
	return out
}

const withPrefix = "with_"

// Choose notes on the assumptions that sheets are wanted. A word that names none
// is an error.
func Choose(b *book.Book, with []string) error {
	for _, w := range with {
		if !slices.Contains(Sheets(), strings.ToLower(w)) {
			return fmt.Errorf("there is no sheet %q to write; choose from %s", w, strings.Join(Sheets(), ", "))
		}
		q := b.Model.Singles.Quantity(withPrefix + strings.ToLower(w))
		b.Values.Singles.Text[q.TextSlot] = "yes"
	}
	return nil
}

// Chosen are the sheets that this run writes: those that Assumptions asks for,
// and those that are there, which would go stale otherwise.
func Chosen(b *book.Book) []book.Kind {
	var out []book.Kind
	for _, s := range book.Kinds() {
		q := b.Model.Singles.Quantity(withPrefix + s.Key)
		if strings.EqualFold(q.Text(b.Values.Singles), "yes") || b.Own.Bid[s.Key] != "" {
			out = append(out, s)
		}
	}
	return out
}

// Lay lays out the chosen sheets, beside Workings.
func Lay(by layout.Run, s *workings.Sheet) ([]*layout.Laid, error) {
	var out []*layout.Laid
	for _, kind := range Chosen(s.Lists.Book) {
		progress.At(by.Ctx, "laying out "+kind.Title)
		f := layout.New(by, s, kind)
		err := fills()[kind.Key](f)
		if err == nil {
			err = f.Complete()
		}
		switch {
		case err != nil && s.Lenient && by.Ctx.Err() == nil:
			s.Note(book.LevelError, book.FindNoSheet, f.P.Title+"!"+grid.Ref(1, 1), fmt.Sprintf("the sheet cannot be worked out: %v", err), "mend what the other findings tell, and price again")
			continue
		case err != nil:
			return nil, fmt.Errorf("sheet %q: %w", f.P.Title, err)
		}
		out = append(out, f)
	}
	return out, nil
}
