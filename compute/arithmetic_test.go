package compute_test

import (
	"go/ast"
	"go/constant"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// mayCalculate are the rooms, files and functions of sheets/ that do arithmetic with
// numbers that are no whole ones, and what with. It is none of the trade's: that is the
// model's, or that of a package under compute/.
func mayCalculate() map[string]string {
	const (
		layout  = "widths, heights and places of what is drawn"
		reading = "a quantity is read: its unit's scale, thousands, sizes of the tube"
		shown   = "a figure is shown: shares of what is told, a step, the difference of two orders that were worked out"
		counts  = "pieces are counted, to tell a total from a joint"
		logs    = "minutes that were logged are shown beside the estimate, or rounded to the step in which a factor is written"
		effort  = "work of the machine, not of the shop"
	)
	return map[string]string{
		"look": layout, "page": layout, "paper": layout, "plain": layout, "tell": shown, "joints.widths": layout, "joints.digitWidth": layout,
		"assumptions.wide": layout, "assumptions.tall": layout, "buying.atSaw": layout, "schedule.weeks": layout, "schedule.weeksTaken": layout,
		"ranges.curve": layout, "calibrate.say": layout, "calibrate.roundUp": layout, "compare.bars": layout, "compare.draw": layout, "compare.floorTo": layout,
		"front.head": layout, "load.line": layout, "traveller.joint": layout, "traveller.write": layout, "breaks.prices": layout, "traveller.keep": layout, "traveller.ending": layout, "offer.picture": layout,

		"joints.readQuantity": reading, "account.saysSame": reading, "account.compareTwins": reading, "account.lookAt": reading, "assumptions.loadSingle": reading,
		"book.operated": reading, "book.typed": reading, "timesheet.amountIn": reading, "timesheet.estimates": reading, "whatif.number": reading,

		"totals": counts, "joints.Add": counts, "account.keepPieces": counts, "account.take": counts, "sayings.pieces": counts, "sayings.Keep": counts, "sayings.isCount": counts, "offer.priced": counts, "load.open": counts,
		"breaks.matrix": "a table of what its own formulas add up", "load.twins": "hours of two quotes are held against each other",

		"ranges.answer": shown, "ranges.said": shown, "setups.verdict": shown,
		"buying.sawStick": shown, "setups.size": shown, "compare.fill": shown, "explain.step": shown, "explain.terms": shown, "explain.cut": shown,
		"explain.summaryParts": shown, "explain.tableParts": shown, "load.files": shown, "traveller.value": shown, "traveller.purging": shown,

		"compare.value": "money in whole cents, so that shares add up", "compare.compared": "the same, and back", "compare.list": "the same, and back",
		"compare.toMake": effort, "compare.exactWork": effort, "compare.pairs": effort,

		"calibrate.writeCars": logs, "calibrate.writeFit": logs, "calibrate.fit": logs, "calibrate.kinds": logs, "calibrate.join": logs, "calibrate.Within": logs, "calibrate.setting": logs,
	}
}

// Arithmetic of the trade stands in the model, or in a package under compute/ that
// knows no files: a formula in Go beside a cell would say it a second time.
func TestSheetsOnlyDraw(t *testing.T) {
	list := exec.Command("go", "list", "-export", "-deps", "-f", "{{.ImportPath}}\t{{.Export}}\t{{.Dir}}\t{{join .GoFiles \",\"}}", "./sheets/...")
	list.Dir = ".."
	out, err := list.Output()
	require.NoError(t, err)
	exports, ours := map[string]string{}, [][]string{}
	for line := range strings.Lines(string(out)) {
		f := strings.Split(strings.TrimSuffix(line, "\n"), "\t")
		exports[f[0]] = f[1]
		if strings.HasPrefix(f[0], "seamtally/sheets") && f[3] != "" && !strings.Contains(f[0], "sheetstest") {
			ours = append(ours, f)
		}
	}
	files := token.NewFileSet()
	imports := importer.ForCompiler(files, "gc", func(path string) (io.ReadCloser, error) { return os.Open(exports[path]) })
	may, used := mayCalculate(), map[string]bool{}
	for _, p := range ours {
		var parsed []*ast.File
		for _, name := range strings.Split(p[3], ",") {
			f, err := parser.ParseFile(files, filepath.Join(p[2], name), nil, 0)
			require.NoError(t, err)
			parsed = append(parsed, f)
		}
		types_ := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}}
		_, err := (&types.Config{Importer: imports}).Check(p[0], files, parsed, types_)
		require.NoError(t, err)
		room := filepath.Base(p[0])
		for _, f := range parsed {
			for _, d := range f.Decls {
				name := room
				if f, is := d.(*ast.FuncDecl); is {
					name += "." + f.Name.Name
				}
				for _, at := range calculations(types_, d) {
					by := name
					if may[room] != "" {
						by = room
					}
					used[by] = true
					assert.NotEmpty(t, may[by], "%s: %s: arithmetic outside the model and compute/; move it there", files.Position(at), by)
				}
			}
		}
	}
	for name := range may {
		assert.True(t, used[name], "%s calculates nothing any more; take it off the list", name)
	}
}

// Each kind of arithmetic is found, and what is none of the trade's is not.
func TestCalculationsAreFound(t *testing.T) {
	files := token.NewFileSet()
	imports := importer.ForCompiler(files, "source", nil)
	for text, n := range map[string]int{
		"y = x * y": 1, "y = x + y": 1, "y -= x": 1, "y = 1 / (x - 2)": 2, "y = x * float64(n)": 1, "_ = x*y < math.Abs(z)": 0, "_ = x*y < z": 1,
		"n = n*2 + 1": 0, "y = 100 * x": 0, "y = x / 60": 0, "y /= 60": 0, "y = 100 - x": 1, "y = math.Abs(x - y)": 0, "y = 2 * math.Abs(x - y)": 1, "y = 2 * 3.5": 0,
	} {
		f, err := parser.ParseFile(files, "p.go", "package p; import `math`; func f(x, y, z float64, n int) { _, _ = math.Abs(z), n; "+text+" }", 0)
		require.NoError(t, err)
		of := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}}
		_, err = (&types.Config{Importer: imports}).Check("p", files, []*ast.File{f}, of)
		require.NoError(t, err)
		assert.Len(t, calculations(of, f.Decls[len(f.Decls)-1]), n, text)
	}
}

// calculations are the places where numbers that are no whole ones are added,
// subtracted, multiplied or divided: but for percent and minutes of an hour, and how
// far two numbers are apart.
func calculations(of *types.Info, d ast.Decl) (at []token.Pos) {
	float := func(x ast.Expr) bool {
		kind, is := of.Types[x].Type.Underlying().(*types.Basic)
		return is && kind.Info()&types.IsFloat != 0 && of.Types[x].Value == nil
	}
	scale := func(x ast.Expr) bool {
		v := of.Types[x].Value
		return v != nil && (constant.Compare(constant.ToFloat(v), token.EQL, constant.MakeFloat64(100)) || constant.Compare(constant.ToFloat(v), token.EQL, constant.MakeFloat64(60)))
	}
	ast.Inspect(d, func(n ast.Node) bool {
		switch x := n.(type) {
		case *ast.BinaryExpr:
			switch x.Op {
			case token.ADD, token.SUB, token.MUL, token.QUO:
				if float(x) && !(scale(x.X) && x.Op == token.MUL) && !(scale(x.Y) && x.Op != token.ADD && x.Op != token.SUB) {
					at = append(at, x.OpPos)
				}
			case token.LSS, token.LEQ, token.GTR, token.GEQ:
				return !distance(x.X) && !distance(x.Y)
			}
		case *ast.AssignStmt:
			switch x.Tok {
			case token.ADD_ASSIGN, token.SUB_ASSIGN, token.MUL_ASSIGN, token.QUO_ASSIGN:
				if float(x.Lhs[0]) && !scale(x.Rhs[0]) {
					at = append(at, x.TokPos)
				}
			}
		}
		return n == nil || !apart(n)
	})
	return at
}

// distance reports whether how far two numbers are apart is in an expression; apart,
// whether it is just that.
func distance(x ast.Expr) bool {
	found := false
	ast.Inspect(x, func(n ast.Node) bool {
		found = found || n != nil && apart(n)
		return !found
	})
	return found
}

func apart(n ast.Node) bool {
	call, is := n.(*ast.CallExpr)
	if !is {
		return false
	}
	f, is := call.Fun.(*ast.SelectorExpr)
	return is && f.Sel.Name == "Abs"
}
