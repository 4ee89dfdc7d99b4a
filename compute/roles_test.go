package compute_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/model"
)

// A model in which something is called otherwise that the program knows by name
// is refused when it is read, with the place.
func TestModelWithoutAKnownNameIsRefused(t *testing.T) {
	for _, c := range []struct{ file, key, says string }{
		{"order.txt", "order_stops", `^order\.txt:\d+: order has no order_stops`},
		{"order.txt", "car_stops", `^order\.txt:\d+: cars has no car_stops`},
		{"checks.txt", "verdict", `^checks\.txt:\d+: readiness has no verdict`},
		{"line.txt", "half_turn", `^line\.txt: lines has no half_turn`},
	} {
		files := copyOf(t, c.file, "figure "+c.key+"\n", "figure other_"+c.key+"\n")
		for name, f := range files { // where formulas have the name, they have the other one
			text := strings.NewReplacer("(cars."+c.key+")", "(cars.other_"+c.key+")", "(lines."+c.key+",", "(lines.other_"+c.key+",").Replace(string(f.Data))
			files[name].Data = []byte(text)
		}
		_, err := compute.Load(files, model.US)
		require.Error(t, err, c.key)
		assert.Regexp(t, c.says, err.Error())
	}
}

// Every quantity that the sheets, and what works for them, know by name is among those that a model must
// have.
func TestKnownNamesAreListed(t *testing.T) {
	m := load(t, model.US)
	keys := map[string]bool{}
	for _, s := range append(append(append([]*model.Scope{m.Singles}, m.Tables...), m.Line), append(slices.Clone(m.Closing), m.Bids...)...) {
		for _, q := range s.Quantities {
			keys[q.Key] = true
		}
	}
	names, seen := m.Names(), 0
	tree := os.DirFS("..")
	look := func(path string, _ fs.DirEntry, err error) error {
		switch path {
		case "sheets/part", "sheets/encryption", "sheets/entry", "sheets/look", "sheets/sheetstest":
			return fs.SkipDir // these know nothing of the model
		}
		if err != nil || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		data, err := fs.ReadFile(tree, path)
		require.NoError(t, err)
		files := token.NewFileSet()
		file, err := parser.ParseFile(files, path, data, 0)
		require.NoError(t, err)
		ast.Inspect(file, func(n ast.Node) bool {
			if l, ok := n.(*ast.BasicLit); ok && l.Kind == token.STRING {
				word, err := strconv.Unquote(l.Value)
				require.NoError(t, err)
				if keys[word] {
					seen++
					assert.True(t, names[word], "%s: %s is no name that a model must have; list it in named", files.Position(l.Pos()), word)
				}
			}
			return true
		})
		return nil
	}
	for _, folder := range []string{"sheets", "compute/floor", "compute/prior"} {
		require.NoError(t, fs.WalkDir(tree, folder, look))
	}
	assert.Greater(t, seen, 100)
}

// What is settled of other work on the command line is what the check counts: the
// check is refused in any other form.
func TestPartsOpenCountsUnfilledLines(t *testing.T) {
	_, err := compute.Load(copyOf(t, "checks.txt", `= unfilled(parts.item`, `= 1*unfilled(parts.item`), model.US)
	require.Error(t, err)
	assert.Regexp(t, `^checks\.txt:\d+: parts_open counts the lines that are to be settled`, err.Error())
}
