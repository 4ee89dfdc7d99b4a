package explain

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets"
	"seamtally/sheets/entry"
	"seamtally/sheets/front"
)

// unnamedError is that nothing is called what was typed: no joint, no car.
type unnamedError struct {
	mark, example string
	near          []string
}

func (e *unnamedError) Error() string {
	near := ""
	if len(e.near) > 0 {
		near = "; near to it: " + strings.Join(e.near, ", ")
	}
	return fmt.Sprintf("no joint and no car is called %q%s; name a joint's mark, its cell as in %s, a car, %s, or a figure of the order",
		e.mark, near, e.example, orderWord)
}

// asked finds what is to be explained, and the figure of it that was asked for, nil for
// all. A word that names no joint and no car is one for a figure of the order.
func asked(t *sheets.Run, o Options) (*explainer, *place, error) {
	to, err := subjectOf(t, o.Mark)
	var none *unnamedError
	if !errors.As(err, &none) || o.Figure != "" {
		if err != nil {
			return nil, nil, err
		}
		return figureOf(t, to, o.Figure)
	}
	w, only, err := figureOf(t, &subject{of: OfOrder}, none.mark)
	var odd *oddFigureError
	if errors.As(err, &odd) {
		none.near = append(none.near, odd.near...)
		if err = none; odd.of != nil {
			err = fmt.Errorf("%s is a figure of %s; name %s in front of it", odd.key, odd.of.is, odd.of.named)
		}
	}
	return w, only, err
}

func figureOf(t *sheets.Run, to *subject, figure string) (*explainer, *place, error) {
	w, err := newExplainer(t, to)
	if err != nil {
		return nil, nil, err
	}
	only, err := w.figureCalled(figure)
	return w, only, err
}

// oddFigureError is that what is explained has no figure of that name.
type oddFigureError struct {
	key  string
	of   *kind // that has it
	near []string
	say  string
}

func (e *oddFigureError) Error() string { return e.say }

// kind is what has figures: a joint, a car, the order.
type kind struct {
	s         *model.Scope
	is, named string
}

// leading is the one figure of Summary whose heading has all words of what was typed, or
// else the one of the order that is headed so; nil where none or several are. It goes
// before an assumption of that name: who types margin asks what the order makes,
// not what was set.
func (w *explainer) leading(name string) (*model.Quantity, error) {
	if w.to.of != OfOrder {
		return nil, nil
	}
	order, _, err := front.Figures(w.Model)
	if err != nil {
		return nil, err
	}
	found := saying(order, name)
	if len(found) == 0 {
		found = w.headed(w.Model.OrderOf, name)
	}
	if len(found) != 1 {
		return nil, nil
	}
	if set := w.Model.Singles.Quantity(strings.ToLower(name)); set != nil {
		p := place{q: set, f: w.Values.Singles}
		w.to.notes = append(w.to.notes, fmt.Sprintf("what is set as %s is another: %s, %s, in %s", set.Key, model.Uncapped(set.Heading), w.plain.result(set, p.f), w.cellOf(p)))
	}
	return found[0], nil
}

// headed are the quantities with that heading, with its unit or without.
func (w *explainer) headed(s *model.Scope, heading string) (out []*model.Quantity) {
	for _, q := range s.Quantities {
		if strings.EqualFold(q.Heading, heading) || strings.EqualFold(w.Heading(q), heading) {
			out = append(out, q)
		}
	}
	return out
}

// saying are the quantities whose heading has all words of a text. A text with an
// underscore is the name of a figure, and no words.
func saying(all []*model.Quantity, text string) (out []*model.Quantity) {
	words := entry.WordsIn(strings.ToLower(text))
	if len(words) == 0 || strings.Contains(text, "_") {
		return nil
	}
	for _, q := range all {
		heading := entry.WordsIn(strings.ToLower(q.Heading))
		missing := func(word string) bool { return !slices.Contains(heading, word) }
		if q.Role != model.Number && !slices.ContainsFunc(words, missing) {
			out = append(out, q)
		}
	}
	return out
}

// misspelt are the quantities of which a word of the heading is near to what was typed.
func misspelt(all []*model.Quantity, text string) (out []*model.Quantity) {
	var known []string
	for _, q := range all {
		for _, word := range entry.WordsIn(q.Heading) {
			if len(word) >= leastMisspelt && !slices.Contains(known, word) {
				known = append(known, word)
			}
		}
	}
	for _, word := range entry.Near(text, known) {
		out = append(out, saying(all, word)...)
	}
	return out
}

// leastMisspelt is how many letters a word has at the least that may be meant by another:
// shorter ones are all near to one another.
const leastMisspelt = 4

// choices are figures to choose from, each as it is typed and with what it is.
func (w *explainer) choices(all []*model.Quantity) string {
	var out []string
	for _, q := range all {
		out = append(out, fmt.Sprintf("%s (%s)", q.Key, w.Heading(q)))
	}
	return strings.Join(out, ", ")
}

// sumWords are what a sum adds up, in words.
func sumWords(s *sumOf, c *formula.Call) string {
	whose := "all cars"
	if c.Name == "sum" {
		whose = "of this car"
		if n, ok := c.Args[1].(*formula.Number); ok && n.Value == 0 {
			whose = "of every car"
		}
	}
	return s.q.Heading + ", " + whose
}

// nodeWords are what a part of a formula that has no name of its own is worked out from.
func (w *explainer) nodeWords(p place, n formula.Node) string {
	var out []string
	for _, name := range formula.Names(n) {
		table, key, dotted := strings.Cut(name, ".")
		if !dotted {
			table, key = "", name
		}
		if u, ok := w.lookup(p, table, key); ok {
			out = append(out, u.q.Heading)
		}
	}
	if len(out) == 0 {
		return "the rest"
	}
	return "from " + strings.Join(out, "; ")
}
