// Package progress has a context know who is told what a run under it is at.
package progress

import "context"

// Tell is told what a run is at, and how many of such things are done: "rows", 500 of
// 2000. Where they are not counted the total is 0: "reading the workbook".
type Tell func(what string, done, total int)

type key struct{}

// With has runs under a context tell somebody; nil is nobody.
func With(ctx context.Context, tell Tell) context.Context {
	if tell == nil {
		return ctx
	}
	return context.WithValue(ctx, key{}, tell)
}

// At tells what a run is at from here on.
func At(ctx context.Context, what string) { Of(ctx, what, 0, 0) }

// Of tells how many of such things are done.
func Of(ctx context.Context, what string, done, total int) {
	if tell, ok := ctx.Value(key{}).(Tell); ok {
		tell(what, done, total)
	}
}
