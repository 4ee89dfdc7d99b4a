package habits_test

import (
	"math"
	"strings"
	"time"
)

// ownHabits are columns of the shop's own.
func ownHabits() []habit {
	own := func(head string, cell func(b *shopBook, i int) any) habit {
		return named("own column "+head, heading, func(b *shopBook) bool {
			for _, l := range b.lists {
				l.insert(b.r.IntN(len(l.cols)+1), &column{head: head, own: func(i int) any { return cell(b, i) }})
			}
			return true
		}).of("own-" + strings.ReplaceAll(head, " ", "-"))
	}
	number := func(low, high, by float64) func(b *shopBook, i int) any {
		return func(_ *shopBook, i int) any { return round(low + by*math.Mod(float64(i*7), (high-low)/by+1)) }
	}
	words := func(all ...string) func(b *shopBook, i int) any {
		return func(_ *shopBook, i int) any { return all[i%len(all)] }
	}
	day := func(_ *shopBook, i int) any { return time.Date(2026, 3, 1+i, 0, 0, 0, 0, time.UTC) }
	plain := []habit{
		own("Drawing no", number(1001, 1040, 1)), own("Dwg", words("D-1", "D-2", "D-7")), own("Rev", words("A", "B")), own("Rev.", number(1, 3, 1)).need("qty"),
		own("Date", day), own("Weight (kg)", number(0.1, 2, 0.1)), own("Weight", number(0.1, 2, 0.1)), own("Notes", words("see drawing", "check fit", "")),
		own("Cost code", number(4100, 4150, 5)), own("Checked by", words("inspector", "foreman")), own("Remarks", words("tack first", "", "purge well")),
		own("Welder", words("one", "two")), own("Part no", number(50, 99, 1)).need("qty"), own("Hours", number(0.2, 3, 0.1)), own("Price", number(10, 90, 5)).need("qty"), own("Status", words("open", "done")),
		own("Finish", words("brushed", "as welded")), own("Remarks", words("clean inside and outside", "torque 10 to 12", "TIG only", "check on first car")), own("VT", words("x", "")), own("Source", words("in house")),
		own("Bemerkung", words("Zeichnung beachten", "")), own("Page", number(1, 9, 1)).need("qty"), own("Heat no", number(1, 9, 1)).need("qty"), own("Priority", number(1, 3, 1)).need("qty"),
	}
	for _, o := range []habit{
		own("Torque (Nm)", number(5, 20, 5)), own("Amps", number(30, 90, 5)), own("Temp", number(200, 400, 10)), own("Tube price ($/ft)", number(10, 90, 5)), own("Flange weight", number(1, 3, 1)),
		own("Wt (lb)", number(0.2, 3, 0.1)), own("OD tol", number(0.01, 0.05, 0.01)), own("% complete", number(10, 100, 10)), own("Jig no", number(1, 9, 1)), own("Vendor #", number(3, 60, 1)),
		own("Year", number(2019, 2026, 1)), own("Tacked", words("yes", "no")), own("X-ray", words("yes", "", "no")), own("Welder stamp", number(1, 7, 1)), own("Spool", number(1, 4, 1)), own("Lead time (days)", number(5, 30, 5)),
	} {
		plain = append(plain, o.need("qty"))
	}
	hard := []habit{
		own("Priority", number(1, 3, 1)).lacking("qty"),
		own("Heat no", number(1, 9, 1)).lacking("qty"),
		own("Page", number(1, 9, 1)).lacking("qty"),
		own("Price", number(10, 90, 5)).lacking("qty"),
		own("Part no", number(50, 99, 1)).lacking("qty"),
		own("Rev.", number(1, 3, 1)).lacking("qty"),
		own("Pos", func(_ *shopBook, i int) any { return 10 * (i + 1) }), own("Issue", func(*shopBook, int) any { return 2 }).lacking("qty"),
		own("Jig no", number(1, 9, 1)).lacking("qty"), own("Temp", number(1, 9, 1)).lacking("qty"), own("Rack pos", number(1, 9, 1)), own("Tacks", number(3, 8, 1)), own("Clamps", number(1, 2, 1)),
		own("Est.", number(0.2, 3, 0.1)), own("Inches of weld", number(3, 30, 0.5)), own("Zone no", number(1, 4, 1)), own("Shop A", number(1, 5, 1)), own("Spare", number(1, 2, 1)),
		own("Ident", number(1, 80, 1)), own("Fuel", words("yes", "no")), own("Insp.", words("x", "")), own("NDT", words("yes", "no")), own("Cat", words("1", "2")),
		own("Seite", number(1, 9, 1)), own("Lfd.", number(1, 60, 1)), own("Made", number(0, 2, 1)), own("Left to do", number(1, 4, 1)),
		own("", words("ok", "?")), own("", number(1, 9, 1)), own("Old qty", number(1, 6, 1)), own("Was", number(1, 6, 1)), own("OD rev A", number(2, 4, 0.5)), own("Wall min", number(0.03, 0.05, 0.001)),
		own("Pipe no", number(1, 9, 1)), own("ID", number(100, 160, 1)),
	}
	for i := range hard {
		hard[i] = hard[i].asHard()
	}
	return append(plain, hard...)
}
