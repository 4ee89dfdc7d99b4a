package buying

import (
	"fmt"
	"math"

	"seamtally/compute/nest"
	"seamtally/sheets/bid/layout"
	"seamtally/sheets/part/worksheet"
)

// standingList reads from the sheet how its sticks are cut.
type standingList struct {
	plans  []nest.Plan
	pieces []map[string]int // of each plan, by what the sheet says of a piece
	sticks [][]sawStick     // of each plan
	at     int              // the plan whose sticks come
	come   int              // how many have
	lost   bool             // a line is of no piece that is known
}

// standingList is to read the list of plans, which come to what is kept of them.
func (b *buying) standingList(plans []stockPlan, kept []nest.Plan) *standingList {
	l := &standingList{plans: kept, pieces: make([]map[string]int, len(plans)), sticks: make([][]sawStick, len(plans))}
	var line []worksheet.Cell
	for i, pl := range plans {
		l.pieces[i] = make(map[string]int, len(pl.pieces))
		for k, piece := range pl.pieces {
			line = line[:0]
			for _, c := range b.sawPiece(piece, sawRun{}) {
				line = append(line, worksheet.Cell{Col: c.Col, Kind: c.Kind, Num: c.Num, Text: c.Text})
			}
			l.pieces[i][pieceKey(line)] = k
		}
	}
	return l
}

// pieceKey is all that a line says of a piece itself.
func pieceKey(cells []worksheet.Cell) string {
	var key []byte
	for _, c := range cells {
		switch c.Col {
		case colStart, colTakes, colPieces, colParts: // what the plan found
		default:
			if c.Col <= sawLast && c.Kind != worksheet.Empty {
				key = fmt.Appendf(key, "%d %x %q ", c.Col, math.Float64bits(c.Num), c.Text)
			}
		}
	}
	return string(key)
}

// read takes the next row.
func (l *standingList) read(r *worksheet.Row) {
	if l.lost {
		return
	}
	num := map[int]float64{}
	for _, c := range r.Cells {
		if c.Kind == worksheet.Number {
			num[c.Col] = c.Num
		}
	}
	if _, heads := num[layout.ColNo]; heads {
		for l.at < len(l.plans) && l.come == l.plans[l.at].Sticks {
			l.at, l.come = l.at+1, 0
		}
		if l.at == len(l.plans) {
			l.lost = true
			return
		}
		times := int(num[colTimes])
		l.come += times
		l.sticks[l.at] = append(l.sticks[l.at], sawStick{times: times})
		return
	}
	if l.at == len(l.plans) || len(l.sticks[l.at]) == 0 {
		return // the notes, and what stands above all sticks
	}
	s := &l.sticks[l.at][len(l.sticks[l.at])-1]
	if count, is := num[colPieces]; is {
		piece, known := l.pieces[l.at][pieceKey(r.Cells)]
		l.lost = !known
		s.lines = append(s.lines, sawRun{piece: piece, start: num[colStart], length: num[colTakes], count: int(count)})
	} else {
		s.drop = num[colTakes]
	}
}
