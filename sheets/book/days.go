package book

import (
	"seamtally/compute/model"
)

// DayText is a day in words: 2026-11-25.
func DayText(day float64) string {
	if day == 0 {
		return StateBlank
	}
	return model.DayText(day)
}

const StateBlank = "blank"
