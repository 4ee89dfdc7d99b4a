package compare

import (
	"strings"

	"seamtally/compute"
	"seamtally/compute/model"
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
			keys[side] = append(keys[side], r.Key())
			contents[side] = append(contents[side], r.Said(o.model))
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

// oneJoint takes in a joint that only one revision has.
func (o *over) oneJoint(r *compute.Joint, side int, key string) {
	j := &joint{in: presence{side: side}}
	line := o.newLine()
	for _, q := range o.model.Line.Quantities {
		if r.Line.Given(q) {
			line.Take(r.Line, q)
		}
	}
	j.lines = [2]*compute.Line{line, line}
	if j.in.change = o.cars[strings.ToLower(r.Car)]; j.in.change == nil {
		p := &change{
			key:    "joint\x00" + key,
			Change: Change{Kind: ChangedJoint, Name: r.Name(), Items: []Item{cameOrWent(side)}},
		}
		o.unique(p, r.Said(o.model), "")
		j.in.change = o.add(p)
	}
	o.joints = append(o.joints, j)
}

func (o *over) newLine() *compute.Line {
	line := compute.NewLine(o.model)
	line.Clear()
	return line
}

// jointOver takes in a joint that both revisions have. A value that one row
// says and the other has by default is no change where it is the same.
func (o *over) jointOver(rows [2]*compute.Joint, key string) {
	was, now := rows[revisions.Old].Line, rows[revisions.New].Line
	j := &joint{lines: [2]*compute.Line{o.newLine(), o.newLine()}}
	p := &change{key: "joint\x00" + key, Change: Change{Kind: ChangedJoint, Name: rows[revisions.New].Name()}}
	old, content := rows[revisions.Old].Said(o.model), rows[revisions.New].Said(o.model)
	o.unique(p, old, content)
	for _, q := range o.model.Line.Quantities {
		switch given := was.Given(q) || now.Given(q); {
		case !given || q.Role == model.Check:
		case q.Key == "car": // the same but for capitals
			for _, line := range j.lines {
				line.SetText(q, min(q.Text(&was.Frame), q.Text(&now.Frame)))
			}
		case q.Role != model.Input:
			o.typedOver(j, p, q, [2]*compute.Line{was, now})
		case q.Same(&was.Frame, &now.Frame):
			j.lines[revisions.Old].Take(was, q)
			j.lines[revisions.New].Take(now, q)
		default:
			for side, line := range []*compute.Line{was, now} {
				if line.Given(q) {
					j.lines[side].Take(line, q)
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
func (o *over) typedOver(j *joint, row *change, q *model.Quantity, lines [2]*compute.Line) {
	t := typedOver{q: q}
	words := [2]string{}
	for side, line := range lines {
		words[side] = "worked out"
		if t.has[side] = line.Given(q); t.has[side] {
			t.from[side] = &line.Frame
			words[side] = o.shown(q, &line.Frame)
		}
	}
	if !t.has[revisions.Old] || !t.has[revisions.New] || !q.Same(t.from[revisions.Old], t.from[revisions.New]) {
		t.change = o.add(&change{
			key: "typed" + row.key + "\x00" + q.Key,
			Change: Change{Kind: ChangedTyped, Name: row.Name,
				Items: []Item{{Name: lowered(q.Heading) + ", typed over", Old: words[revisions.Old], New: words[revisions.New]}}},
		})
	}
	j.typed = append(j.typed, t)
}
