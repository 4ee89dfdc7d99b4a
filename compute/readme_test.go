package compute_test

import (
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/compute"
	"seamtally/compute/model"
)

var update = flag.Bool("update", false, "write the generated parts of README.md and templates/figures.md anew")

const (
	readmeFile    = "../README.md"
	figuresFile   = "../templates/figures.md"
	updateCommand = "go test ./compute -run TestReadme -update"
)

// marked is what stands in a file between <!-- name --> and <!-- end name -->.
func marked(t testing.TB, file, name string) (before, inside, after string) {
	t.Helper()
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	text := string(data)
	begin, end := "<!-- "+name+" -->\n", "<!-- end "+name+" -->"
	before, rest, ok := strings.Cut(text, begin)
	require.True(t, ok, "%s has no line %s", file, begin)
	inside, after, ok = strings.Cut(rest, end)
	require.True(t, ok, "%s has no line %s", file, end)
	return before + begin, inside, end + after
}

// The generated parts are those of the model as it is now.
func TestReadmeIsUpToDate(t *testing.T) {
	m := load(t, model.US)
	var tables, cautions strings.Builder
	tables.WriteString("\n")
	require.NoError(t, m.Markdown(&tables))
	for _, c := range m.Cautions {
		fmt.Fprintf(&cautions, "- %s\n", c)
	}
	for _, part := range []struct{ file, name, want string }{
		{readmeFile, "cautions", cautions.String()}, {figuresFile, "figures", tables.String()},
	} {
		before, inside, after := marked(t, part.file, part.name)
		if *update {
			require.NoError(t, os.WriteFile(part.file, []byte(before+part.want+after), 0o644))
			continue
		}
		if inside != part.want {
			t.Errorf("the %s of %s are not those of the model; run: %s", part.name, part.file, updateCommand)
		}
	}
}

// Every number of the joint that is worked by hand is the model's, and what
// the working says it is.
func TestReadmeJointByHand(t *testing.T) {
	_, worked, _ := marked(t, figuresFile, "worked")
	b := newBench(t, model.US)
	e, err := compute.NewEngine(b.v)
	require.NoError(t, err)
	l := compute.NewLine(b.m)
	l.Clear()
	line := b.m.Line
	l.SetText(line.Quantity("car"), "Coupe")
	l.Set(line.Quantity("od"), 3)
	l.Set(line.Quantity("wall"), 0.047)
	out, err := e.Work(l, 0)
	require.NoError(t, err)
	require.False(t, out.Refused)
	faults, err := e.Close()
	require.NoError(t, err)
	require.Empty(t, faults)

	var cars *model.Scope
	for _, s := range b.m.Summary {
		if s.Name == "cars" {
			cars = s
		}
	}
	seen := map[string]bool{}
	for _, r := range regexp.MustCompile("(?m)^\\| `(\\w+)`[^|]*\\| ([^|]+) \\| ([-0-9.]+) ([^ |]+) \\|$").FindAllStringSubmatch(worked, -1) {
		key, working, shown, unit := r[1], r[2], r[3], r[4]
		seen[key] = true
		q, x := line.Quantity(key), 0.0
		switch {
		case q != nil:
			x = q.Num(&l.Frame)
		case b.m.Singles.Quantity(key) != nil:
			q = b.m.Singles.Quantity(key)
			x = q.Num(b.v.Singles)
		default:
			q = cars.Quantity(key)
			require.NotNil(t, q, "figures.md works out %s, which is no figure", key)
			x = q.Num(b.v.Rows(cars).Frames[0])
		}
		byHand := spreadsheet(t, working)
		if unit == "%" {
			x, byHand = x*100, byHand*100
		}
		_, decimals, _ := strings.Cut(shown, ".")
		last := math.Pow10(-len(decimals))
		stated, err := strconv.ParseFloat(shown, 64)
		require.NoError(t, err)
		assert.Equal(t, model.UnitName(q), unit, key)
		assert.Equal(t, strconv.FormatFloat(x, 'f', len(decimals), 64), shown, "%s: the model's, with the places that figures.md shows", key)
		assert.InDelta(t, stated, byHand, last*1.001, "%s: %s gives something else", key, working)
	}
	for _, key := range []string{"starts", "arc_time", "floor_time", "argon", "filler_mass", "line_cost", "price_car", "margin_made"} {
		assert.True(t, seen[key], "figures.md does not work out %s, or its row is not: | `key` words | working | number unit |", key)
	}
	rows := strings.Count(worked, "\n| `")
	assert.Len(t, seen, rows, "a row of the joint by hand is not read")
}

// spreadsheet works out a row's working: the units go, the signs become a
// spreadsheet's.
func spreadsheet(t testing.TB, working string) float64 {
	t.Helper()
	units := map[string]bool{}
	for _, u := range strings.Fields("in ft in² in³ ft³ lb min s h $ % ppm in/min in/ft in³/ft³ ft³/h lb/in³ s/min min/h $/h $/lb $/ft $/ft³") {
		units[u] = true
	}
	text := strings.NewReplacer("(", " ( ", ")", " ) ", ",", " , ", "×", "*", "÷", "/", "−", "-").Replace(working)
	var kept []string
	for _, word := range strings.Fields(text) {
		if !units[word] {
			kept = append(kept, word)
		}
	}
	f := excelize.NewFile()
	defer f.Close()
	require.NoError(t, f.SetCellFormula("Sheet1", "A1", strings.Join(kept, "")))
	shown, err := f.CalcCellValue("Sheet1", "A1", excelize.Options{RawCellValue: true})
	require.NoError(t, err, working)
	x, err := strconv.ParseFloat(shown, 64)
	require.NoError(t, err, working)
	return x
}

// What the documents link to is there: files, and headings in them.
func TestReadmeLinks(t *testing.T) {
	files := []string{readmeFile, figuresFile, "../templates/guide.md", "../DEVELOPERS.md"}
	headings := map[string]map[string]bool{}
	text := map[string]string{}
	heading := regexp.MustCompile(`(?m)^#+ (.+)$`)
	for _, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		text[file] = string(data)
		headings[file] = map[string]bool{}
		for _, h := range heading.FindAllStringSubmatch(text[file], -1) {
			headings[file][anchor(h[1])] = true
		}
	}
	for _, file := range files {
		for _, link := range regexp.MustCompile(`\]\(([^)#:]*)#?([^)#:]*)\)`).FindAllStringSubmatch(text[file], -1) {
			to := file
			if link[1] != "" {
				to = filepath.Join(filepath.Dir(file), link[1])
			}
			_, err := os.Stat(to)
			assert.NoError(t, err, "%s links to %s", file, link[1])
			if link[2] != "" {
				assert.True(t, headings[to][link[2]], "%s links to %s, where no heading is %q", file, to, link[2])
			}
		}
	}
}

// anchor is the name under which a page of Markdown has a heading.
func anchor(heading string) string {
	kept := strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || r == ' ' || r == '-' || r == '_' {
			return unicode.ToLower(r)
		}
		return -1
	}, heading)
	return strings.ReplaceAll(kept, " ", "-")
}

// Who opens README.md reads it to its end.
func TestReadmeIsShort(t *testing.T) {
	data, err := os.ReadFile(readmeFile)
	require.NoError(t, err)
	assert.Less(t, len(data), 20_000)
}
