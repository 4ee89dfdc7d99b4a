package tell

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/explain"
)

func explainedAs(t *testing.T, asJSON bool, book, mark, figure string) (*explain.Explanation, string) {
	t.Helper()
	x, err := explain.Figures(t.Context(), explain.Options{In: filepath.Join("..", "..", "testdata", book), Mark: mark, Figure: figure})
	require.NoError(t, err)
	var out bytes.Buffer
	require.NoError(t, Voice{Out: &out, JSON: asJSON, All: true}.Explained(x))
	return x, out.String()
}

// answered is what is told first.
func answered(t *testing.T, x *explain.Explanation) string {
	t.Helper()
	x.Input = filepath.Join("testdata", filepath.Base(x.Input))
	var out bytes.Buffer
	require.NoError(t, Voice{Out: &out}.Explained(x))
	return out.String()
}

// The answer comes first, with what it is made of by size, in less than a screen.
func TestExplainedAnswersFirst(t *testing.T) {
	for _, c := range []struct{ mark, figure, first, has string }{
		{"order", "order_price", "Price of the order: 136,575.00 $\n  in Workings!C32\n", "\n  Coupe Demo-A   67,800.00 $  49.6 %  Workings!M8\n  Spyder Demo-B  40,200.00 $  29.4 %"},
		{"order", "", "Price of the order  136,575.00 $  Workings!C32\nThe order brings    137,500.00 $", "sum of the cars' prices, 136,575.00 $, is made up of\n"},
		{"A-07", "", "Travel used ", "cost, 302.70 $, is made up of\n  Tube      205.87 $  68.0 %  Joints!EF13\n"},
		{"A-07", "labour", "Labour: 88.91 $\n  Before learning and allowance.\n", "worked out from\n  Floor time                56.1565 min  floor_time"},
		{"Coupe Demo-A", "price_car", "Price: 8,475.00 $\n", "direct cost, 5,382.00 $, is made up of\n  Labour "},
		{"A-02", "shop_rate", "Shop rate, per hour sold: 95 $/h\n", "as shipped; basis: invented"},
	} {
		x, _ := explainedAs(t, false, "order.xlsx", c.mark, c.figure)
		out := answered(t, x)
		_, body, _ := strings.Cut(out, "\n\n")
		assert.True(t, strings.HasPrefix(body, c.first), out)
		assert.Contains(t, out, c.has)
		assert.Less(t, strings.Count(out, "\n"), 40)
		assert.NotContains(t, out, "! ", "nothing is odd")
		assert.Contains(t, out, "the whole working: seamtally explain --all testdata/order.xlsx ")
		for line := range strings.SplitSeq(out, "\n") {
			assert.LessOrEqual(t, utf8.RuneCountInString(line), explainedWide, line)
		}
	}
}

// What a cell shows otherwise, and a check that is raised, are told with the answer.
func TestExplainedSaysFirstWhatIsOdd(t *testing.T) {
	figures := []explain.Figure{{Key: "thin", Heading: "wall is thin", Check: true, Raised: true, Shown: explain.Raised}}
	for range mostOdd + 1 {
		figures = append(figures, explain.Figure{Key: "seam", Cell: "Coupe!A1", Stored: "the cell shows 12 in"})
	}
	out := answered(t, &explain.Explanation{Input: "a b.xlsx", Of: explain.OfCar, Name: "Demo car", Groups: []explain.Group{{Figures: figures}}})
	assert.Contains(t, out, "! wall is thin\n! Coupe!A1: the cell shows 12 in\n")
	assert.Contains(t, out, "! and 2 more\n")
	assert.Contains(t, out, `explain --all "testdata/a b.xlsx" "Demo car"`)
}

// The working that guide.md shows is what the program prints.
func TestReadmeShowsAWorking(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "..", "templates", "guide.md"))
	require.NoError(t, err)
	x, _ := explainedAs(t, false, "order.xlsx", "A-02", "butt_area")
	out := answered(t, x)
	if !strings.Contains(string(text), "<!-- explain -->\n```\n"+out+"```\n") {
		t.Errorf("guide.md shows another working; put there what this prints: go run . explain testdata/order.xlsx A-02 butt_area\n%s", out)
	}
}

// Every figure is there with its cell and its result, no line is too wide, and
// results end in one column.
func TestExplainedFitsAPage(t *testing.T) {
	for _, c := range []struct{ book, mark string }{
		{"order.xlsx", "A-02"}, {"order.xlsx", "Joints!44"}, {"order.xlsx", "Track Demo-C!9"},
		{"order.xlsx", "Spyder Demo-B"}, {"order.xlsx", "order"}, {"order-metric.xlsx", "order"},
	} {
		x, out := explainedAs(t, false, c.book, c.mark, "")
		for line := range strings.SplitSeq(out, "\n") {
			assert.LessOrEqual(t, utf8.RuneCountInString(line), explainedWide, line)
			assert.Equal(t, strings.TrimRight(line, " "), line)
		}
		for _, g := range x.Groups {
			assert.Contains(t, out, "\n\n"+g.Title+"\n")
			ends := map[int]bool{}
			for _, f := range g.Figures {
				if f.Check && !f.Raised {
					assert.NotContains(t, out, "  "+f.Key+"  ")
					continue
				}
				found := false
				for line := range strings.SplitSeq(out, "\n") {
					if strings.HasPrefix(line, "  "+f.Key+"  ") && strings.Contains(line, f.Cell+" ") && strings.HasSuffix(line, " "+f.Shown) {
						found = true
						ends[utf8.RuneCountInString(line)] = true
					}
				}
				assert.True(t, found, "%s: %s %s %s", c.mark, f.Key, f.Cell, f.Shown)
			}
			assert.LessOrEqual(t, len(ends), 1, "%s: %s", c.mark, g.Title)
		}
	}
}

// What a cell shows besides is told, long words are broken, and what is too
// wide for its column goes below.
func TestExplainedOddities(t *testing.T) {
	long := strings.Repeat("a very long name ", 8)
	x := &explain.Explanation{Input: "x/order.xlsx", Of: explain.OfJoint, Name: "J\x1b[1", Car: "Coupe", Sheet: "Coupe", Row: 3, Notes: []string{long}, Groups: []explain.Group{{
		Title: "Time", Figures: []explain.Figure{
			{Key: "setup", Heading: "Shielding set-up", Cell: "Coupe!AF14", Shown: strings.TrimSpace(long)},
			{Key: "arc_time", Heading: long, Cell: "Coupe!AG14", Shown: "3.6 min", Stored: "the cell shows 12.3 min (formula changed)",
				Working: explain.Working{Formula: "seam ÷ travel", WithNumbers: "9 in ÷ 3 in/min", Reads: "9 in ÷ 3 in/min"}},
		},
	}}}
	var out bytes.Buffer
	require.NoError(t, Voice{Out: &out, All: true}.Explained(x))
	for line := range strings.SplitSeq(out.String(), "\n") {
		assert.LessOrEqual(t, utf8.RuneCountInString(line), explainedWide, line)
	}
	assert.NotContains(t, out.String(), "\x1b")
	assert.Contains(t, out.String(), "order.xlsx:Coupe!3: joint J [1 of Coupe")
	assert.Contains(t, out.String(), "      = a very long name a very")
	assert.Contains(t, out.String(), "      ! the cell shows 12.3 min (formula changed)\n      = seam ÷ travel\n      = 9 in ÷ 3 in/min\n")
}

// JSON has all that the text has, with numbers to full precision.
func TestExplainedJSON(t *testing.T) {
	x, out := explainedAs(t, true, "order.xlsx", "Coupe Demo-A", "price_car")
	var got struct {
		Of, Name, Figure, System string
		Priced                   bool
		Groups                   []struct {
			Title   string
			Figures []struct {
				Key, Heading, Cell, Unit, Formula, From string
				WithNumbers                             string `json:"with_numbers"`
				Value                                   any
				Uses                                    []struct {
					Key, Cell, Unit string
					Value           any
				}
				Sums []struct {
					Of    string
					Value float64
					More  int
					Rest  float64 `json:"more_value"`
					Parts []struct {
						Name, Cell   string
						Value, Times float64
					}
				}
			}
		}
	}
	require.NoError(t, json.Unmarshal([]byte(out), &got))
	assert.Equal(t, "car", got.Of)
	assert.Equal(t, "Coupe Demo-A", got.Name)
	assert.Equal(t, "price_car", got.Figure)
	require.Len(t, got.Groups, len(x.Groups))
	for i, g := range got.Groups {
		assert.Equal(t, x.Groups[i].Title, g.Title)
		require.Len(t, g.Figures, len(x.Groups[i].Figures))
		for k, f := range g.Figures {
			want := x.Groups[i].Figures[k]
			assert.Equal(t, want.Key, f.Key)
			assert.Equal(t, want.Value, f.Value)
			assert.Equal(t, want.Cell, f.Cell)
			assert.Equal(t, want.WithNumbers, f.WithNumbers)
			assert.NotEqual(t, "%", f.Unit)
			assert.Len(t, f.Uses, len(want.Uses))
			for n, s := range f.Sums {
				total := s.Rest
				for _, p := range s.Parts {
					total += p.Value
				}
				assert.InDelta(t, want.Sums[n].Total, total, 1e-6)
				assert.Equal(t, want.Sums[n].Total, s.Value)
			}
		}
	}
}
