package bid

import "seamtally/sheets/summary"

// fillSchedule lays out the Schedule: the cars follow each other in the order
// of the cars table, each spec's one after another, on the floor hours that the
// shop gives to orders in a day. It is live throughout.
func fillSchedule(f *Laid) error {
	p := f.P
	p.Shell.Widths = []float64{5, 44, 12, 12, 12, 12, 14, 12, 12, 13, 13}
	p.Shell.FreezeRow = bidVerdict
	f.about("When each car is done, if the specs follow one another as on Assumptions and nothing else takes the hours given to orders. Holidays are not known. An estimate is no promise.")
	f.down("schedule_shop")
	f.along("schedule_end")
	f.row++
	f.follow("schedule_cars")
	f.table("schedule_cars", summary.HeadingHigh)
	f.row += 2
	f.checks("Here", "Summary")
	return nil
}
