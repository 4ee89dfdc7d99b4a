package sheets

import (
	"fmt"
	"strings"

	"seamtally/compute"
	"seamtally/sheets/joints"
	"seamtally/sheets/revisions"
)

// jointsOver lays the joint rows over one another. A joint is known by its car
// and its mark, wherever it stands; one without a mark by what its row says, or
// else by where it comes among those without.
func (o *over) jointsOver() {
	var keys, contents [2][]string
	for side, t := range o.both {
		for i := range t.Joints {
			r := &t.Joints[i]
			keys[side] = append(keys[side], jointKey(r))
			contents[side] = append(contents[side], rowContent(o.model, r))
		}
	}
	for _, pair := range revisions.Paired(keys, contents) {
		old, now := pair[revisions.Old], pair[revisions.New]
		switch {
		case old == revisions.None:
			o.oneJoint(&o.both[revisions.New].Joints[now], revisions.New, keys[revisions.New][now])
		case now == revisions.None:
			o.oneJoint(&o.both[revisions.Old].Joints[old], revisions.Old, keys[revisions.Old][old])
		default:
			o.jointOver([2]*compute.Joint{&o.both[revisions.Old].Joints[old], &o.both[revisions.New].Joints[now]}, keys[revisions.Old][old])
		}
	}
}

// jointKey is what a joint is known by in both revisions.
func jointKey(r *compute.Joint) string { return strings.ToLower(r.Car) + "\x00" + markOf(r) }

// markOf is the mark of a row, "" where it has none.
func markOf(r *compute.Joint) string {
	if r.Mark == joints.Unmarked(r.Sheet, r.Row) {
		return ""
	}
	return r.Mark
}

// jointName is what a joint is called: car and mark, or where it stands.
func jointName(r *compute.Joint) string {
	if markOf(r) == "" {
		return fmt.Sprintf("%s, row %d of %s", r.Car, r.Row, r.Sheet)
	}
	return r.Car + " " + r.Mark
}

// rowContent is what a row itself says, for comparing.
func rowContent(m *compute.Model, r *compute.Joint) string {
	var b strings.Builder
	for _, q := range m.Line.Quantities {
		if r.Line.Given(q) {
			fmt.Fprintf(&b, "%s=%s\x00", q.Key, digitsOf(q, &r.Line.Frame))
		}
	}
	return b.String()
}

// give copies a value that a row says itself.
func give(to, from *compute.Line, q *compute.Quantity) {
	if q.IsText() {
		to.SetText(q, q.Text(&from.Frame))
		return
	}
	to.Set(q, q.Num(&from.Frame))
}

// oneJoint takes in a joint that only one revision has.
func (o *over) oneJoint(r *compute.Joint, side int, key string) {
	j := &joint{in: presence{side: side}}
	line := o.newLine()
	for _, q := range o.model.Line.Quantities {
		if r.Line.Given(q) {
			give(line, r.Line, q)
		}
	}
	j.lines = [2]*compute.Line{line, line}
	if j.in.player = o.cars[strings.ToLower(r.Car)]; j.in.player == nil {
		p := &player{
			key:    "joint\x00" + key,
			Change: Change{Kind: ChangedJoint, Name: jointName(r), Items: []Item{cameOrWent(side)}},
		}
		o.unique(p, rowContent(o.model, r), "")
		j.in.player = o.add(p)
	}
	o.joints = append(o.joints, j)
}

func (o *over) newLine() *compute.Line {
	line := o.model.NewLine()
	line.Clear()
	return line
}

// jointOver takes in a joint that both revisions have. A value that one row
// says and the other has by default is no change where it is the same.
func (o *over) jointOver(rows [2]*compute.Joint, key string) {
	was, now := rows[revisions.Old].Line, rows[revisions.New].Line
	j := &joint{lines: [2]*compute.Line{o.newLine(), o.newLine()}}
	p := &player{key: "joint\x00" + key, Change: Change{Kind: ChangedJoint, Name: jointName(rows[revisions.New])}}
	old, content := rowContent(o.model, rows[revisions.Old]), rowContent(o.model, rows[revisions.New])
	o.unique(p, old, content)
	for _, q := range o.model.Line.Quantities {
		switch given := was.Given(q) || now.Given(q); {
		case !given || q.Role == compute.Check:
		case q.Key == "car": // the same but for capitals
			for _, line := range j.lines {
				line.SetText(q, min(q.Text(&was.Frame), q.Text(&now.Frame)))
			}
		case q.Role != compute.Input:
			o.typedOver(j, p, q, [2]*compute.Line{was, now})
		case alike(q, &was.Frame, &now.Frame):
			give(j.lines[revisions.Old], was, q)
			give(j.lines[revisions.New], now, q)
		default:
			for side, line := range []*compute.Line{was, now} {
				if line.Given(q) {
					give(j.lines[side], line, q)
				}
			}
			p.Items = append(p.Items, o.item(lowered(q.Heading), q, &was.Frame, &now.Frame))
		}
	}
	if len(p.Items) > 0 {
		j.inputs = o.add(p)
	}
	o.joints = append(o.joints, j)
}

// typedOver takes in a figure that is typed over in one revision or in both.
func (o *over) typedOver(j *joint, row *player, q *compute.Quantity, lines [2]*compute.Line) {
	t := typedOver{q: q}
	words := [2]string{}
	for side, line := range lines {
		words[side] = "worked out"
		if t.has[side] = line.Given(q); t.has[side] {
			t.from[side] = &line.Frame
			words[side] = o.shown(q, &line.Frame)
		}
	}
	if !t.has[revisions.Old] || !t.has[revisions.New] || !alike(q, t.from[revisions.Old], t.from[revisions.New]) {
		t.player = o.add(&player{
			key: "typed" + row.key + "\x00" + q.Key,
			Change: Change{Kind: ChangedTyped, Name: row.Name,
				Items: []Item{{Name: lowered(q.Heading) + ", typed over", Old: words[revisions.Old], New: words[revisions.New]}}},
		})
	}
	j.typed = append(j.typed, t)
}
