package sayings

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/joints"
)

// Beside is what words beside a joint say that its row does not: nothing where What is "".
type Beside struct{ What, Rule, Fix string }

// row is the joint that words stand beside.
type row struct {
	*Said
	*joints.Editor
}

func (r *row) num(key string) float64 { return r.Said.b.Model.Line.Quantity(key).Num(&r.Line.Frame) }

// Beside is what a text beside the joint that was filled last says against its row. key is
// the input that its column gives, "" for a column of the shop's own.
func (s *Said) Beside(ed *joints.Editor, text, key string) Beside {
	r, b, words := &row{s, ed}, s.b, Words(text)
	if key == "" && !joints.Filled(ed.Inputs[ed.QtyAt]) && b.Has("pair", words) != "" {
		return Beside{What: "speaks of a pair, and the row gives no number of pieces", Rule: RulePair, Fix: fixPieces}
	}
	if p := r.pieces(text, key); p.What != "" {
		return p
	}
	if key == "" {
		if p := r.otherwise(text, words); p.What != "" {
			return p
		}
	}
	return r.kind(words, key)
}

// RulePair is the rule of words that speak of a pair where the row gives no pieces.
const RulePair = "pair"

const fixPieces = `give each row its number under "Qty per car"`

// BesideNoCell is the same for words that stand in no cell: those too that would be asked
// about in a cell before its row is priced.
func (s *Said) BesideNoCell(ed *joints.Editor, text string) Beside {
	if n, ok := s.b.Measures.Pieces(text, false); ok && !joints.Filled(ed.Inputs[ed.QtyAt]) {
		return Beside{What: fmt.Sprintf("speaks of %v pieces, and the row gives no number of them", n), Fix: fixPieces}
	}
	words := Words(text)
	for _, list := range [...]string{"dropped", "optional"} {
		if len(words) > 0 && (s.b.in(list, words[0]) || s.b.in(list, strings.Join(words[:min(len(words), 2)], " "))) {
			return Beside{What: "may say that the joint is not part of the order", Fix: "take the row out if it is not"}
		}
	}
	return s.Beside(ed, text, "")
}

// kind is another kind than the row gives, or one where it gives none.
func (r *row) kind(words []string, key string) Beside {
	kindAt := slices.IndexFunc(r.Cols, func(c joints.Column) bool { return c.Q.Key == "kind" })
	taken, given := r.Cols[kindAt].Q.Text(&r.Line.Frame), joints.Filled(r.Inputs[kindAt])
	kind := r.Said.b.Kind(words)
	switch {
	case kind == "" || kind == taken || !given && r.Said.b.KindAmong(words, taken):
	case !given:
		p := Beside{What: fmt.Sprintf("names the kind %s, and the row gives none: %s is taken", kind, taken), Rule: "kind beside", Fix: `write it under "Kind"`}
		if _, has := r.L.Shop["kind"]; !has && key == "" {
			p.Fix = `head a column "Kind" and write it there`
		}
		return p
	case key == "" && r.Said.b.Changed(words), key == "" && strings.EqualFold(strings.Join(slices.DeleteFunc(words, StartsNumber), " "), kind): // "pie cut 90"
		return Beside{What: fmt.Sprintf("is another kind than the row gives: %s is taken", taken), Rule: "kind beside", Fix: fmt.Sprintf("write the one that is meant under %q", r.L.Shop["kind"].Head)}
	}
	return Beside{}
}

// pieces are those in words whose row gives another number: "2 off" beside a 4, "L/R"
// beside a 1. "2x left, 2x right" gives them piece by piece.
func (r *row) pieces(text, key string) Beside {
	b, given := r.Said.b, r.Cols[r.QtyAt].Q.Num(&r.Line.Frame)
	filled := joints.Filled(r.Inputs[r.QtyAt])
	said, all := b.Measures.Counts(text, key == "mark")
	if !filled {
		said, all = nil, nil // asked about where pieces are looked for
	}
	sum := 0.0
	for _, n := range all {
		if sum += n; n == given {
			return Beside{}
		}
	}
	if len(said) > 0 && (sum == given || 2*sum == given && b.Has("pair", Words(text)) != "") { // "2 each side"
		return Beside{}
	}
	if len(said) == 0 {
		said = slices.DeleteFunc(b.Pieces(text, key == "mark"), func(n float64) bool {
			return filled && math.Mod(given, n) == 0 || n == r.num("sides") || n == r.num("welds_per_joint")
		})
	}
	switch {
	case len(said) == 0:
		return Beside{}
	case filled:
		return Beside{
			What: fmt.Sprintf("speaks of %v pieces, and the row gives %v: %v is taken", said[0], given, given), Rule: "pieces beside",
			Fix: fmt.Sprintf("write the number that is meant under %q", r.L.Shop["qty"].Head),
		}
	}
	return Beside{What: fmt.Sprintf("speaks of %v pieces, and the row gives no number of them", said[0]), Rule: RulePair, Fix: fixPieces}
}

// otherwise is what words of the shop's own say against the row.
func (r *row) otherwise(text string, words []string) Beside {
	b, f := r.Said.b, &r.Line.Frame
	has := func(x float64) bool {
		return slices.ContainsFunc(r.Cols, func(c joints.Column) bool { return c.Reader != nil && !c.Q.IsText() && Near(c.Q.Num(f), x) })
	}
	if b.NotOurs(text) || b.unmeant(words) || b.partly(text, has) || b.othersWeld(words) {
		return Beside{What: "may say that the joint is not to be welded, or only partly", Rule: ruleOther, Fix: "take the row out if it is not"}
	}
	if b.in("free of charge", text) {
		return Beside{What: "may say that the joint is not charged for", Rule: ruleOther, Fix: "take the row out if it is not"}
	}
	if b.countsElsewhere(words, r.num("qty")) {
		return Beside{What: "may say that other cars have another number of the joint", Rule: ruleOther, Fix: "give these cars joints of their own"}
	}
	if b.more(text, b.withoutIdioms(words)) {
		return Beside{What: "may say that there are more of the joint than the row gives", Rule: ruleOther, Fix: "write in the row how many there are"}
	}
	if b.notRound(text, words) {
		return Beside{What: "may " + saysNotRound, Rule: ruleOther, Fix: "type the diameter of a round tube of the same girth"}
	}
	if b.someCars(words) {
		return Beside{What: "may say that only some of the cars have the joint", Rule: ruleOther, Fix: "give these cars joints of their own, or take the row out"}
	}
	if b.bothSides(words) && r.num("sides") < 2 {
		return Beside{What: "may say that the joint is welded on both sides", Rule: ruleOther, Fix: `write 2 under "Sides", or give the other side a row of its own`}
	}
	if len(words) <= 2 && b.Has("unpurged", words) != "" && r.num("purges") > 0 {
		return Beside{What: "may say that the joint is not purged, and the row has a purge", Rule: ruleOther, Fix: `write 0 under "Purges per joint"`}
	}
	if r.twoSizes(text, func(q *model.Quantity) float64 { return q.Num(f) }) || r.otherTube(text, has) {
		return Beside{What: "may give the joint a second size", Rule: ruleOther, Fix: `type the size that its weld has under "OD"`}
	}
	of := rowOf(f)
	other := r.OtherInput(words, func(q *model.Quantity, x float64) bool { return Near(q.Num(f), x) })
	if other == "" {
		other = r.changes(words, of)
	}
	if other == "" {
		other = r.OtherWord(words, of.words)
	}
	if other == "" && (b.OtherAmount(text, has) || b.turnsTo(text, has)) {
		other = "number"
	}
	if other == "" {
		other = r.demands(words, of)
	}
	if other == "" {
		return Beside{}
	}
	return Beside{What: "may give another " + other + " than the row has", Rule: ruleOther, Fix: "write in the row what is meant"}
}

const ruleOther = "number beside"
