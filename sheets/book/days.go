package book

import "seamtally/compute"

// DayText is a day in words: 2026-11-25.
func DayText(day float64) string {
	if day == 0 {
		return StateBlank
	}
	return compute.DayText(day)
}

const StateBlank = "blank"
