package formula_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"seamtally/compute/formula"
)

// What a spreadsheet gives; the test against LibreOffice in this package
// asks one for each of these.
func precedenceCases() map[string]float64 {
	return map[string]float64{
		"-2^2":                             4,
		"0-2^2":                            -4,
		"2^3^2":                            64,
		"2^-1":                             0.5,
		"-2^-2":                            0.25,
		"--2^2":                            4,
		"2*3^2":                            18,
		"6/2*3":                            9,
		"6/(2*3)":                          1,
		"2-3-4":                            -5,
		"2-(3-4)":                          3,
		"50%*2":                            1,
		"200%^2":                           4,
		"-50%":                             -0.5,
		"2^50%*2":                          2 * 1.4142135623730951,
		"1+2*3-4/2":                        5,
		"100-50%":                          99.5,
		"IF(1+1=2,3,4)":                    3,
		"IF(1<>1,3,4)":                     4,
		"IF(2>=3-1,1,0)+IF(-1<-2,10,20)*2": 41,
		`IF("a"&1+1="a2",1,0)`:             1,
		`IF("a"="A",1,0)`:                  1,
		"IF(1<2,1,0)+.5E1-0.5E-1":          5.95,
	}
}

func TestPrecedence(t *testing.T) {
	for text, want := range precedenceCases() {
		assert.InDelta(t, want, constant(t, text), 1e-15, text)
	}
}

func TestTreeKeepsWhatWasWritten(t *testing.T) {
	n := parse(t, ` ( passes*(seam + closes * closing_overlap) + 0.50E-3)/setup.travel & "a""b" `)
	assert.Equal(t, `(passes*(seam+closes*closing_overlap)+0.50E-3)/setup.travel&"a""b"`, formula.Format(n))
	assert.Equal(t, []string{"passes", "seam", "closes", "closing_overlap", "setup.travel"}, formula.Names(n))
	assert.Equal(t, []string{"a", "b"}, formula.Names(parse(t, "IF(a=b,a,b)+a%*-b")))
	join := n.(*formula.Binary)
	assert.Equal(t, formula.Join, join.Op)
	assert.Equal(t, 1, join.L.(*formula.Binary).L.Pos())
	assert.Equal(t, "a\"b", join.R.(*formula.Text).Value)
}

func TestSyntaxErrors(t *testing.T) {
	for _, c := range []struct {
		text string
		at   int // of the caret, in characters
		says string
	}{
		{"", 0, "the formula is empty"},
		{"= od", 0, "begins with ="},
		{"od-", 3, "found the end where a value"},
		{"od wall", 3, "found wall where an operator"},
		{"(od", 0, "the bracket is not closed"},
		{"MIN(od", 3, "the bracket is not closed"},
		{"od)", 2, "found ) where"},
		{"(od,1)", 3, "found , where an operator or )"},
		{"MIN(,1)", 4, "found , where a value"},
		{"MIN(1;2)", 5, "separate arguments with a comma"},
		{"1×2", 1, "write * for times"},
		{"1÷2", 1, "write / for divided by"},
		{"2−1", 1, "write - for minus"},
		{"2od", 1, "runs into"},
		{"1.2.3", 3, "runs into"},
		{"1E+", 0, "no power of ten"},
		{"1E400", 0, "too large"},
		{".", 0, "a point stands alone"},
		{`"abc`, 0, "no closing quote"},
		{`"` + strings.Repeat("x", 256) + `"`, 0, "longer than 255"},
		{"a1+1", 0, "reads as a cell address"},
		{"1+setup.r1c1", 2, "reads as a cell address"},
		{"OD", 0, "lower-case"},
		{"a.b.c", 0, "no key"},
		{"x.", 0, "the name is empty"},
		{"a.b(1)", 0, "no name of a function"},
		{"{1}", 0, "'{' has no meaning"},
		{"\"\xff\"+\xff", 4, "no valid UTF-8"},
		{strings.Repeat("(", 65), 65, "nested more than 64 deep"},
		{strings.Repeat("-", 65) + "1", 64, "nested more than 64 deep"},
		{"1" + strings.Repeat("+1", 65), 129, "too long"},
		{"1" + strings.Repeat("%", 65), 65, "too many percent signs"},
	} {
		_, err := formula.Parse(source(c.text))
		var e *formula.Error
		require.ErrorAs(t, err, &e, c.text)
		assert.Contains(t, e.Error(), c.says, c.text)
		lines := strings.Split(e.Error(), "\n")
		assert.Equal(t, strings.Repeat(" ", c.at)+"^", lines[len(lines)-1], c.text)
	}
}

func TestErrorShowsThePlace(t *testing.T) {
	e := &formula.Error{Source: source("od*\n\t÷ü+wall"), Offset: len("od*\n\t÷ü+"), What: "this is wrong", Fix: "do that"}
	assert.Equal(t, "model.txt:8:5: this is wrong; do that\n\t÷ü+wall\n\t   ^", e.Error())
	e = &formula.Error{Source: source("od-wall"), Offset: 3, What: "so"}
	assert.Equal(t, "model.txt:7:6: so\nod-wall\n   ^", e.Error())
	e.Offset = 99
	assert.Contains(t, e.Error(), "       ^", "an offset past the end does no harm")
}

func TestValidKey(t *testing.T) {
	for _, key := range []string{"od", "run_od", "x", "xfe1", "a0", "a1048577", "abcd1", "ab_1", "c1r1", "price_2", "rcx"} {
		assert.NoError(t, formula.ValidKey(key), key)
	}
	for _, key := range []string{"", "a1", "xfd1048576", "pie2", "r", "c", "rc", "r1", "c2", "r1c1", "rc5", "r5c", "true",
		"false", "Od", "1a", "_a", "a b", "ä", "a.b", "a-b", strings.Repeat("k", 201)} {
		assert.Error(t, formula.ValidKey(key), key)
	}
}

// tree draws any tree that Parse can give: brackets stand wherever precedence
// asks for one.
func tree(level, depth int) *rapid.Generator[formula.Node] {
	return rapid.Custom(func(t *rapid.T) formula.Node {
		if depth == 0 {
			return leaf(t)
		}
		below := func(level int) formula.Node { return tree(level, depth-1).Draw(t, "part") }
		switch rapid.IntRange(0, 9).Draw(t, "shape") {
		case 0, 1, 2, 3:
			op := rapid.SampledFrom(operators()).Draw(t, "op")
			if own := levelOf(op); own >= level {
				return &formula.Binary{Op: op, L: below(own), R: below(own + 1)}
			}
			return &formula.Paren{X: below(compareLevel)}
		case 4:
			return &formula.Unary{Op: rapid.SampledFrom([]formula.Op{formula.Add, formula.Sub}).Draw(t, "sign"), X: below(unaryLevel)}
		case 5:
			if level <= percentLevel {
				return &formula.Percent{X: below(percentLevel)}
			}
			return &formula.Paren{X: below(compareLevel)}
		case 6:
			call := &formula.Call{Name: rapid.SampledFrom([]string{"IF", "MIN", "whole_up", "E1"}).Draw(t, "function")}
			for range rapid.IntRange(0, 3).Draw(t, "arguments") {
				call.Args = append(call.Args, below(compareLevel))
			}
			return call
		case 7:
			return &formula.Paren{X: below(compareLevel)}
		}
		return leaf(t)
	})
}

// The levels of precedence, written down a second time on purpose.
const (
	compareLevel = iota
	joinLevel
	addLevel
	mulLevel
	powLevel
	percentLevel
	unaryLevel
)

func levelOf(op formula.Op) int {
	switch op {
	case formula.Add, formula.Sub:
		return addLevel
	case formula.Mul, formula.Div:
		return mulLevel
	case formula.Pow:
		return powLevel
	case formula.Join:
		return joinLevel
	}
	return compareLevel
}

func operators() []formula.Op {
	var list []formula.Op
	for op := formula.Add; op <= formula.GreaterEqual; op++ {
		list = append(list, op)
	}
	return list
}

func leaf(t *rapid.T) formula.Node {
	switch rapid.IntRange(0, 2).Draw(t, "leaf") {
	case 0:
		spelling := rapid.StringMatching(`[0-9]{1,4}(\.[0-9]{0,3})?(E-?[0-9]{1,2})?|\.[0-9]{1,3}`).Draw(t, "number")
		value, err := strconv.ParseFloat(spelling, 64)
		if err != nil {
			t.Fatal(err)
		}
		return &formula.Number{Spelling: spelling, Value: value}
	case 1:
		return &formula.Text{Value: rapid.StringN(0, 6, -1).Draw(t, "text")}
	}
	name := &formula.Name{Key: key().Draw(t, "key")}
	if rapid.Bool().Draw(t, "two parts") {
		name.Table = key().Draw(t, "table")
	}
	return name
}

func key() *rapid.Generator[string] {
	return rapid.StringMatching(`[a-z][a-z0-9_]{0,5}`).Filter(func(s string) bool { return formula.ValidKey(s) == nil })
}

func TestFormatThenParseGivesTheSameTree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := tree(compareLevel, 5).Draw(t, "tree")
		text := formula.Format(want)
		got, err := formula.Parse(formula.Source{Text: text})
		if err != nil {
			t.Fatalf("%s: %v", text, err)
		}
		if !formula.Same(want, got) {
			t.Fatalf("%s became %s", text, formula.Format(got))
		}
	})
}

func TestSameTellsTreesApart(t *testing.T) {
	texts := []string{"a", "b", "x.a", "1", "1.0", `"a"`, "-a", "+a", "a%", "(a)", "a+b", "a-b", "b+a", "MIN(a)", "MIN(a,b)", "MAX(a)"}
	for i, a := range texts {
		for j, b := range texts {
			assert.Equal(t, i == j, formula.Same(parse(t, a), parse(t, b)), "%s and %s", a, b)
		}
	}
	assert.False(t, formula.Same(nil, parse(t, "1")))
}

func FuzzParse(f *testing.F) {
	for text := range precedenceCases() {
		f.Add(text)
	}
	for _, text := range []string{`"a""b"&x`, "setup.travel/0.5E-3", "1E5%%", "-(+a)", "IF(,)", "((", "a1", "\xff", "\"\xff\"", "R1C1"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		n, err := formula.Parse(source(text))
		if err != nil {
			var e *formula.Error
			require.ErrorAs(t, err, &e)
			require.GreaterOrEqual(t, e.Offset, 0)
			require.LessOrEqual(t, e.Offset, len(text))
			require.NotEmpty(t, e.Error())
			return
		}
		again, err := formula.Parse(source(formula.Format(n)))
		require.NoError(t, err)
		require.True(t, formula.Same(n, again))

		// Whatever passes the check can be worked out, printed and spelled out.
		checked, err := formula.Check(n, source(text), formula.Type{}, nil)
		if err != nil {
			return
		}
		code, err := checked.Compile()
		require.NoError(t, err)
		require.False(t, math.IsInf(code.Num(nil), 0))
		_, err = checked.Print(nil)
		require.NoError(t, err)
		require.NotEmpty(t, checked.Spell(formula.SpellOptions{}))
	})
}
