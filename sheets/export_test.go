package sheets

import (
	"context"
	"io/fs"

	"seamtally/sheets/book"
	"seamtally/sheets/disk"
)

// WithModel has a run work by other texts of the model, as another version of
// the program does.
func (o PriceOptions) WithModel(files fs.FS) PriceOptions {
	o.files = files
	return o
}

// ClearButRates clears a workbook, but for its Assumptions: an order that was begun
// from the last one and is not priced yet.
func ClearButRates(ctx context.Context, in, out string) error {
	to, err := disk.Target(in, out, false, true)
	if err != nil {
		return err
	}
	b, err := book.Open(in, "")
	if err != nil {
		return err
	}
	defer b.Close()
	if err := b.ReadOwn(); err != nil {
		return err
	}
	b.Own.Assumptions = ""
	edit := b.Package.Edit()
	defer edit.Close()
	if err := clearBook(b, ctx, edit, &ClearReport{}); err != nil {
		return err
	}
	return b.SaveEdit(to, edit)
}
