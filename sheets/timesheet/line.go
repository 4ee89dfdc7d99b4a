// Package timesheet is what a shop logs of a car, beside what the model makes of it.
package timesheet

import (
	"time"

	"seamtally/compute/floor"
)

// A Line is what was logged of one car. NaN is what was not logged.
type Line struct {
	File, Sheet, Cell string // where it stands
	Order, Car        string // Order is the quote's digest
	Number            int    // place in the run, 1 the first; 0 not known
	Day               time.Time
	Welder, Note      string
	Kind              string // where a row of joints was logged: its kind ("" for a car)
	Logged
	Quoted
}

// Logged is what the shop has logged.
type Logged struct {
	Minutes [floor.Stages]float64
	Clocked float64              // clocked minutes in all, everything
	Bottles [floor.Lines]float64 // changed on torch, trail and purge line (together: in the first)
	Rods    float64              // used
	Repairs map[string]float64   // by kind
	Whole   bool                 // the whole job was logged
}

// Quoted is what the quote has for it.
type Quoted struct {
	Estimate        [floor.Stages]float64 // min, the model's at factors of 100 %, without learning and allowance
	EstimateClocked float64               // min, all of the car's hours at factors of 100 %, with allowance and other work
	Fixed           float64               // min of EstimateClocked that no factor moves: other work, coupons
	Gas             [floor.Lines]float64  // the model's at gas_factor 100 %, with argon_loss, ft³ or L (Metric says)
	BottleHolds     float64               // usable gas of one bottle, same unit; NaN where the quote has none
	RodsEstimate    float64               // rods at the filler_yield of the quote
	FillerYield     float64
	Metric          bool
	Rests           []Rest // what the estimate rests on; none where the sheet does not say
}
