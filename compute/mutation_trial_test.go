package compute_test

import (
	"fmt"
	"io/fs"
	"math/rand/v2"
	"strings"

	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/model"
)

// trial stands for a test where a changed model is tried: what a test says of
// the shipped model is said of this one, and its first fault ends the trial.
type trial struct {
	files  fs.FS
	models map[model.System]*model.Model
	fault  string
}

// over is thrown by the first fault.
type over struct{}

func (t *trial) Errorf(format string, args ...any) {
	t.fault = fmt.Sprintf(format, args...)
	panic(over{})
}

func (t *trial) FailNow() { panic(over{}) }

// model is the tried model, loaded once for each book.
func (t *trial) model(s model.System) *model.Model {
	if t.models[s] == nil {
		m, err := compute.Load(t.files, s)
		if err != nil {
			t.Errorf("%v", err)
		}
		t.models[s] = m
	}
	return t.models[s]
}

// claim is what a test says of the model: it fails where it does not hold.
type claim struct {
	by    string // the kind of test
	about string // the figure that it is for; the beginning of several
	holds func(require.TestingT)
}

// refutes says what is wrong with the model, "" if the claim holds. A model
// that cannot even be worked out is wrong too.
func (t *trial) refutes(c claim) (fault string) {
	defer func() {
		if x := recover(); x != nil {
			fault = t.fault
			if _, ok := x.(over); !ok {
				fault = fmt.Sprint(x)
			}
		}
	}()
	c.holds(t)
	return ""
}

// judge is the kind of test that finds a fault in the model of these files:
// "load" where it is not even read, "" where none does. Claims about the
// figure come first.
func judge(files fs.FS, claims []claim, figure string) (by, fault string) {
	t := &trial{files: files, models: map[model.System]*model.Model{}}
	if fault := t.refutes(claim{holds: func(require.TestingT) { t.model(model.US) }}); fault != "" {
		return "load", fault
	}
	for _, first := range []bool{true, false} {
		for _, c := range claims {
			if first != (c.about != "" && strings.HasPrefix(figure, c.about)) {
				continue
			}
			if fault := t.refutes(c); fault != "" {
				return c.by, fault
			}
		}
	}
	return "", ""
}

// The claims that are tried, by the kind of test.
const (
	byPlain    = "plain implementation"
	byRows     = "rows that raise a check"
	byExamples = "examples"
)

// claims are those of the ordinary tests, the quickest first. Jobs are drawn
// from a fixed seed, and what the plain implementation makes of them is worked
// out once.
func claims(t require.TestingT) []claim {
	m := load(t, model.US)
	var out []claim
	for _, j := range triedJobs(m) {
		out = append(out, claim{byPlain, "", j.holds})
	}
	for _, c := range refused() {
		out = append(out, claim{byRows, "lines." + c.check, c.refuses})
	}
	for _, c := range questioned() {
		out = append(out, claim{byRows, "lines." + c.check, c.questions})
	}
	return append(append(out, bidClaims()...),
		claim{byExamples, "setups.", setupLineThatCannotBeMeant},
		claim{byExamples, "setups.", beadOfASetup},
		claim{byExamples, "setups.", coverOfASetup},
		claim{byExamples, "", newStockIsAddedOnce},
		claim{byExamples, "stock.", spareStockLines},
		claim{byExamples, "lines.pie_wide", severalChecksOfARow},
		claim{byExamples, "cars.", carOfNothing},
		claim{byExamples, "cars.", bidWithoutHours},
		claim{byExamples, "cars.", guardsLetFiguresThrough},
		claim{byExamples, "order.", smallestOrderHasAMargin},
		claim{byExamples, "tube.", stockBought},
		claim{byExamples, "", listsAndChecks},
		claim{byExamples, "", whatTablesLack},
	)
}

// triedJobs are orders with rows of every kind under every set-up, and two of
// tube bought by the stick: a foot that costs half a cent more than a whole
// one, and a hair that costs nothing of a stick that has to be bought.
func triedJobs(m *model.Model) []plainly {
	d := dice(rand.New(rand.NewPCG(3, 3)).IntN)
	var out []plainly
	for range 60 {
		out = append(out, workPlainly(randomJob(m, d, 1+d(12))))
	}
	for _, c := range []struct{ tube, price, stick float64 }{{12, 1.005, 2}, {0.001, 5, 10}} {
		j := randomJob(m, d, 1)
		j.tables["cars"][0]["ordered"] = 1
		j.singles["kerf"], j.singles["facing"], j.singles["tube_scrap"] = 0, 0, 0
		j.tables["stock"] = []row{{"alloy": "grade 2", "od": 3, "wall": 0.047, "price": c.price, "stick": c.stick, "charge": "whole sticks"}}
		j.lines = []row{{"car": "Spec 1", "qty": 1, "kind": "butt", "alloy": "grade 2", "od": 3, "wall": 0.047, "tube": c.tube}}
		out = append(out, workPlainly(j))
	}
	return out
}

// holds fails where the model and the plain implementation differ.
func (j plainly) holds(t require.TestingT) {
	w := workJob(t, load(t, model.US), j.job)
	w.priced(t, j.job)
	if bad := j.differences(w); len(bad) > 0 {
		require.Failf(t, "the model differs", "%d figures, first\n%s", len(bad), bad[0])
	}
}
