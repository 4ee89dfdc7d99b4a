package nest

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestRefused(t *testing.T) {
	many := Task{Stick: 1000}
	for i := range mostSizes + 1 {
		many.Pieces = append(many.Pieces, Piece{Length: 1 + float64(i)/100, Count: 1})
	}
	one := []Piece{{1, 1, 3}}
	for _, c := range []struct {
		task Task
		want string
	}{
		{Task{Stick: 0}, "stick is 0; give 0.0001 to 100000"},
		{Task{Stick: math.NaN()}, "stick is NaN"},
		{Task{Stick: math.Inf(1)}, "stick is +Inf"},
		{Task{Stick: 10, Kerf: -0.1, Pieces: one}, "kerf is -0.1; give 0 to"},
		{Task{Stick: 10, Facing: math.NaN(), Pieces: one}, "facing is NaN"},
		{Task{Stick: 10, Keep: -1, Pieces: one}, "shortest drop kept is -1"},
		{Task{Stick: 10, Pieces: []Piece{{1, 1, 3}, {0, 1, 4}}}, "piece 2 (label 4) is 0 long; give a length"},
		{Task{Stick: 10, Pieces: []Piece{{math.NaN(), 1, 3}}}, "is NaN long"},
		{Task{Stick: 10, Pieces: []Piece{{math.Inf(1), 1, 3}}}, "is +Inf long"},
		{Task{Stick: 10, Pieces: []Piece{{1, -1, 3}}}, "piece 1 (label 3) is wanted -1 times; give 0 to"},
		{Task{Stick: 10, Pieces: []Piece{{1, math.MaxInt, 3}}}, "times; give 0 to 20000"},
		{Task{Stick: 10, Pieces: []Piece{{1, 15_000, 3}, {2, 15_000, 4}}}, "over 20000 pieces"},
		{many, "or 1000 different lengths"},
		{Task{Stick: 10, Facing: 10, Pieces: one}, "longer than the 0 that a stick gives: label 3"},
		{Task{Stick: 10, Facing: 12, Pieces: one}, "longer than the 0 that a stick gives: label 3"},
	} {
		_, err := Solve(c.task)
		assert.ErrorContains(t, err, c.want)
	}
}
