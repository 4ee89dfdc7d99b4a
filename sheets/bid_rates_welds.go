package sheets

import (
	"fmt"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part"
	"seamtally/sheets/summary"
)

// weldParts is how many parts the key of a weld has.
const weldParts = 4

// weldKey is what makes a weld one of its kind: what it is, its tube, its angles,
// and how it is laid.
func weldKey() [weldParts][]string {
	return [weldParts][]string{{"kind", "alloy", "filler"}, {"od", "wall", "run_od"}, {"turn", "branch_angle"}, {"leg", "passes", "sides"}}
}

// keyOf is the key of a joint's weld, part by part.
func (b *rates) keyOf(line *compute.Line) (parts [weldParts]string) {
	for i, keys := range weldKey() {
		var words []string
		for _, key := range keys {
			q := b.Model.Line.Quantity(key)
			if q.IsText() {
				words = append(words, q.Text(&line.Frame))
			} else {
				words = append(words, keyNumber(q.Num(&line.Frame)))
			}
		}
		parts[i] = strings.Join(words, "|")
	}
	return parts
}

// findWelds finds the welds that the order has.
func (b *rates) findWelds() {
	at := map[string]int{}
	for i := range b.Joints {
		line := b.Joints[i].Line
		parts := b.keyOf(line)
		key := strings.ToLower(strings.Join(parts[:], "|")) // as spreadsheets compare
		k, known := at[key]
		if !known {
			k = len(b.welds)
			at[key] = k
			b.welds = append(b.welds, weldKind{first: i})
		}
		b.welds[k].count += b.weldsOf(i)
	}
}

// weldsOf is how many welds the order has on a joint.
func (b *rates) weldsOf(i int) float64 {
	line := b.Joints[i].Line
	return b.Model.Line.Quantity("welds").Num(&line.Frame) * b.ordered(line)
}

// weldsUnder is how many welds of the order a set-up is used on.
func (b *rates) weldsUnder(t *tried) (n float64) {
	for i, fits := range t.fits {
		if fits {
			n += b.weldsOf(i)
		}
	}
	return n
}

// Columns of the rows that say what each joint is.
const (
	jointWelds = bidData
	jointParts = jointWelds + 1
	jointWeld  = jointParts + weldParts
)

// jointRows says of each joint how many welds of which kind it is.
func (b *rates) jointRows() {
	p, m := b.p, b.Model
	b.section("Working: which weld each joint is")
	b.headings(bidNo, 0, "No.", "Joint", "Welds, all cars", "What it is", "Its tube", "Its angles", "How it is laid", "Weld")
	b.joints = page.Rows{First: b.row, Count: len(b.Joints)}
	for i := range b.Joints {
		r := &b.Joints[i]
		p.Put(b.row, page.Number(bidNo, look.Calc, "0", float64(i+1), page.Ours))
		p.Put(b.row, page.Text(bidName, look.CalcText, r.Mark, page.Ours))
		p.Put(b.row, page.Number(jointWelds, look.Calc, "#,##0", b.weldsOf(i), page.Ours).Live(b.JointCell(r, m.Line.Quantity("welds"))+"*"+b.orderedCell(r)))
		parts := b.keyOf(r.Line)
		var cells []string
		for k, keys := range weldKey() {
			cells = append(cells, part.Ref(b.row, jointParts+k))
			var words []string
			for _, key := range keys {
				cell := b.JointCell(r, m.Line.Quantity(key))
				if !m.Line.Quantity(key).IsText() {
					cell = "ROUND(" + cell + ",4)"
				}
				words = append(words, cell)
			}
			p.Put(b.row, page.Text(jointParts+k, look.CalcText, parts[k], page.Ours).Live(strings.Join(words, `&"|"&`)))
		}
		p.Put(b.row, page.Text(jointWeld, look.CalcText, strings.Join(parts[:], "|"), page.Ours).
			Live(strings.Join(cells, `&"|"&`)))
		b.row++
	}
	b.row++
	total := 0.0
	for _, w := range b.welds {
		total += w.count
	}
	b.agree(agreement{"Welds", amountAt{"SUM(" + b.joints.Column(jointWelds) + ")", total}, b.orderAmount("order_welds"), 6, "#,##0"})
}

// Columns of the table of welds.
const (
	weldOD = bidData + iota
	weldWall
	weldTurn
	weldSetup
	weldFits
	weldStarts
	weldMinutes
	weldFloor
	weldArgon
	weldFiller
	weldCost
	weldSaves
	weldLeast
	weldCount
)

// RowCell is a figure of a joint under a set-up: on its working row, or on the
// joint's own if it does not rest on the set-up.
func (b *rates) cellOf(t *tried, i int, key string) amountAt {
	q := b.Model.Line.Quantity(key)
	x := q.Num(&t.lines[i].Frame)
	if col := b.cols[q]; col > 0 {
		return amountAt{part.Ref(t.at.First+i, col), x}
	}
	return amountAt{b.JointCell(&b.Joints[i], q), x}
}

// weldTable is what one weld of each kind takes under each set-up.
func (b *rates) weldTable(row int) {
	unit := func(key string) string { return compute.UnitName(b.Model.Line.Quantity(key)) }
	b.row = row
	b.section("What one weld takes (where a set-up does not fit, under the one that is listed); cost without tube")
	b.headings(bidNo, summary.HeadingHigh, "No.", "Weld", "OD ("+unit("od")+")", "Wall ("+unit("wall")+")", "Turn (°)", "Set-up", "It fits (1)", "Starts", "Welding out (min)", "Floor time (min)",
		"Argon ("+unit("argon")+")", "Filler ("+unit("filler_mass")+")", "Cost ("+b.Currency()+")", "Saves ("+b.Currency()+")", "Least cost", "Such welds, all cars")
	row += 2
	for k, w := range b.welds {
		first := row
		costs := make([]float64, len(b.tries))
		least := 0.0
		for j, t := range b.tries {
			costs[j] = b.perWeld(t, w.first, "line_cost") - b.perWeld(t, w.first, "tube_cost")
			if j == 0 || costs[j] < least {
				least = costs[j]
			}
		}
		for j, t := range b.tries {
			b.weldRow(row, k, w, t, costs[j], least, first, first+len(b.tries)-1)
			row++
		}
	}
}

// perWeld is a figure of a joint's line, for one of its welds.
func (b *rates) perWeld(t *tried, i int, key string) float64 {
	return ratio(b.cellOf(t, i, key).value, b.cellOf(t, i, "welds").value)
}

func (b *rates) weldRow(row, k int, w weldKind, t *tried, cost, least float64, first, last int) {
	p, m, r := b.p, b.Model, &b.Joints[w.first]
	cell := func(col int) string { return part.Ref(row, col) }
	put := func(col int, format string, x float64, f string) {
		p.Put(row, page.Number(col, look.Calc, format, x, page.Ours).Live(f))
	}
	given := func(col int, key string) {
		q := m.Line.Quantity(key)
		put(col, q.Shown, q.Num(&r.Line.Frame), b.JointCell(r, q))
	}
	p.Put(row, page.Number(bidNo, look.Calc, "0", float64(k+1), page.Ours))
	kind, alloy := m.Line.Quantity("kind"), m.Line.Quantity("alloy")
	p.Put(row, page.Text(bidName, look.CalcText, kind.Text(&r.Line.Frame)+", "+alloy.Text(&r.Line.Frame), page.Ours).
		Live(b.JointCell(r, kind)+`&", "&`+b.JointCell(r, alloy)))
	given(weldOD, "od")
	given(weldWall, "wall")
	given(weldTurn, "turn")
	p.Put(row, page.Text(weldSetup, look.CalcText, t.name, page.Ours).Live(page.Absolute(b.tableRow(t), bidName)+`&""`))
	fits := 0.0
	if t.fits[w.first] {
		fits = 1
	}
	put(weldFits, "0", fits, part.Ref(t.at.First+w.first, workFits))
	at := func(key string) amountAt { return b.cellOf(t, w.first, key) }
	put(weldStarts, "0", at("starts").value, at("starts").formula)
	put(weldMinutes, "0.00", at("weld_out").value, at("weld_out").formula)
	put(weldFloor, "0.00", at("bench_each").value+at("tack_time").value+at("weld_out").value,
		at("bench_each").formula+"+"+at("tack_time").formula+"+"+at("weld_out").formula)
	welds := at("welds").formula
	each := func(f string) string { return fmt.Sprintf("IF(%[2]s=0,0,%[1]s/%[2]s)", f, welds) }
	put(weldArgon, m.Line.Quantity("argon").Shown, b.perWeld(t, w.first, "argon"), each(at("argon").formula))
	put(weldFiller, m.Line.Quantity("filler_mass").Shown, b.perWeld(t, w.first, "filler_mass"), each(at("filler_mass").formula))
	put(weldCost, "0.00", cost, each("("+at("line_cost").formula+"-"+at("tube_cost").formula+")"))
	lineCost, tube := m.Line.Quantity("line_cost"), m.Line.Quantity("tube_cost")
	listed := ratio(lineCost.Num(&r.Line.Frame)-tube.Num(&r.Line.Frame), m.Line.Quantity("welds").Num(&r.Line.Frame))
	put(weldSaves, "0.00", listed-cost, each("("+b.JointCell(r, lineCost)+"-"+b.JointCell(r, tube)+")")+"-"+cell(weldCost))
	word := ""
	if formula.Round(cost-least, 6) == 0 {
		word = wordLeast
	}
	p.Put(row, page.Text(weldLeast, look.CalcText, word, page.Ours).Live(fmt.Sprintf(`IF(ROUND(%s-MIN(%s:%s),6)=0,"%s","")`,
		cell(weldCost), page.Absolute(first, weldCost), page.Absolute(last, weldCost), wordLeast)))
	put(weldCount, "#,##0", w.count, "SUMIFS("+b.joints.Column(jointWelds)+","+b.joints.Column(jointWeld)+","+part.Ref(b.joints.First+w.first, jointWeld)+")")
}

const wordLeast = "least"

// verdict says in a line which set-up takes the fewest hours, if it is worth
// saying.
func (b *rates) verdict() string {
	hours, cost := b.Model.OrderOf.Quantity("order_hours"), b.Model.OrderOf.Quantity("order_cost")
	listed := hours.Num(b.Values.Order)
	best := -1
	for i, s := range b.scenes {
		if best < 0 || s.at(hours, 0).value < b.scenes[best].at(hours, 0).value {
			best = i
		}
	}
	if best < 0 || listed == 0 {
		return ""
	}
	t, s := b.tries[best], b.scenes[best]
	less := listed - s.at(hours, 0).value
	if less < listed/100 {
		return "no set-up, used wherever it fits, takes 1 % fewer hours than the order as listed"
	}
	out := fmt.Sprintf("%s wherever it fits: %s h less on this order", t.name, formula.GeneralText(formula.Round(less, hoursPlaces(less))))
	var fit, all int
	for _, fits := range t.fits {
		all++
		if fits {
			fit++
		}
	}
	if fit < all {
		out += fmt.Sprintf(" (%d of %d joints keep their own)", all-fit, all)
	}
	saves := ratio(cost.Num(b.Values.Order)-s.at(cost, 0).value, b.orderAmount("order_cars").value)
	kit := t.kit(b)
	switch n := wholeUpOf(ratio(kit, saves)); {
	case kit == 0:
	case saves <= 0:
		out += "; it saves no cost"
	case n <= 1:
		out += "; the kit has paid for itself within the first car"
	default:
		out += fmt.Sprintf("; the kit has paid for itself after %s cars", formula.GeneralText(n))
	}
	return out
}

// hoursPlaces shows few hours to the tenth.
func hoursPlaces(x float64) int {
	if x < 10 {
		return 1
	}
	return 0
}
