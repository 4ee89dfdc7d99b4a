package sheets

import (
	"fmt"
	"math"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part"
	"seamtally/sheets/summary"
)

// Columns of the Schedule, from the car's name on.
const (
	scheduleOrdered = bidData + iota
	scheduleEach
	scheduleAll
	scheduleDays
	scheduleThrough
	scheduleFirst
	scheduleLast
	scheduleFirstDay
	scheduleLastDay
)

const dayFormat = "yyyy-mm-dd"

// schedule is the Schedule while it is laid out.
type schedule struct {
	*bidPlan
	day   amountAt // floor hours of one working day
	last  int      // row that says when all is done
	start float64  // the day on which work starts, 0 = not settled
	began string   // its cell
	week  int      // working days of a week, from Monday on
	mask  string   // the cell that says which these are
}

// fillSchedule lays out the Schedule: the cars follow each other in the order
// of the cars table, each spec's one after another, on the floor hours that the
// shop gives to orders in a day. It is live throughout.
func fillSchedule(f *bidPlan) error {
	s := &schedule{bidPlan: f, start: f.single("start_date"), week: int(f.single("days_per_week"))}
	p := f.p
	p.Whole = scheduleLastDay
	p.Shell.Widths = []float64{5, 44, 12, 12, 12, 12, 14, 12, 12, 13, 13}
	p.Shell.FreezeRow = bidVerdict
	f.about("When each car is done, if the specs follow one another as on Assumptions and nothing else takes the hours given to orders. Holidays are not known. An estimate is no promise.")
	s.shop()
	s.cars()
	f.checks("Here", "Summary")
	p.Shell.Print = look.Print{TitleRows: "1:3", Area: "A1:" + part.Ref(f.row, scheduleLastDay)}
	return nil
}

// shop says what a working day holds, and from that how long the order takes.
func (s *schedule) shop() {
	p, v := s.p, s.single
	s.section("The shop's time")
	put := func(what, unit, format string, a amountAt) amountAt {
		p.Put(s.row, page.Text(bidName, look.Label, what, page.Ours))
		p.Put(s.row, page.Number(bidData, look.Calc, format, a.value, page.Ours).Live(a.formula))
		p.Put(s.row, page.Text(bidData+1, look.Label, unit, page.Ours))
		s.row++
		return amountAt{page.Absolute(s.row-1, bidData), a.value}
	}
	named := func(key string) amountAt { return amountAt{s.Names.Use(key), v(key)} }
	shift := put("Hours of a working day", "h", "0.00", named("hours_per_day"))
	crew := put("Welders at work on the order", "each", "0", named("welders"))
	given := put("Share of the day that is worked on orders", "", "0.0%", named("utilisation"))
	s.day = put("Floor hours of one working day", "h", "0.00", amountAt{
		shift.formula + "*" + crew.formula + "*" + given.formula, shift.value * crew.value * given.value})
	hours := put("Floor hours of the order", "h", "#,##0.00", s.orderAmount("order_hours"))
	days := put("Working days", "days", "0.0", amountAt{hours.formula + "/" + s.day.formula, hours.value / s.day.value})
	week := put("Working days of a week", "days", "0", named("days_per_week"))
	weeks := put("Weeks", "weeks", "0.0", amountAt{days.formula + "/" + week.formula, days.value / week.value})
	cars := put("Cars", "cars", "0", s.orderAmount("order_cars"))
	put("Cars a week", "cars", "0.00", amountAt{
		fmt.Sprintf(`IF(%s=0,0,%s/%s)`, weeks.formula, cars.formula, weeks.formula), ratio(cars.value, weeks.value)})
	mask := strings.Repeat("0", s.week) + strings.Repeat("1", 7-s.week)
	p.Put(s.row, page.Text(bidName, look.Label, "Days worked (0) and not (1), from Monday on", page.Ours))
	p.Put(s.row, page.Text(bidData, look.CalcText, mask, page.Ours).Live(fmt.Sprintf(`LEFT("0000000",%[1]s)&LEFT("1111111",7-%[1]s)`, week.formula)))
	s.mask = page.Absolute(s.row, bidData)
	s.row++
	p.Put(s.row, page.Text(bidName, look.Label, "Work starts on", page.Ours))
	p.Put(s.row, s.dayCell(bidData, s.start).Live(fmt.Sprintf(`IF(%[1]s=0,"",%[1]s)`, s.Names.Use("start_date"))))
	s.began = page.Absolute(s.row, bidData)
	if s.start == 0 {
		p.Put(s.row, page.Text(bidData+1, look.Note, "type a day at start_date on Assumptions for dates", page.Ours))
	}
	s.row++
	s.last = s.row
	s.row += 2
	s.agree(agreement{"Working days", days, s.orderAmount("days"), 6, "0.00"})
}

// ratio is a quotient that is 0 over 0.
func ratio(a, b float64) float64 {
	if b == 0 {
		return 0
	}
	return a / b
}

// cars writes the row of each car spec.
func (s *schedule) cars() {
	p, scope := s.p, s.s.SummaryScope("cars")
	frames := s.Values.Rows(scope).Frames
	s.section("Car by car")
	s.headings(bidNo, summary.HeadingHigh, "No.", "Car", "Cars ordered", "Hours, one car (h)", "Hours, all cars (h)", "Working days", "Days from the start, all done", "First car done, day", "Last car done, day", "First car done", "Last car done")
	first := s.row
	day := s.day.formula
	through := 0.0
	for i, f := range frames {
		row := s.row
		at := func(col int) string { return part.Ref(row, col) }
		no := s.s.CellAt(scope.Quantity(scope.By), i)
		p.Put(row, page.Number(bidNo, look.Calc, "0", float64(i+1), page.Ours).Live(no))
		name := s.s.RowName(s.s.Home(scope), i, scope.Quantity(scope.By).Num(f)).Text
		p.Put(row, page.Text(bidName, look.CalcText, name, page.Ours).Live("INDEX("+book.ColumnName(s.Names, scope.Of, "name")+","+at(bidNo)+`)&""`))
		qty, each := scope.Quantity("car_qty"), scope.Quantity("car_hours")
		put := func(col int, format string, x float64, formula string) {
			p.Put(row, page.Number(col, look.Calc, format, x, page.Ours).Live(formula))
		}
		all := qty.Num(f) * each.Num(f)
		days := all / s.day.value
		through += days
		one := each.Num(f) / s.day.value
		firstDone, lastDone := wholeUpOf(through-days+one), wholeUpOf(through)
		put(scheduleOrdered, "0", qty.Num(f), s.s.CellAt(qty, i))
		put(scheduleEach, "0.00", each.Num(f), s.s.CellAt(each, i))
		put(scheduleAll, "0.00", all, at(scheduleOrdered)+"*"+at(scheduleEach))
		put(scheduleDays, "0.00", days, at(scheduleAll)+"/"+day)
		put(scheduleThrough, "0.00", through, fmt.Sprintf("SUM(%s:%s)", part.ColName(scheduleDays)+"$"+fmt.Sprint(first), at(scheduleDays)))
		put(scheduleFirst, "0", firstDone, wholeUp(at(scheduleThrough)+"-"+at(scheduleDays)+"+"+at(scheduleEach)+"/"+day))
		put(scheduleLast, "0", lastDone, wholeUp(at(scheduleThrough)))
		p.Put(row, s.dayCell(scheduleFirstDay, s.date(firstDone)).Live(s.dateFormula(at(scheduleFirst))))
		p.Put(row, s.dayCell(scheduleLastDay, s.date(lastDone)).Live(s.dateFormula(at(scheduleLast))))
		s.row++
	}
	done := wholeUpOf(through)
	column := func(col int) string {
		return page.Rows{First: first, Count: len(frames)}.Column(col)
	}
	p.Put(s.last, page.Text(bidName, look.Label, "The last car is done on", page.Ours))
	p.Put(s.last, s.dayCell(bidData, s.date(done)).Live(fmt.Sprintf(`IF(%s="","",MAX(%s))`, s.began, column(scheduleLastDay))))
	p.Put(s.last, page.Text(bidData+1, look.Label, "working day", page.Ours))
	p.Put(s.last, page.Number(bidData+2, look.Calc, "0", done, page.Ours).Live("MAX("+column(scheduleLast)+")"))
	total := 0.0
	for _, f := range frames {
		total += scope.Quantity("car_qty").Num(f) * scope.Quantity("car_hours").Num(f)
	}
	s.agree(agreement{"Hours of all cars", amountAt{"SUM(" + column(scheduleAll) + ")", total}, s.orderAmount("order_hours"), 6, "#,##0.00"})
	s.row += 2
}

// dayCell shows a day; 0 is none.
func (s *schedule) dayCell(col int, day float64) page.Cell {
	c := page.Number(col, look.Calc, dayFormat, day, page.Ours)
	switch {
	case day == 0:
		c.Kind = part.Text
	case day > lastDay:
		c.Kind, c.Text = part.Error, "#NUM!"
	}
	return c
}

// lastDay is the last that a spreadsheet knows, 9999-12-31.
const lastDay = 2958465

// dateFormula is the day on which a working day of that number falls, the first
// being that on which work starts, or the first working day after it.
func (s *schedule) dateFormula(number string) string {
	return fmt.Sprintf(`IF(%[1]s="","",WORKDAY.INTL(%[1]s-1,%[2]s,%[3]s))`, s.began, number, s.mask)
}

// date is the same as a number; 0 where no start is settled.
func (s *schedule) date(number float64) float64 {
	if s.start == 0 {
		return 0
	}
	return workday(math.Floor(s.start)-1, number, s.week)
}

// workday is the day on which the n-th working day after a day falls, with the
// first so many days of a week, from Monday on, worked. Days are counted as
// spreadsheets do: 2 is a Monday (1900-01-02, in their calendar).
func workday(after, n float64, week int) float64 {
	weeks := math.Floor((n - 1) / float64(week)) // whole ones, so that few days are left to step through
	day := after + 7*weeks
	for left := n - weeks*float64(week); left > 0; {
		day++
		if int(math.Mod(day+5, 7)) < week {
			left--
		}
	}
	return day
}
