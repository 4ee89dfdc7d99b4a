package habits_test

import (
	"slices"
	"strings"
)

// habit is one thing that a shop does in its list. A plain one leaves nothing to
// ask: the README says that it is understood, or it has nothing to do with the
// price. What it takes a person to see, or what may be read in two ways, is hard.
type habit struct {
	name    string
	class   string // no two of a class meet in a workbook; it may be of several, each a word
	sort    int    // which of the lists of habits it comes from
	hard    bool
	phase   int
	system  string   // us, metric, or "" for both
	needs   []string // inputs that the lists must have a column for
	without []string // or must not
	cars    int      // how many cars there are at least
	one     bool     // or that there is one
	apply   func(b *shopBook) bool
}

// When a habit is at work.
const (
	layingOut = iota // cars become lists
	heading          // columns: what is in them, and over them
	lining           // lines
	around           // other sheets, the cars ordered
)

// habits are all that are known.
func habits() []habit {
	var out []habit
	for i, from := range [][]habit{carHabits(), orderHabits(), spellings(), headHabits(), unitHabits(), cellHabits(), ownHabits(), lineHabits(), tabHabits(), saidHabits()} {
		for _, h := range from {
			h.sort = i
			out = append(out, h)
		}
	}
	return out
}

func named(name string, phase int, apply func(b *shopBook) bool) habit {
	return habit{name: name, phase: phase, apply: apply}
}

func (h habit) asHard() habit                { h.hard = true; return h }
func (h habit) of(class string) habit        { h.class = class; return h }
func (h habit) need(keys ...string) habit    { h.needs = append(h.needs, keys...); return h }
func (h habit) lacking(keys ...string) habit { h.without = append(h.without, keys...); return h }
func (h habit) only(system string) habit     { h.system = system; return h }
func (h habit) atLeast(cars int) habit       { h.cars = cars; return h }
func (h habit) alone() habit                 { h.one = true; return h }

// meets reports whether two habits can be in one workbook.
func (h habit) meets(o habit) bool {
	switch {
	case slices.ContainsFunc(strings.Fields(h.class), func(c string) bool { return slices.Contains(strings.Fields(o.class), c) }),
		h.system != "" && o.system != "" && h.system != o.system,
		h.one && o.cars > 1, o.one && h.cars > 1:
		return false
	}
	for _, pair := range [][2]habit{{h, o}, {o, h}} {
		for _, k := range pair[0].needs {
			if slices.Contains(pair[1].without, k) {
				return false
			}
		}
	}
	return true
}
