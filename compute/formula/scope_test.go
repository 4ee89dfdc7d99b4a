package formula_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"seamtally/compute/formula"
	"seamtally/compute/units"
)

// quantities is a scope for tests: each name with its unit, or with the words
// text, yesno, or a unit and "blank".
type quantities struct {
	names map[string]formula.Type
	place map[string]int
	funcs map[string]formula.Func
}

// having reads declarations such as "od in" or "bid $ blank", separated by
// semicolons.
func having(t testing.TB, declarations string) *quantities {
	t.Helper()
	q := &quantities{names: map[string]formula.Type{}, place: map[string]int{}, funcs: map[string]formula.Func{}}
	for i, one := range strings.Split(declarations, ";") {
		name, unit, _ := strings.Cut(strings.TrimSpace(one), " ")
		if name == "" {
			continue
		}
		var typ formula.Type
		unit, typ.Blank = strings.CutSuffix(unit, " blank")
		switch unit {
		case "text":
			typ.Kind = formula.KindText
		case "yesno":
			typ.Kind = formula.KindBool
		default:
			typ.Unit = unitOf(t, unit)
		}
		q.names[name] = typ
		q.place[name] = i
	}
	return q
}

func unitOf(t testing.TB, s string) units.Unit {
	t.Helper()
	u, err := units.Parse(s)
	require.NoError(t, err)
	return u
}

func (q *quantities) Name(table, key string) (formula.Ref, error) {
	id := key
	if table != "" {
		id = table + "." + key
	}
	typ, ok := q.names[id]
	if !ok {
		return formula.Ref{}, fmt.Errorf("%s is not known; add it", id)
	}
	i := q.place[id]
	return formula.Ref{
		Type: typ,
		Num:  func(f *formula.Frame) float64 { return f.Num[i] },
		Text: func(f *formula.Frame) string { return f.Text[i] },
	}, nil
}

func (q *quantities) Func(name string) (formula.Func, bool) {
	f, ok := q.funcs[name]
	return f, ok
}

// row makes a frame of numbers and texts, by name.
func (q *quantities) row(values map[string]any) *formula.Frame {
	f := &formula.Frame{Num: make([]float64, len(q.place)), Text: make([]string, len(q.place))}
	for name, v := range values {
		switch v := v.(type) {
		case float64:
			f.Num[q.place[name]] = v
		case int:
			f.Num[q.place[name]] = float64(v)
		case string:
			f.Text[q.place[name]] = v
		}
	}
	return f
}

func source(text string) formula.Source {
	return formula.Source{File: "model.txt", Line: 7, Col: 3, Text: text}
}

func parse(t testing.TB, text string) formula.Node {
	t.Helper()
	n, err := formula.Parse(source(text))
	require.NoError(t, err)
	return n
}

// checked checks text against unit ("text" and "yesno" for the other kinds).
func checked(t testing.TB, text, unit string, q *quantities) *formula.Formula {
	t.Helper()
	f, err := formula.Check(parse(t, text), source(text), wanted(t, unit), q)
	require.NoError(t, err)
	return f
}

func wanted(t testing.TB, unit string) formula.Type {
	switch unit {
	case "text":
		return formula.Type{Kind: formula.KindText}
	case "yesno":
		return formula.Type{Kind: formula.KindBool}
	}
	return formula.Type{Unit: unitOf(t, unit)}
}

// printed prints with every name as it stands.
func printed(t testing.TB, f *formula.Formula) string {
	t.Helper()
	text, err := f.Print(func(table, key string) (string, error) {
		if table != "" {
			return "INDEX(" + table + "_" + key + ",1)", nil
		}
		return key, nil
	})
	require.NoError(t, err)
	return text
}

// number works out a number.
func number(t testing.TB, f *formula.Formula, row *formula.Frame) float64 {
	t.Helper()
	code, err := f.Compile()
	require.NoError(t, err)
	return code.Num(row)
}

// constant works out a formula without names.
func constant(t testing.TB, text string) float64 {
	t.Helper()
	return number(t, checked(t, text, "", having(t, "")), nil)
}
