package sheets

import (
	"context"
	"fmt"

	"seamtally/sheets/book"
)

// Read reads a workbook and works it out as Price does: what the estimator has
// set, every joint row as it was read, and what comes of them, which the order
// keeps. Nothing is written. The caller closes it.
func Read(ctx context.Context, in, password string) (*Run, error) {
	return Watch(ctx, in, password, Unwatched{}, false)
}

// Watch does the same with somebody who looks on. If lenient, faulty assumptions
// are noted, and as far as can be worked with.
func Watch(ctx context.Context, in, password string, watch Observer, lenient bool) (*Run, error) {
	b, err := book.Open(in, password)
	if err != nil {
		return nil, err
	}
	t := newRun(ctx, b, PriceOptions{In: in, Password: password}, watch)
	t.Lenient, t.ReadOnly, t.keepRows, t.AsWritten = lenient, true, true, true
	edit := b.Package.Edit()
	defer edit.Close()
	if err := t.all(edit); err != nil {
		b.Close()
		return nil, fmt.Errorf("%s: %w", in, err)
	}
	return t, nil
}

// Understood reads a workbook as far as it comes before the joint rows: which sheets
// have lists, what their columns are, and where things stand on Assumptions. The
// caller closes it.
func Understood(ctx context.Context, in, password string) (*Run, error) {
	b, err := book.Open(in, password)
	if err != nil {
		return nil, err
	}
	t := newRun(ctx, b, PriceOptions{In: in, Password: password}, Unwatched{})
	t.ReadOnly = true
	if err := t.understand(); err != nil {
		b.Close()
		return nil, fmt.Errorf("%s: %w", in, err)
	}
	return t, nil
}
