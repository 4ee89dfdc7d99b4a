package alike_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"seamtally/sheets/alike"
)

// list is one of joints.
func list(joints ...alike.Joint) *alike.List {
	l := alike.NewList()
	for _, j := range joints {
		l.Add(j)
	}
	return &l
}

func TestAgain(t *testing.T) {
	joint := func(car, mark, kind, sizes string, pieces float64) alike.Joint {
		return alike.Joint{Car: car, Mark: mark, Kind: kind, Sizes: sizes, Pieces: pieces, Whole: fmt.Sprint(kind, sizes, pieces)}
	}
	a1, a2, a3 := joint("coupe", "a1", "butt", "3|0.047", 2), joint("coupe", "a2", "fillet", "2|0.035", 1), joint("coupe", "a3", "pie cut", "2.5|0.035", 4)
	of := func(car string, j alike.Joint) alike.Joint { j.Car = car; return j }
	named := func(mark string, j alike.Joint) alike.Joint { j.Mark = mark; return j }
	for name, c := range map[string]struct {
		earlier, later *alike.List
		of             alike.Of
		n              int
		says           string
	}{
		"marks and all, of cars in doubt":   {list(a1, a2, a3), list(of("track", a1), of("track", a2), of("track", a3)), alike.Of{Doubt: true}, 3, "marks and all"},
		"the same of a car that is ordered": {list(a1, a2, a3), list(of("track", a1), of("track", a2), of("track", a3)), alike.Of{}, 0, ""},
		"marks of the same car":             {list(a1, a2, a3), list(named("a1", a2)), alike.Of{}, 1, "have marks that joints of the same car"},
		"two of the same in a revision":     {list(a1, a2), list(a1, a2), alike.Of{Doubt: true, Revision: true}, 2, "marks and all"},
		"a revision with other marks":       {list(a1, a2), list(named("b1", a1), named("b2", a2)), alike.Of{Revision: true}, 2, "there are others of it"},
		"without marks":                     {list(named("", a1), named("", a2)), list(named("", a1), named("", a2)), alike.Of{}, 2, "without marks"},
		"a copy with other marks":           {list(a1, a2, a3), list(named("b1", a1), named("b2", a2), named("b3", a3)), alike.Of{Doubt: true}, 3, "in all but their marks"},
		"the other side":                    {list(a1, a2, a3), list(named("b1", a1), named("b2", a2), named("b3", a3)), alike.Of{Doubt: true, Places: true}, 0, ""},
		"marks that are settled":            {list(a1, a2, a3), list(named("b1", a1), named("b2", a2), named("b3", a3)), alike.Of{Doubt: true, Meant: true}, 0, ""},
		"one kind of joint":                 {list(a1, named("a2", a1), named("a3", a1)), list(named("b1", a1), named("b2", a1), named("b3", a1)), alike.Of{Doubt: true}, 0, ""},
		"others":                            {list(a1, a2), list(a3), alike.Of{Doubt: true, Revision: true}, 0, ""},
	} {
		n, what := c.later.Again(c.earlier, c.of)
		assert.Equal(t, c.n, n, name)
		assert.Contains(t, what, c.says, name)
	}
}

// A list of cars in doubt says again what it says itself, whatever stands in it; two that
// share no mark, no size and no pieces say nothing of each other.
func TestAListIsItself(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var all, other []alike.Joint
		for i := range rapid.IntRange(3, 40).Draw(t, "joints") {
			j := alike.Joint{Car: "coupe", Mark: fmt.Sprint("a", i), Kind: "butt", Sizes: rapid.StringMatching(`[1-4]\|0\.0[1-9]`).Draw(t, "sizes"), Pieces: float64(rapid.IntRange(1, 9).Draw(t, "pieces"))}
			j.Whole = fmt.Sprint(j.Sizes, j.Pieces)
			all = append(all, j)
			other = append(other, alike.Joint{Car: "track", Mark: fmt.Sprint("t", i), Kind: "butt", Sizes: "9" + j.Sizes, Pieces: j.Pieces, Whole: "9" + j.Whole})
		}
		n, _ := list(all...).Again(list(all...), alike.Of{Doubt: true})
		assert.Equal(t, len(all), n)
		n, _ = list(other...).Again(list(all...), alike.Of{Doubt: true, Revision: true})
		assert.Zero(t, n)
	})
}
