package usage

import (
	"fmt"
	"strconv"
	"time"
)

// Day is the day of a run, as in 2026-11-25: the one that is given; else that
// of SOURCE_DATE_EPOCH, seconds since the beginning of 1970 in UTC, by which
// programs agree on a day that makes equal files of equal input
// (reproducible-builds.org, specification of SOURCE_DATE_EPOCH); else today, by
// the clock that is handed in. The error says what is wrong with the first or
// the second.
func Day(given, epoch string, now time.Time) (string, error) {
	switch {
	case given != "":
		d, err := time.Parse(time.DateOnly, given)
		if err != nil {
			return "", fmt.Errorf("--date is %q; give a day as 2026-11-25", given)
		}
		return d.Format(time.DateOnly), nil
	case epoch != "":
		n, err := strconv.ParseInt(epoch, 10, 64)
		if err != nil || n < 0 || n > lastSecond {
			return "", fmt.Errorf("SOURCE_DATE_EPOCH is %q; set it to whole seconds since 1970, or unset it", epoch)
		}
		return time.Unix(n, 0).UTC().Format(time.DateOnly), nil
	}
	return now.Format(time.DateOnly), nil
}

// lastSecond is the end of the year 9999, the last that has four digits.
const lastSecond = 253402300799
