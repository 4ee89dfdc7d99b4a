package load_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"seamtally/sheets/load"
)

func TestTry(t *testing.T) {
	r, err := load.Weeks(context.Background(), load.Options{Files: []string{"/tmp/lw/b.xlsx", "/tmp/lw/order-priced.xlsx", "/tmp/lw/b.xlsx"}})
	require.NoError(t, err)
	for _, f := range r.Files {
		t.Log(f.Name, f.Digest[:8], f.Hours, f.Unplaced, f.Complete, f.Chance, f.DayHours, f.Start, f.First, f.Last)
	}
	t.Logf("%+v", r.LeftOut)
	for _, w := range r.Weeks {
		t.Logf("%+v", w)
	}
	t.Logf("%+v %v %+v", r.Total, r.Apart, r.Differ)
}
