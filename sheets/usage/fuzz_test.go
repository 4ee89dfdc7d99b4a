package usage

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// FuzzFlagsFirst: no word is lost but behind a call for help or a flag that
// lacks its value, none is made up, and doing it twice changes nothing more.
func FuzzFlagsFirst(f *testing.F) {
	for _, s := range []string{"boil egg -s", "boil -p tin egg", "boil -- -s", "boil -h egg", "fry", "boil\x00--pot=\x00egg", "boil - -- --", "boil --pot"} {
		f.Add(strings.ReplaceAll(s, " ", "\x00"))
	}
	f.Fuzz(func(t *testing.T, line string) {
		args := append([]string{"x"}, strings.Split(line, "\x00")...)
		once := FlagsFirst(boil(), slices.Clone(args))
		require.LessOrEqual(t, len(once), len(args))
		require.Equal(t, once, FlagsFirst(boil(), slices.Clone(once)))
		left := slices.Clone(args)
		for _, word := range once {
			i := slices.Index(left, word)
			require.GreaterOrEqual(t, i, 0, "%q of %q", word, args)
			left = slices.Delete(left, i, i+1)
		}
	})
}

// FuzzDay: what is taken for a day is one, and says the same when read again.
func FuzzDay(f *testing.F) {
	f.Add("2026-11-25", "")
	f.Add("", "1764028800")
	f.Add("2026-02-30", "-1")
	f.Add("0000-01-01", "253402300800")
	f.Fuzz(func(t *testing.T, given, epoch string) {
		day, err := Day(given, epoch, time.Unix(0, 0).UTC())
		if err != nil {
			require.Contains(t, err.Error(), "; ")
			require.False(t, strings.ContainsFunc(err.Error(), func(r rune) bool { return r < ' ' }), "%q", err)
			return
		}
		require.Len(t, day, len(time.DateOnly))
		again, err := Day(day, "", time.Time{})
		require.NoError(t, err)
		require.Equal(t, day, again)
	})
}
