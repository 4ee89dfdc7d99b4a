package tell

import (
	"path/filepath"

	"golang.org/x/text/language"
	"golang.org/x/text/message"

	"seamtally/sheets/timesheet"
)

// Logs tells of the time sheet of an order.
func (v Voice) Logs(r *timesheet.Report) error {
	p := message.NewPrinter(language.English)
	rows := [][]string{{"To be logged", "Cars"}}
	lines := 0
	for _, c := range r.Cars {
		lines += c.Lines
		rows = append(rows, []string{plain(c.Car), number(p, float64(c.Lines), 0)})
	}
	if err := say(v.Out, aligned(append(rows, []string{"Lines", number(p, float64(lines), 0)}))...); err != nil {
		return err
	}
	base := plain(filepath.Base(r.Input))
	var talk []string
	if !r.Complete {
		talk = append(talk, verdict(r.Verdict)...)
	}
	if r.NoBottle {
		talk = append(talk, base+": warning: it is not set how much argon a bottle holds, so bottles that are logged will not be counted; set bottle_size on Assumptions")
	}
	if r.Encrypted {
		talk = append(talk, base+": note: the time sheet is not encrypted; the password of the workbook is not for the floor")
	}
	return say(v.Err, append(talk, "wrote "+plain(r.Output))...)
}
