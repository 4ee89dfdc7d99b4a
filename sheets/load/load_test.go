package load_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"seamtally/sheets/load"
	"seamtally/sheets/sheetstest/shop"
)

func TestTry(t *testing.T) {
	base := "/tmp/lw/order-priced.xlsx"
	var files []string
	for i, c := range []struct {
		start, chance float64
		name          string
	}{{46000, 1, "a"}, {46005, 0.4, "b"}, {46030, 0.7, "c"}, {46000, 1, "x"}} {
		out, _ := shop.Price(t, shop.Assume(t, base, shop.Set("start_date", c.start, ""), shop.Set("win_chance", c.chance, ""), shop.Set("hours_per_day", 8+float64(i%2), ""), shop.Set("clean_fit", 5+float64(i/2), "")))
		files = append(files, out)
	}
	r, err := load.Weeks(context.Background(), load.Options{Files: append(files, base, "/tmp/lw/nothing.xlsx"), Out: "/tmp/lw/load.xlsx", Force: true})
	require.NoError(t, err)
	_ = r
}
