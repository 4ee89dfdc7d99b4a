package sheets

import (
	"context"
	"fmt"
)

// taken is an order as a workbook holds it now: what the estimator has set,
// every joint row as it was read, and what comes of them. Nothing is written.
type taken struct {
	*pricing
}

// take reads a workbook and works it out, as Price does, and keeps it all. The
// caller closes it.
func take(ctx context.Context, in, password string) (*taken, error) {
	return takeWith(ctx, in, password, func(*taken) {})
}

// takeWith does the same after something was set about the run.
func takeWith(ctx context.Context, in, password string, set func(*taken)) (*taken, error) {
	b, err := openBook(in, password)
	if err != nil {
		return nil, err
	}
	t := &taken{pricing: &pricing{book: b, o: PriceOptions{In: in, Password: password}, ctx: ctx, report: &Report{Input: in}, readOnly: true}}
	t.keepRows = true
	set(t)
	edit := b.pkg.Edit()
	defer edit.Close()
	if err := t.all(edit); err != nil {
		b.close()
		return nil, fmt.Errorf("%s: %w", in, err)
	}
	return t, nil
}
