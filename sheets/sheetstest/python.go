package sheetstest

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"os/exec"
	"testing"
)

//go:embed pyread.py
var pyRead string

// python is the interpreter that has openpyxl: the one of the system, which
// python3-openpyxl belongs to.
const python = "/usr/bin/python3"

// NeedOpenpyxl skips the test, or fails it where CI is set, when openpyxl is
// not installed.
func NeedOpenpyxl(t testing.TB) {
	t.Helper()
	needModule(t, "openpyxl", "python3-openpyxl")
}

func needModule(t testing.TB, name, inPackage string) {
	t.Helper()
	if err := exec.Command(python, "-c", "import "+name).Run(); err != nil {
		missing(t, name+" is not installed for "+python+" (package "+inPackage+")")
	}
}

// Python runs a script with openpyxl at hand and returns what it prints.
func Python(t testing.TB, script string, args ...string) []byte {
	t.Helper()
	NeedOpenpyxl(t)
	cmd := exec.Command(python, append([]string{"-c", script}, args...)...)
	var out, talk bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &talk
	if err := cmd.Run(); err != nil {
		t.Fatalf("python: %v\n%s", err, talk.Bytes())
	}
	return out.Bytes()
}

// ReadOpenpyxl gives the stored values of workbooks as openpyxl reads them,
// without formulas; cells with a date have the kind "date" and no value.
func ReadOpenpyxl(t testing.TB, paths ...string) []Grid {
	t.Helper()
	d := json.NewDecoder(bytes.NewReader(Python(t, pyRead, paths...)))
	var grids []Grid
	for range paths {
		var book map[string]map[string][2]any
		if err := d.Decode(&book); err != nil {
			t.Fatalf("what openpyxl reads: %v", err)
		}
		g := Grid{}
		for sheet, cells := range book {
			g[sheet] = map[string]Value{}
			for ref, c := range cells {
				kind, _ := c[0].(string)
				v := Value{Kind: kind}
				switch x := c[1].(type) {
				case float64:
					v.Num = x
				case bool:
					if x {
						v.Num = 1
					}
				case string:
					v.Text = x
				}
				g[sheet][ref] = v
			}
		}
		grids = append(grids, g)
	}
	return grids
}
