package buying

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"seamtally/compute/model"
	"seamtally/compute/nest"
	"seamtally/sheets/bid/layout"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/worksheet"
)

// sawNotes say how the cut list is worked by hand, for whoever stands at the saw.
func (b *buying) sawNotes() []string {
	unit, cut := model.UnitName(b.Model.Line.Quantity("tube")), fmt.Sprintf("%.3g", b.cut())
	return []string{
		"Unit of length: " + unit + ". Each stick is cut from its raw end, top to bottom; a cut takes " + cut + ". Begins: where the piece's nearest point lies, from the raw end. Takes: from its nearest point to its furthest.",
		"Parts: what the pieces are cut into. Middle, long and short: of one part, along the middle of the tube, the outside and the inside of the bend. Saw 1, saw 2: degrees off a square cut at the first and the other end; 0 is square. Turn: degrees that the tube is turned between cuts.",
		"Pies: cut them off their blank one after the other, the saw left as it is, the tube turned half round (180°) after every cut. Scribe a line along the tube first, to turn by.",
		"A half of a bend stays on its straight tube: that end is cut at the saw angle, and the next pie is welded to it. There is no square weld between the two.",
		"A half lies on a straight of the same car and size on its bend's own row or the next row of the list. Where the drawing has another tube there, move the half to that one: its length and its saw angle go with it.",
		"A half on no straight begins at a flange or a clamp. Where it meets a straight tube after all, cut it on that tube, and where it meets a half of another bend, cut the two in one piece: a square weld between them is not in the price.",
		"Turn, drawn: both ends of a straight are slanted, and the drawing says how far the tube is turned between the two cuts.",
	}
}

// cutList is what the saw cuts, stick by stick.
func (b *buying) cutList(plans []stockPlan) {
	if b.stands.Count > 0 {
		if b.stands.First == b.Row {
			b.P.Standing = b.standing
			b.Row += b.stands.Count + 1
			return
		}
		b.solve(plans) // it would stand elsewhere
	}
	first := b.Row
	b.Section("For the saw: cut list, stick by stick")
	for _, note := range b.sawNotes() {
		for _, line := range broken(note, sawLetters) {
			b.atSaw(page.Text(layout.ColNo, look.Plain, line, page.Ours))
			b.Row++
		}
	}
	b.sawHeads(layout.ColNo, layout.HeadNumber, "What is cut", "Sticks cut so")
	b.Row++
	stick := 0
	for _, pl := range plans {
		for _, s := range pl.sticks {
			stick++
			b.sawStick(pl, stick, s)
		}
	}
	if !b.without {
		b.keep(plans, page.Rows{First: first, Count: b.Row - first})
	}
	b.Row++
}

// sawLetters is how many letters a line of the notes for the saw may have: so many
// stand beside each other on a page.
const sawLetters = 150

// broken breaks a text at its blanks into lines of so many letters.
func broken(text string, letters int) (lines []string) {
	for _, word := range strings.Fields(text) {
		if last := len(lines) - 1; last >= 0 && utf8.RuneCountInString(lines[last]+word) < letters {
			lines[last] += " " + word
		} else {
			lines = append(lines, word)
		}
	}
	return lines
}

// atSaw puts a cell on the next free row in letters that can be read at the saw,
// the row as high as it takes: a letter is narrower than a digit.
func (b *buying) atSaw(c page.Cell) {
	c.Style.Large = true
	lines := 1
	if w := b.P.Shell.Widths; c.Kind == worksheet.Text && c.Style.Role != look.Plain && c.Col <= len(w) {
		lines = look.Lines(c.Text, w[c.Col-1]/look.LargeTimes)
	}
	r := b.P.Row(b.Row)
	r.Height = max(r.Height, float64(lines)*look.LargeTimes*page.StandardHeight)
	b.P.Put(b.Row, c)
}

func (b *buying) sawHeads(col int, words ...string) {
	for i, h := range words {
		b.atSaw(page.Text(col+i, look.Heading, h, page.Ours))
	}
}

// sawFormat is how a column of the cut list shows its numbers: lengths, degrees, or counts.
func (b *buying) sawFormat(col int) string {
	switch col - layout.ColData {
	case 1, 2, 5, 6, 7:
		return b.Model.Line.Quantity("tube").Shown
	case 8, 9:
		return "0.00"
	}
	return "0"
}

// sawStick is a stick, or several that are cut alike.
type sawStick struct {
	times int
	lines []sawRun
	drop  float64 // what is left of each
}

// sawRun is equal pieces of a stick, one after the other.
type sawRun struct {
	piece         int // of the stock's
	start, length float64
	count         int
}

// sticksOf are those of a plan.
func sticksOf(plan nest.Plan) (out []sawStick) {
	for _, pat := range plan.Patterns {
		s := sawStick{times: pat.Times, drop: pat.Drop}
		for _, cut := range pat.Cuts {
			if last := len(s.lines) - 1; last >= 0 && s.lines[last].piece == cut.Label {
				s.lines[last].count++
				continue
			}
			s.lines = append(s.lines, sawRun{piece: cut.Label, start: cut.Start, length: cut.Length, count: 1})
		}
		out = append(out, s)
	}
	return out
}

// sawStick lays out a stick under headings of its own, in one line as they come with
// every stick: a page may begin with any.
func (b *buying) sawStick(pl stockPlan, no int, s sawStick) {
	put := func(col int, role look.Role, x float64) {
		b.atSaw(page.Number(col, role, b.sawFormat(col), x, page.Ours))
	}
	put(layout.ColNo, look.Heading, float64(no))
	b.atSaw(page.Text(layout.ColName, look.Heading, pl.name, page.Ours))
	put(colTimes, look.Heading, float64(s.times))
	b.sawHeads(colStart, "Begins", "Takes", "Pieces", "Parts", "Middle", "Long", "Short", "Saw 1", "Saw 2", "Turn", "Joint", "Car")
	b.Row++
	for _, l := range s.lines {
		for _, c := range b.sawPiece(pl.pieces[l.piece], l) {
			b.atSaw(c)
		}
		b.Row++
	}
	if s.drop > 0 {
		what := "left: too short to keep"
		if s.drop >= b.Single("least_drop") {
			what = "left: back on the rack"
		}
		b.atSaw(page.Text(layout.ColName, look.CalcText, what, page.Ours))
		put(colStart, look.Calc, pl.stick-s.drop)
		put(colTakes, look.Calc, s.drop)
		b.Row++
	}
}

// Columns of the cut list that hold what the plan found; the others say of a piece what
// it is.
const (
	colTimes  = layout.ColData
	colStart  = layout.ColData + 1
	colTakes  = layout.ColData + 2
	colPieces = layout.ColData + 3
	colParts  = layout.ColData + 4
)

// sawPiece has the cells of a line.
func (b *buying) sawPiece(piece tubePiece, l sawRun) (out []page.Cell) {
	r := &b.Joints[piece.row]
	put := func(col int, x float64) {
		out = append(out, page.Number(col, look.Calc, b.sawFormat(col), x, page.Ours))
	}
	say := func(col int, text string) { out = append(out, page.Text(col, look.CalcText, text, page.Ours)) }
	s := b.sides(piece)
	say(layout.ColName, b.pieceWords(piece))
	put(colStart, l.start)
	put(colTakes, l.length)
	put(colPieces, float64(l.count))
	put(colParts, float64(l.count*s.parts))
	put(layout.ColData+5, s.Middle)
	if s.known {
		put(layout.ColData+6, s.Long())
		put(layout.ColData+7, s.Short())
	}
	put(layout.ColData+8, s.saw[0])
	put(layout.ColData+9, s.saw[1])
	switch {
	case piece.pies > 0:
		put(layout.ColData+10, halfRound)
	case !s.known:
		say(layout.ColData+10, "drawn")
	}
	say(layout.ColData+11, r.Mark)
	say(layout.ColData+12, r.Car)
	return out
}

// halfRound is how far a tube is turned between the cuts of pies, degrees.
const halfRound = 180

// sawSides is what the saw makes of a piece: one part, or the pies of a blank.
type sawSides struct {
	nest.Tube // each part
	parts     int
	known     bool // long and short side do not rest on how two slanted ends lie
	saw       [2]float64
}

func (b *buying) sides(piece tubePiece) sawSides {
	angle := func(row int) float64 { return b.Model.Line.Quantity("half_turn").Num(&b.Joints[row].Line.Frame) }
	s := sawSides{parts: 1, Tube: nest.Tube{Middle: piece.axis}, known: true}
	switch {
	case piece.pies > 0:
		s.parts, s.Tube = piece.pies, b.pie(piece.row)
		s.saw[0], s.saw[1] = angle(piece.row), angle(piece.row)
	case piece.loose:
		s.saw[1], s.Tube = angle(piece.row), b.half(piece.row)
	default:
		for k, bend := range piece.ends {
			if bend > 0 {
				s.saw[k] = angle(bend - 1)
				s.Tube = s.And(nest.Tube{Reach: b.half(bend - 1).Reach})
			}
		}
		s.known = piece.ends[0] == 0 || piece.ends[1] == 0
	}
	return s
}

// pieceWords says what a piece is, and of which bends it carries a half.
func (b *buying) pieceWords(p tubePiece) string {
	mark := func(bend int) string { return b.Joints[bend-1].Mark }
	switch {
	case p.loose:
		return "half pie, square at one end: on no straight"
	case p.pies == 1:
		return "blank of 1 pie"
	case p.pies > 0:
		return fmt.Sprintf("blank of %d pies", p.pies)
	case p.ends[0] > 0 && p.ends[1] > 0:
		return fmt.Sprintf("straight, half of %s on first end, of %s on other", mark(p.ends[0]), mark(p.ends[1]))
	case p.ends[0] > 0:
		return fmt.Sprintf("straight, half of %s on first end", mark(p.ends[0]))
	case p.ends[1] > 0:
		return fmt.Sprintf("straight, half of %s on other end", mark(p.ends[1]))
	}
	return "straight"
}
