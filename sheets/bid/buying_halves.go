package bid

import (
	"slices"
	"strings"
)

// straights are tubes of one row of the list that are cut alike.
type straights struct {
	count int
	ends  [2]int // the bend whose half lies on an end: its joint's number, from 1; 0 = square
}

// straightRow is what a row of the list has of straight tubes, while halves are
// laid on them.
type straightRow struct {
	row  int
	free int // ends of one tube that may take a half
	cut  []straights
}

// nearStraights is how many straights to either side of a bend are tried: further
// off in the list, a straight is no neighbour.
const nearStraights = 8

// sizeOfCar is what one car has of one size of tube.
type sizeOfCar struct{ car, stock int }

// bendRow is what a row of the list has of bends with half ends.
type bendRow struct {
	row, count int
	series     int // of them at most follow another of the same row
	left       int // halves that lie on no straight yet
	at         int // how many straights stand before it
}

// layHalves lays the half ends of bends on straight tubes of the same car and size:
// first on the bend's own row, then on the nearest before and after it in the list.
// What finds no straight is loose: how many halves, by the row of their bend.
func (b *buying) layHalves() (laid map[int][]straights, loose map[int]int) {
	laid, loose = map[int][]straights{}, map[int]int{}
	rows, order := map[sizeOfCar][]int{}, []sizeOfCar(nil)
	num := func(i int, key string) int {
		return int(b.Model.Line.Quantity(key).Num(&b.Joints[i].Line.Frame))
	}
	for i := range b.Joints {
		key := sizeOfCar{num(i, "car_no"), num(i, "stock_no")}
		if rows[key] == nil {
			order = append(order, key)
		}
		rows[key] = append(rows[key], i)
	}
	for _, key := range order {
		l := layer{met: map[[2]int]int{}}
		for _, i := range rows[key] {
			all := int(b.jointNum(i, "joints_all"))
			if all >= 1 && b.jointNum(i, "halves") > 0 {
				l.bends = append(l.bends, &bendRow{i, all, all - all/max(1, num(i, "qty")), 2 * all, len(l.tubes)})
			}
			if all >= 1 && b.jointNum(i, "straight") > 0 {
				l.tubes = append(l.tubes, &straightRow{i, b.freeEnds(i), []straights{{count: all}}})
			}
		}
		l.all()
		for _, s := range l.tubes {
			laid[s.row] = s.cut
		}
		for _, bend := range l.bends {
			loose[bend.row] = bend.left
		}
	}
	return laid, loose
}

// freeEnds is how many ends of a straight tube may meet a bend: the end of a branch
// that sits on its main, and that in a fillet, do not.
func (b *buying) freeEnds(i int) int {
	switch strings.ToLower(b.Model.Line.Quantity("kind").Text(&b.Joints[i].Line.Frame)) {
	case "branch", "fillet":
		return 1
	}
	return 2
}

// layer lays the halves of one size of one car.
type layer struct {
	tubes []*straightRow
	bends []*bendRow
	met   map[[2]int]int // how many tubes lie between bends of two rows
}

// all lays every half that finds a straight: each bend has a half on its own tube,
// and then one on the nearest other; bends of one row may follow each other.
func (l *layer) all() {
	for _, bend := range l.bends {
		if own := l.tube(bend.at); own != nil && own.row == bend.row {
			l.lay(bend, own, bend.count)
		}
	}
	for _, bend := range l.bends {
		after := bend.at
		if own := l.tube(after); own != nil && own.row == bend.row {
			after++
		}
		for d := range nearStraights {
			l.lay(bend, l.tube(bend.at-1-d), bend.left)
			l.lay(bend, l.tube(after+d), bend.left)
		}
		l.inSeries(bend)
	}
}

func (l *layer) tube(k int) *straightRow {
	if k < 0 || k >= len(l.tubes) {
		return nil
	}
	return l.tubes[k]
}

// lay lays up to most halves of a bend on tubes, on those first that carry none yet.
// A tube meets a bend once, and two bends have no more tubes between them than there
// are of each: more would close a ring.
func (l *layer) lay(bend *bendRow, s *straightRow, most int) {
	if s == nil {
		return
	}
	end := 0 // towards what comes before in the list
	if bend.row > s.row {
		end = 1
	}
	most = min(most, bend.left)
	for carry := range s.free {
		for k := range s.cut {
			c := s.cut[k]
			if c.carry() != carry || c.has(bend.row) {
				continue
			}
			n := min(c.count, most)
			if other := c.ends[0] + c.ends[1]; carry == 1 {
				n = max(0, min(n, bend.count-l.met[pair(other, bend.row+1)]))
				l.met[pair(other, bend.row+1)] += n
			}
			s.carve(k, n, end, bend.row)
			most, bend.left = most-n, bend.left-n
		}
	}
	s.tidy()
}

// inSeries lays halves that are left on the other ends of the bend's own tubes.
func (l *layer) inSeries(bend *bendRow) {
	own := l.tube(bend.at)
	if own == nil || own.row != bend.row {
		return
	}
	for k := range own.cut {
		c := own.cut[k]
		if n := min(c.count, bend.left, bend.series); c.carry() == 1 && c.has(bend.row) {
			own.carve(k, n, 1, bend.row)
			bend.left, bend.series = bend.left-n, bend.series-n
		}
	}
	own.tidy()
}

func pair(a, b int) [2]int { return [2]int{min(a, b), max(a, b)} }

// carve takes n tubes of those cut alike, and lays a half on one end of each, or on
// the other where that is taken.
func (s *straightRow) carve(k, n, end, bend int) {
	with := straights{count: n, ends: s.cut[k].ends}
	if with.ends[end] != 0 {
		end = 1 - end
	}
	with.ends[end] = bend + 1
	s.cut[k].count -= n
	s.cut = append(s.cut, with)
}

// tidy takes out what no tube is cut like any more.
func (s *straightRow) tidy() {
	s.cut = slices.DeleteFunc(s.cut, func(c straights) bool { return c.count <= 0 })
}

// has reports whether a half of a row's bends lies on an end.
func (c straights) has(bend int) bool { return c.ends[0] == bend+1 || c.ends[1] == bend+1 }

// carry is how many ends carry a half.
func (c straights) carry() (n int) {
	for _, e := range c.ends {
		if e != 0 {
			n++
		}
	}
	return n
}
