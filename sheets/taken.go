package sheets

import (
	"context"
	"fmt"

	"seamtally/sheets/book"
)

// taken is an order as a workbook holds it now: what the estimator has set,
// every joint row as it was read, and what comes of them. Nothing is written.
type taken struct {
	*pricing
}

// take reads a workbook and works it out, as Price does, and keeps it all. The
// caller closes it.
func take(ctx context.Context, in, password string) (*taken, error) {
	return watched(ctx, in, password, unobserved{}, false)
}

// watched does the same with somebody who looks on. If lenient, faulty assumptions
// are noted, and as far as can be worked with.
func watched(ctx context.Context, in, password string, watch observer, lenient bool) (*taken, error) {
	b, err := book.Open(in, password)
	if err != nil {
		return nil, err
	}
	t := &taken{newPricing(ctx, b, PriceOptions{In: in, Password: password}, watch)}
	t.Lenient, t.ReadOnly, t.keepRows = lenient, true, true
	edit := b.Package.Edit()
	defer edit.Close()
	if err := t.all(edit); err != nil {
		b.Close()
		return nil, fmt.Errorf("%s: %w", in, err)
	}
	return t, nil
}
