package tell

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets"
)

// schemas are the schema as it is written down, and one that takes no key either
// that is not written down.
func schemas(t testing.TB) (asWritten, closed *jsonschema.Schema) {
	return schemasOf(t, "price.schema.json")
}

func schemasOf(t testing.TB, file string) (asWritten, closed *jsonschema.Schema) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "..", "templates", file))
	require.NoError(t, err)
	compiled := func(change func(any)) *jsonschema.Schema {
		doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
		require.NoError(t, err)
		change(doc)
		c := jsonschema.NewCompiler()
		require.NoError(t, c.AddResource("price.json", doc))
		s, err := c.Compile("price.json")
		require.NoError(t, err)
		return s
	}
	var closeAll func(any)
	closeAll = func(x any) {
		o, _ := x.(map[string]any)
		if _, open := o["additionalProperties"]; o["type"] == "object" && !open {
			o["additionalProperties"] = false
		}
		for _, of := range o {
			closeAll(of)
		}
	}
	return compiled(func(any) {}), compiled(closeAll)
}

// pricedJSON is what price prints of a workbook.
func pricedJSON(t testing.TB, path string, with ...string) []byte {
	t.Helper()
	r, err := sheets.Price(t.Context(), sheets.PriceOptions{
		In: path, Out: filepath.Join(t.TempDir(), "priced"+filepath.Ext(path)), DryRun: true, Lines: true, With: with,
	})
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, JSON(&b, r))
	return b.Bytes()
}

// What price prints is held against the schema by another's validator.
func TestPriceJSONIsAsItsSchemaSays(t *testing.T) {
	asWritten, closed := schemas(t)
	books, err := filepath.Glob(filepath.Join("..", "..", "testdata", "books", "*.xls*"))
	require.NoError(t, err)
	require.NotEmpty(t, books)
	if testing.Short() {
		books = books[:len(books)/4]
	}
	demos, err := filepath.Glob(filepath.Join("..", "..", "testdata", "order*.xlsx"))
	require.NoError(t, err)
	require.NotEmpty(t, demos)
	complete := map[bool]int{}
	for i, path := range append(demos, books...) {
		var with []string
		if i < len(demos) {
			with = []string{"rates"} // which brings the verdict
		}
		text := pricedJSON(t, path, with...)
		out, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
		require.NoError(t, err, path)
		for _, s := range []*jsonschema.Schema{asWritten, closed} {
			if err := s.Validate(out); !assert.NoError(t, err, path) {
				return
			}
		}
		o := out.(map[string]any)
		assert.Equal(t, i < len(demos), o["verdict"] != nil, path)
		complete[o["complete"].(bool)]++

		units, _ := o["units"].(map[string]any)
		for _, list := range []string{"lines", "cars"} {
			for _, row := range o[list].([]any) {
				for key, x := range row.(map[string]any) {
					if _, number := x.(json.Number); number && key != "row" && key != "cars_ordered" {
						assert.Contains(t, units, key, "%s: a figure of %s without a unit", path, list)
					}
				}
			}
		}
	}
	assert.Positive(t, complete[false], "orders that are incomplete were among them")
}

// What is not as it is written down is not taken for it.
func TestSchemaRefusesWhatItDoesNotSay(t *testing.T) {
	asWritten, closed := schemas(t)
	good := pricedJSON(t, filepath.Join("..", "..", "testdata", "order.xlsx"))
	read := func() map[string]any {
		out, err := jsonschema.UnmarshalJSON(bytes.NewReader(good))
		require.NoError(t, err)
		return out.(map[string]any)
	}
	require.NoError(t, closed.Validate(read()))
	line := func(o map[string]any) map[string]any { return o["lines"].([]any)[0].(map[string]any) }
	for _, c := range []struct {
		what   string
		change func(map[string]any)
	}{
		{"no version", func(o map[string]any) { delete(o, "version") }},
		{"another version", func(o map[string]any) { o["version"] = json.Number("2") }},
		{"a line without a kind", func(o map[string]any) { delete(line(o), "kind") }},
		{"a kind in the shop's own spelling", func(o map[string]any) { line(o)["kind"] = "Pie Cut" }},
		{"a set-up by its number", func(o map[string]any) { line(o)["setup"] = json.Number("1") }},
		{"no alloy", func(o map[string]any) { line(o)["alloy"] = "" }},
		{"filler as a flag", func(o map[string]any) { line(o)["filler"] = true }},
		{"a colour that is none", func(o map[string]any) { line(o)["colour"] = "green" }},
		{"a figure in words", func(o map[string]any) { line(o)["seam"] = "9.4" }},
		{"a car's figure that is null", func(o map[string]any) { o["cars"].([]any)[0].(map[string]any)["car_hours"] = nil }},
		{"rows that were not counted", func(o map[string]any) { o["rows"].(map[string]any)["priced"] = json.Number("-1") }},
		{"incomplete without a reason", func(o map[string]any) { o["complete"], o["reasons"] = false, []any{} }},
		{"complete with a reason", func(o map[string]any) {
			o["complete"] = true
			o["reasons"] = []any{map[string]any{"check": "x", "what": "x", "count": nil, "cell": "", "more": json.Number("0"), "found": "", "fix": ""}}
		}},
		{"a note among the findings", func(o map[string]any) {
			o["findings"] = []any{map[string]any{"cell": "A1", "level": "note", "what": "x", "fix": ""}}
		}},
	} {
		o := read()
		c.change(o)
		assert.Error(t, asWritten.Validate(o), c.what)
	}
	o := read()
	o["new"] = "key"
	assert.NoError(t, asWritten.Validate(o), "keys may be added")
	assert.Error(t, closed.Validate(o), "but not without being written down")
}

// Programs group lines by words, so these are the same however a shop writes them.
func TestLinesHaveTheirWords(t *testing.T) {
	var out struct {
		Lines []struct{ Kind, Setup, Alloy, Filler, Colour string }
	}
	require.NoError(t, json.Unmarshal(pricedJSON(t, filepath.Join("..", "..", "testdata", "order.xlsx")), &out))
	words := map[string]int{}
	for _, l := range out.Lines {
		words[l.Kind]++
		words[l.Alloy]++
		words[l.Filler]++
		words[l.Colour]++
	}
	for _, w := range []string{"butt", "pie cut", "fillet", "branch", "grade 2", "yes", "no", "straw"} {
		assert.Positive(t, words[w], w)
	}
	for w := range words {
		assert.Equal(t, strings.ToLower(w), w, "the sheet has words with capitals, the tables have none")
	}
}
