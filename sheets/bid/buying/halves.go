package buying

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/sheets/book"
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

// bendRow is what a row of the list has of bends with half ends.
type bendRow struct {
	row, count int
	series     int // of them at most follow another of the same row
	left       int // halves that lie on no straight yet
}

// carRow is a row of the list as the run of one car's pipe has it: what it has of
// straight tubes and of bends, nil for none.
type carRow struct {
	list, stock int
	tube        *straightRow
	bend        *bendRow
}

// layHalves lays the half ends of bends on straight tubes of the same car and size:
// first on the bend's own row, then on the next before and after it in the list.
// What finds no straight is loose: how many halves, by the row of their bend.
func (b *buying) layHalves() (laid map[int][]straights, loose map[int]int) {
	laid, loose = map[int][]straights{}, map[int]int{}
	cars, order := map[int]*layer{}, []*layer(nil)
	num := func(i int, key string) int {
		return int(b.Model.Line.Quantity(key).Num(&b.Joints[i].Line.Frame))
	}
	for i := range b.Joints {
		all := int(b.jointNum(i, "joints_all"))
		if all < 1 {
			continue
		}
		l := cars[num(i, "car_no")]
		if l == nil {
			l = &layer{met: map[[2]int]int{}}
			cars[num(i, "car_no")], order = l, append(order, l)
		}
		r := carRow{list: b.Joints[i].List, stock: num(i, "stock_no")}
		if b.jointNum(i, "halves") > 0 {
			r.bend = &bendRow{i, all, all - all/max(1, num(i, "qty")), 2 * all}
		}
		if b.jointNum(i, "straight") > 0 {
			r.tube = &straightRow{i, b.freeEnds(i), []straights{{count: all}}}
		}
		l.rows = append(l.rows, r)
	}
	for _, l := range order {
		l.all()
		for _, r := range l.rows {
			if r.tube != nil {
				laid[r.tube.row] = r.tube.cut
			}
			if r.bend != nil {
				loose[r.bend.row] = r.bend.left
			}
		}
	}
	return laid, loose
}

// tellLoose says of each bend how many of its halves lie on no straight: the price
// has no weld between one and a tube that it meets.
func (b *buying) tellLoose(loose map[int]int) {
	for i := range b.Joints {
		if r := &b.Joints[i]; loose[i] > 0 {
			list := b.All[r.List]
			b.Note(book.LevelNote, "half on no straight", list.Ref(r.Row, list.Shop["bend"].Col),
				fmt.Sprintf("half ends of this bend on no straight, all cars: %d of %d; where one meets a tube or another bend, that weld is not in the price", loose[i], 2*int(b.jointNum(i, "joints_all"))),
				"leave it where each begins at a flange or a clamp; else put the row of the tube that it meets, with its tube length, next to the bend's, or write full as the bend's end pieces")
		}
	}
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

// layer lays the halves of one car.
type layer struct {
	rows []carRow
	met  map[[2]int]int // how many tubes lie between bends of two rows
}

// all lays every half that finds a straight. A bend has a half on its own tube,
// which lies on either side of it, and one on the tube of the next row before it or
// else after it; without a tube of its own, one on each. Whatever else the next row
// is, the bend meets that, and no straight behind it. Where the list ends on one
// side of a bend, tubes of the row on the other may lie on both. Bends of one row
// may follow each other.
func (l *layer) all() {
	for _, r := range l.rows {
		if r.bend != nil {
			l.lay(r.bend, r.tube, r.bend.count)
		}
	}
	for k, r := range l.rows {
		if r.bend == nil {
			continue
		}
		l.lay(r.bend, l.next(k, -1), r.bend.count)
		l.lay(r.bend, l.next(k, 1), r.bend.count)
		l.inSeries(r)
	}
	for k, r := range l.rows {
		for _, side := range []int{-1, 1} {
			if r.bend != nil && r.tube == nil && l.ends(k, side) {
				l.lay(r.bend, l.next(k, -side), r.bend.count)
			}
		}
	}
}

// ends reports whether a list has no more of the car on a side of row k: what
// another list begins with is no neighbour.
func (l *layer) ends(k, side int) bool {
	n := k + side
	return n < 0 || n >= len(l.rows) || l.rows[n].list != l.rows[k].list
}

// next is the straight tube of the row next to row k on a side, nil where there is
// none of its size.
func (l *layer) next(k, side int) *straightRow {
	if l.ends(k, side) || l.rows[k+side].stock != l.rows[k].stock {
		return nil
	}
	return l.rows[k+side].tube
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
func (l *layer) inSeries(r carRow) {
	own, bend := r.tube, r.bend
	if own == nil {
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
