package shop

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime/debug"
	"testing"

	"github.com/stretchr/testify/require"

	"seamtally/sheets/sheetstest"
)

// Main runs the tests of a package that prices many small workbooks. To collect
// garbage as seldom as this takes some 200 MB, and a fifth of the time less.
// Where memory is measured, or time, it is not for.
func Main(m *testing.M) {
	debug.SetGCPercent(400)
	m.Run()
}

// Thorough reports whether every case of the long comparisons is to be run, and
// not some of each: in CI.
func Thorough() bool { return os.Getenv("CI") != "" && !testing.Short() }

// Some is every nth case of a long list, and all of them in CI.
func Some[T any](all []T, nth int) (some []T) {
	for i, c := range all {
		if Thorough() || i%nth == 0 {
			some = append(some, c)
		}
	}
	return some
}

// Heavy leaves a test out where the race detector would take minutes over it.
func Heavy(t testing.TB) {
	t.Helper()
	if testing.Short() {
		t.Skip("heavy")
	}
}

// Equal demands that every formula of a workbook recalculates to its stored
// value, and tells how many there were.
func Equal(t *testing.T, path string, live sheetstest.Grid) {
	t.Helper()
	n := sheetstest.Compare(t, sheetstest.Read(t, path), live, 1e-9)
	require.Greater(t, n, 1000)
	t.Logf("%d formula cells equal", n)
}

// Scene is a workbook, or some, that LibreOffice is to recalculate, and what
// must then hold. Scenes share one start of LibreOffice.
type Scene struct {
	Name  string
	Heavy bool
	Make  func(t *testing.T) []string
	Check func(t *testing.T, paths []string, live []sheetstest.Grid)
}

// Play makes the workbooks of all scenes, has LibreOffice recalculate them in
// one start, and checks them.
func Play(t *testing.T, scenes ...Scene) {
	t.Helper()
	sheetstest.NeedLibreOffice(t)
	dir := t.TempDir()
	made := make([][]string, len(scenes))
	var all []string
	for i, s := range scenes {
		t.Run("prepare "+s.Name, func(t *testing.T) {
			if s.Heavy && !Thorough() {
				t.Skip("heavy: in CI alone")
			}
			for _, path := range s.Make(t) {
				keep := filepath.Join(dir, fmt.Sprintf("%d-%d.xlsx", i, len(made[i])))
				require.NoError(t, os.WriteFile(keep, []byte(Content(t, path)), 0o644))
				made[i] = append(made[i], keep)
			}
			all = append(all, made[i]...)
		})
	}
	if len(all) == 0 {
		return
	}
	live := sheetstest.RecalculateAll(t, all...)
	for i, s := range scenes {
		mine := live[:len(made[i])]
		live = live[len(made[i]):]
		if len(mine) > 0 {
			t.Run(s.Name, func(t *testing.T) { s.Check(t, made[i], mine) })
		}
	}
}
