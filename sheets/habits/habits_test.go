// Package habits_test composes workbooks at random from how shops keep lists, each
// with what it means, and demands that the program finds that, or says what it could
// not settle.
package habits_test

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"hash/fnv"
	"maps"
	"math"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/sheetstest/shop"
)

var (
	howMany = flag.Int("habits", 0, "how many workbooks are composed")
	from    = flag.Int("from", 0, "the first seed")
	only    = flag.String("only", "", "habits that each workbook is to have, by name, with a ; between")
	each    = flag.Int("each", 0, "how many workbooks are composed of each habit alone, in place of those by chance")
	keep    = flag.String("keep", "", "a folder for the smallest workbooks that fail, and a table of them")
)

func TestMain(m *testing.M) { shop.Main(m) }

// made says how a workbook is composed: all of it follows from this.
type made struct {
	seed   int
	habits []habit
	cars   int      // at most
	joints int      // of a car at most
	spare  []string // inputs that are left out
}

// of gives chance of its own to each part, so that leaving one out leaves the
// others as they were.
func (m made) of(part string) *rand.Rand {
	h := fnv.New64a()
	h.Write([]byte(part))
	return rand.New(rand.NewPCG(uint64(m.seed), h.Sum64()))
}

// drawn chooses the habits of a workbook: of an even seed plain ones only.
func drawn(seed int, all []habit) made {
	m := made{seed: seed, cars: 3, joints: 99}
	r := m.of("habits")
	metric := m.of("system").IntN(3) == 0
	for _, name := range strings.Split(*only, ";") {
		for _, h := range all {
			if h.name == name {
				m.habits = append(m.habits, h)
			}
		}
	}
	groups := map[int][]habit{}
	for _, h := range all {
		if seed%2 == 0 && h.hard || h.system == "us" && metric || h.system == "metric" && !metric {
			continue
		}
		groups[h.sort] = append(groups[h.sort], h)
	}
	kinds := slices.Sorted(maps.Keys(groups))
	for range r.IntN(7) {
		g := groups[kinds[r.IntN(len(kinds))]]
		h := g[r.IntN(len(g))]
		if !slices.ContainsFunc(m.habits, func(o habit) bool { return !h.meets(o) || h.name == o.name }) {
			m.habits = append(m.habits, h)
		}
	}
	if len(m.habits) == 0 {
		g := groups[kinds[r.IntN(len(kinds))]]
		m.habits = append(m.habits, g[r.IntN(len(g))])
	}
	return m
}

// compose makes the workbook, and says which of the habits found a place in it.
func (m made) compose() (*shopBook, []habit) {
	b := &shopBook{metric: m.of("system").IntN(3) == 0}
	var needs, without []string
	r := m.of("order")
	cars := 1 + r.IntN(3)
	for _, h := range m.habits {
		needs, without = append(needs, h.needs...), append(without, h.without...)
		cars = max(cars, h.cars)
		if h.system != "" {
			b.metric = h.system == "metric"
		}
	}
	cars = min(cars, m.cars)
	for _, h := range m.habits {
		if h.one {
			cars = 1
		}
	}
	spare := slices.DeleteFunc(slices.Clone(m.spare), func(k string) bool { return slices.Contains(needs, k) })
	b.keys = drawKeys(m.of("keys"), append(needs, "od", "wall"), append(append(without, "car"), spare...))
	b.cars, b.joints = drawOrder(m.of("joints"), b.metric, b.keys, missing(needs), cars, m.joints)
	var used []habit
	for phase := layingOut; phase <= around; phase++ {
		for _, h := range m.habits {
			if h.phase != phase || h.cars > len(b.cars) {
				continue
			}
			b.r = m.of(h.name)
			if h.apply(b) {
				used = append(used, h)
			}
		}
		if phase == layingOut && b.lists == nil {
			b.r = m.of("lists")
			b.laidOut()
		}
	}
	if len(b.lists) > 1 && !slices.ContainsFunc(used, func(h habit) bool { return strings.Contains(h.class, "ordered") }) {
		// Of more lists than one it is asked how many are ordered.
		s := sheetOf("Order", []any{"Car", "Cars ordered"})
		for i, of := range b.cars {
			s.put(i+2, 1, of.name)
			s.put(i+2, 2, of.ordered)
		}
		b.tabs = append(b.tabs, s)
	}
	return b, used
}

// missing are the inputs that a joint may lack.
func missing(needs []string) []string {
	needs = slices.DeleteFunc(slices.Clone(needs), func(k string) bool {
		return slices.Contains([]string{"mark", "kind", "qty", "od", "wall"}, k)
	})
	slices.Sort(needs)
	return slices.Compact(needs)
}

// outcome is what came of a workbook.
type outcome int

const (
	right  outcome = iota // complete, with the figures meant
	asked                 // not complete, with a cell, or refused
	silent                // complete, with other figures
	mute                  // not complete, and no finding has a cell
	failed                // the workbook could not be made, or what it means not priced
)

func (o outcome) String() string {
	return [...]string{"right", "asked", "SILENT", "without a cell", "no workbook"}[o]
}

// result is a workbook tried.
type result struct {
	made
	used  []habit
	what  outcome
	vain  bool
	says  []string
	calls int
}

func (r result) bad() bool { return r.vain || r.what >= silent }

// try composes a workbook, and holds what the program makes of it against what it
// means.
func (m made) try(dir string) result {
	b, used := m.compose()
	res := result{made: m, used: used, what: failed}
	in, plain := filepath.Join(dir, "shop.xlsx"), filepath.Join(dir, "plain.xlsx")
	if err := errors.Join(save(in, b.write), save(plain, b.plain)); err != nil {
		res.says = append(res.says, err.Error())
		return res
	}
	hard := slices.ContainsFunc(used, func(h habit) bool { return h.hard })
	got, err := priced(in)
	if err != nil {
		res.what, res.vain = asked, !hard
		res.says = append(res.says, err.Error())
		return res
	}
	for _, f := range got.Findings {
		res.says = append(res.says, fmt.Sprintf("%s: %s; %s", f.Cell, f.What, f.Fix))
	}
	if got.Complete && b.unclear {
		res.what = silent
		res.says = append(res.says, "complete, though what is meant cannot be said")
		return res
	}
	if !got.Complete {
		res.what, res.vain = mute, !hard
		for _, f := range got.Findings {
			if strings.Contains(f.Cell, "!") {
				res.what = asked
			}
		}
		return res
	}
	want, err := priced(plain)
	switch {
	case err != nil:
		res.says = append(res.says, "what is meant: "+err.Error())
		return res
	case !want.Complete:
		res.says = append(res.says, "what is meant is not complete")
		for _, f := range want.Findings {
			res.says = append(res.says, fmt.Sprintf("%s: %s; %s", f.Cell, f.What, f.Fix))
		}
		return res
	}
	if differ := differences(want, got); len(differ) > 0 {
		res.what = silent
		res.says = append(res.says, differ...)
		return res
	}
	res.what = right
	return res
}

func save(path string, make func() (*excelize.File, error)) error {
	f, err := make()
	if err != nil {
		return err
	}
	return errors.Join(f.SaveAs(path), f.Close())
}

func priced(in string) (*sheets.Report, error) {
	return sheets.Price(context.Background(), sheets.PriceOptions{In: in, Out: in + ".priced.xlsx", DryRun: true, Date: "2026-11-25", Version: "test"})
}

// differences are the figures of the order that are not those meant.
func differences(want, got *sheets.Report) (out []string) {
	for _, key := range slices.Sorted(maps.Keys(want.Order)) {
		a, b := want.Order[key], got.Order[key]
		if math.Abs(a-b) > 1e-9*max(1, math.Abs(a)) {
			out = append(out, fmt.Sprintf("%s is %v, and meant is %v", key, b, a))
		}
	}
	if len(want.Order) != len(got.Order) {
		out = append(out, fmt.Sprintf("%d figures of the order, and meant are %d", len(got.Order), len(want.Order)))
	}
	return out
}

// smaller leaves out what is not needed for the same to happen.
func (r result) smaller(dir string) result {
	same := func(m made) bool {
		if r.calls++; r.calls > 60 {
			return false
		}
		t := m.try(dir)
		if t.what != r.what || t.vain != r.vain {
			return false
		}
		t.calls = r.calls
		r = t
		return true
	}
	m := r.made
	m.habits = r.used
	same(m)
	for i := len(r.habits) - 1; i >= 0; i-- {
		m := r.made
		m.habits = slices.Delete(slices.Clone(m.habits), i, i+1)
		same(m)
	}
	for _, n := range []int{1, 2, 3} {
		m := r.made
		if m.cars, m.joints = 1, n; same(m) {
			break
		}
		if m = r.made; r.cars > 2 && n > 1 {
			m.cars, m.joints = 2, n
			if same(m) {
				break
			}
		}
	}
	var spare []string
	for _, in := range inputs {
		if in.key != "od" && in.key != "wall" {
			spare = append(spare, in.key)
		}
	}
	m = r.made
	if m.spare = spare; same(m) {
		return r
	}
	for _, key := range spare {
		m := r.made
		m.spare = append(slices.Clone(m.spare), key)
		same(m)
	}
	return r
}

func names(of []habit) string {
	var out []string
	for _, h := range of {
		mark := ""
		if h.hard {
			mark = " (hard)"
		}
		out = append(out, h.name+mark)
	}
	slices.Sort(out)
	return strings.Join(out, " + ")
}

// TestHabits tries workbooks of even seeds, which are plain, and of odd ones.
func TestHabits(t *testing.T) {
	n := *howMany
	if n == 0 {
		if n = 60; shop.Thorough() {
			n = 400
		}
	}
	all := habits()
	if *each > 0 {
		if *only != "" {
			all = slices.DeleteFunc(all, func(h habit) bool { return !slices.Contains(strings.Split(*only, ";"), h.name) })
		}
		n = *each * len(all)
	}
	results := atOnce(t, n, func(i int, dir string) result {
		if *each > 0 {
			return made{seed: *from + i%*each, habits: all[i / *each : i / *each + 1], cars: 3, joints: 99}.try(dir)
		}
		return drawn(*from+i, all).try(dir)
	})

	counts, plain, vain := map[outcome]int{}, 0, 0
	for _, r := range results {
		counts[r.what]++
		if !slices.ContainsFunc(r.used, func(h habit) bool { return h.hard }) {
			plain++
		}
		if r.vain {
			vain++
		}
	}
	t.Logf("%d workbooks: %d right, %d asked; SILENT %d; of %d plain ones asked in vain %d; without a cell %d", n, counts[right], counts[asked], counts[silent], plain, vain, counts[mute])
	if *each > 0 {
		tellEach(t, results)
	}
	tellBad(t, results)
	require.Zero(t, counts[failed], "workbooks that could not be made")
	require.Zero(t, counts[silent], "complete with other figures than those meant")
	require.Zero(t, counts[mute], "not complete, and no finding has a cell")
	require.Less(t, vain*100, max(plain, 1), "of %d plain workbooks, %d were asked about", plain, vain)
	require.Greater(t, counts[right]*4, plain, "the plain ones are priced")
}
