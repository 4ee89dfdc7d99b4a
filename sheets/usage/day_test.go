package usage_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/usage"
)

// Seconds and their days: the POSIX formula of "seconds since the Epoch"
// (IEEE Std 1003.1, 4.16, from memory), which date(1) of any system works out.
func TestDay(t *testing.T) {
	clock := time.Date(2026, 11, 25, 23, 59, 0, 0, time.FixedZone("", -8*3600))
	for _, c := range []struct{ given, epoch, want string }{
		{"", "", "2026-11-25"}, // as the shop's own clock has it
		{"2026-12-01", "", "2026-12-01"},
		{"2026-12-01", "0", "2026-12-01"},
		{"", "0", "1970-01-01"},
		{"", "86399", "1970-01-01"},
		{"", "86400", "1970-01-02"},
		{"", "951782400", "2000-02-29"},
		{"", "1000000000", "2001-09-09"},
	} {
		day, err := usage.Day(c.given, c.epoch, clock)
		require.NoError(t, err)
		assert.Equal(t, c.want, day)
	}
	for _, c := range [][2]string{{"today", ""}, {"2026-2-3", ""}, {"2026-02-29", ""}, {"26-02-03", ""}, {"", "-1"}, {"", "1.5"}, {"", "1e9"}, {"", "99999999999999"}} {
		_, err := usage.Day(c[0], c[1], clock)
		assert.Error(t, err, "%v", c)
	}
}
