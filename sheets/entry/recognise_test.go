package entry

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/templates"
)

func headings(t testing.TB) *Headings {
	t.Helper()
	h, err := LoadHeadings(templates.FS)
	require.NoError(t, err)
	return h
}

func TestRecognise(t *testing.T) {
	h := headings(t)
	for _, c := range []struct {
		raw, key, unit string
		exact          bool
	}{
		// One heading in the dresses that it comes in.
		{"OD", "od", "", true},
		{"od", "od", "", true},
		{"O.D.", "od", "", true},
		{"O. D.", "od", "", true},
		{"O/D", "od", "", true},
		{"  OD :", "od", "", true},
		{"Tube\u00a0OD", "od", "", true},
		{"tube_od", "od", "", true},
		{"Tube-OD", "od", "", true},
		{"ＯＤ（ｍｍ）", "od", "mm", true},
		{"Outside\nDia.", "od", "", true},
		{"Outside\r\nDiameter\t[mm]", "od", "mm", true},
		{"O\u00adD", "od", "", true},

		// Units before, behind, in brackets, as words and signs.
		{"OD (in)", "od", "in", true},
		{"OD(in)", "od", "in", true},
		{"OD [in.]", "od", "in", true},
		{"OD {inches}", "od", "in", true},
		{"OD, in", "od", "in", true},
		{"OD in.", "od", "in", true},
		{`OD "`, "od", "in", true},
		{`OD"`, "od", "in", true},
		{"OD ″", "od", "in", true},
		{"OD ''", "od", "in", true},
		{"OD, inch(es)", "od", "in", true},
		{"OD millimetres", "od", "mm", true},
		{"OD - mm", "od", "mm", true},
		{"mm OD", "od", "mm", true},
		{"Weld (mm) length", "weld_length", "mm", true},
		{"Tube length ft", "tube", "ft", true},
		{"Tube length (m)", "tube", "m", true},
		{"Bend °", "bend", "°", true},
		{"Extra min", "extra", "min", true},
		{"Difficulty, min", "extra", "min", true},
		{"Bend º", "bend", "°", true},
		{"Bend(deg.)", "bend", "°", true},
		{"Bend angle, degrees", "bend", "°", true},
		{"Qty (ea)", "qty", "each", true},
		{"Qty pcs", "qty", "each", true},

		// Words that hold a unit's letters are no units.
		{"Inside and out", "sides", "", false},
		{"Ends", "ends", "", true},
		{"Main OD", "run_od", "", true},
		{"deg per pie", "pie_angle", "", true},
		{"Deg/pie", "pie_angle", "", true},

		// Spellings of every key.
		{"Joint no.", "mark", "", true},
		{"Weld #", "mark", "", true},
		{"Joint", "mark", "", false},
		{"Car", "car", "", true},
		{"Spec", "car", "", false},
		{"Build", "car", "", true},
		{"Where", "section", "", true},
		{"Kind", "kind", "", true},
		{"Joint type", "kind", "", true},
		{"Qty/car", "qty", "", true},
		{"per car", "qty", "", true},
		{"No. off", "qty", "", true},
		{"Ø", "od", "", false},
		{"⌀ mm", "od", "mm", false},
		{"dia", "od", "", false},
		{"Diameter (in)", "od", "in", false},
		{"Wall thk (in)", "wall", "in", true},
		{"Thickness", "wall", "", false},
		{"Grade", "alloy", "", true},
		{"Material", "alloy", "", false},
		{"Mat'l", "alloy", "", false},
		{"To material", "to_alloy", "", true},
		{"Header dia", "run_od", "", false},
		{"Main wall (in)", "run_wall", "in", true},
		{"Branch angle °", "branch_angle", "°", true},
		{"Pie angle °", "pie_angle", "°", true},
		{"End pies", "ends", "", true},
		{"CLR (in)", "clr", "in", true},
		{"C.L.R.", "clr", "", true},
		{"Centerline Radius", "clr", "", true},
		{"Centre-line radius", "clr", "", true},
		{"Center line rad.", "clr", "", true},
		{"Bend radius", "clr", "", false},
		{"Fillet size", "leg", "", true},
		{"Leg length (in)", "leg", "in", true},
		{"Sides", "sides", "", true},
		{"Root gap", "gap", "", true},
		{"Root opening", "gap", "", true},
		{"Fit-up gap", "gap", "", true},
		{"Weld length (in)", "weld_length", "in", true},
		{"Passes", "passes", "", true},
		{"Filler Y/N", "filler", "", true},
		{"Rod dia (in)", "wire", "in", true},
		{"Filler wire", "wire", "", true},
		{"Shielding", "setup", "", true},
		{"Set up", "setup", "", true},
		{"set-up", "setup", "", true},
		{"Tube length (in)", "tube", "in", true},
		{"Purge len", "purge_length", "", true},
		{"Dam to dam", "purge_length", "", true},
		{"Purge bore (mm)", "purge_bore", "mm", true},
		{"Purges", "purges", "", true},
		{"Max colour", "colour", "", true},
		{"Weld Color", "colour", "", true},
		{"Cars ordered", "ordered", "", true},
		{"Bid per car ($)", "bid", "$", true},

		// Other languages, in common technical use (from memory).
		{"Außendurchmesser (mm)", "od", "mm", true},
		{"AUSSENDURCHMESSER", "od", "", true},
		{"Wandstärke", "wall", "", true},
		{"Épaisseur (mm)", "wall", "mm", true},
		{"e\u0301paisseur", "wall", "", true},
		{"Stück", "qty", "", true},
		{"Diamètre extérieur", "od", "", true},
		{"Diámetro exterior", "od", "", true},
		{"Spessore", "wall", "", true},
	} {
		m := h.Recognise(c.raw)
		assert.Equal(t, c.key, m.Key, "key of %q (%s)", c.raw, m.Question)
		assert.Equal(t, c.unit, m.Unit.String(), "unit of %q", c.raw)
		assert.Equal(t, c.unit != "", m.HasUnit, "whether %q has a unit", c.raw)
		assert.Equal(t, c.exact, m.Exact, "whether %q is an exact spelling", c.raw)
		assert.Empty(t, m.Question, "%q", c.raw)
	}
}

// The headings of an invented list are each taken for a key of their own, but
// for the shop's own two columns.
func TestWholeHeadingRow(t *testing.T) {
	h := headings(t)
	for row, unknown := range map[string][]string{
		`Joint|Car|Where|Kind|Qty/car|OD (in)|Wall (in)|Grade|Bend °|Pie angle °|CLR (in)|Main OD (in)|Branch angle °|` +
			`Leg (in)|Sides|Weld length (in)|Passes|Filler|Shielding|Tube length (in)|Purge length (in)|Purges|Drawing|Note`: {"Drawing", "Note"},
		`Joint no.|Car|Where|Kind|Qty/car|Ø mm|Wall mm|Material|To material|Bend °|Pie angle °|Ends|CLR mm|Main OD mm|` +
			`Branch angle °|Leg mm|Sides|Gap mm|Weld length mm|Passes|Filler|Shielding|Colour|Tube length mm|Purge length mm|Purges|Drawing|Note`: {"Drawing", "Note"},
		"Car|Cars ordered|Bid per car": nil,
	} {
		seen := map[string]bool{}
		var left []string
		for raw := range strings.SplitSeq(row, "|") {
			m := h.Recognise(raw)
			if m.Key == "" {
				left = append(left, raw)
				assert.Empty(t, m.Question, "%q", raw)
				assert.Empty(t, m.Nearest, "%q", raw)
				continue
			}
			assert.False(t, seen[m.Key], "%q is a second %s", raw, m.Key)
			seen[m.Key] = true
			assert.Equal(t, strings.Contains(raw, "in)"), m.Unit.String() == "in", "%q", raw)
			assert.Equal(t, strings.HasSuffix(raw, "mm"), m.Unit.String() == "mm", "%q", raw)
		}
		assert.Equal(t, unknown, left)
	}
}

func TestRecogniseAsks(t *testing.T) {
	h := headings(t)
	for raw, want := range map[string]string{
		"Cut angle":       `Head it "Pie angle"`,
		"saw angle °":     `Head it "Pie angle"`,
		"Mitre angle":     `half of it`,
		"MITER ANGLE":     `half of it`,
		"Angle":           `"Branch angle"`,
		"Angle (deg)":     `"Branch angle"`,
		"Notch angle":     "measured from square",
		"Length":          `"Weld length"`,
		"Length (in)":     `"Weld length"`,
		"Size":            `"Leg"`,
		"Throat (mm)":     "A throat is not a leg",
		"ID":              "outside = inside + 2 x wall",
		"I.D. (in)":       "outside = inside + 2 x wall",
		"Bore":            "outside = inside + 2 x wall",
		"Pipe size":       "nominal",
		"DN":              "nominal",
		"Schedule":        "nominal",
		"Radius":          "centreline",
		"Gauge":           `write "18 ga"`,
		"WT":              "weight",
		"#":               `"Joint no"`,
		"No.":             `"Qty per car"`,
		"Total qty":       "joints on one car",
		"Pies":            "pie angle",
		"Purge":           "0 = not",
		"Tube":            `"Tube length"`,
		"OD in (mm)":      "two units",
		"OD (deg)":        "hold lengths",
		"Bend (in)":       "hold angles",
		"Filler (mm)":     "hold words",
		"Qty (in)":        "hold counts",
		"Joint no (mm)":   "hold text",
		"Wall (lb)":       "hold lengths",
		"Bid per car (h)": "hold money",
	} {
		m := h.Recognise(raw)
		assert.Empty(t, m.Key, "%q", raw)
		assert.Contains(t, m.Question, want, "%q", raw)
		assert.False(t, m.Exact, "%q", raw)
	}
}

func TestRecogniseUnknown(t *testing.T) {
	h := headings(t)
	for raw, nearest := range map[string]string{
		"":                "",
		" \n ":            "",
		"in":              "",
		"mm":              "",
		"Drawing":         "",
		"Note":            "",
		"Remarks":         "",
		"tie in":          "",
		"OK":              "",
		"Wlal (in)":       "Wall",
		"Wall thikness":   "Wall",
		"Outside diamter": "OD",
		"Quanity":         "Qty per car",
		"Pie angel":       "Pie angle",
		"OD (inside)":     "",
		"see drawing for the tube that is to be welded here and on the other side too": "",
	} {
		m := h.Recognise(raw)
		assert.Empty(t, m.Key, "%q", raw)
		assert.Empty(t, m.Question, "%q", raw)
		assert.Equal(t, nearest, m.Nearest, "%q", raw)
	}
}

// A heading that is in no table may say by one of its words that no input stands below.
func TestSaysNoInput(t *testing.T) {
	h := headings(t)
	for _, raw := range []string{"Flange price", "Tube $/ft", "Wt (lb)", "Torque (Nm)", "Design temp (°F)", "Overlap %", "Model year", "OD tol. (mm)", "Jig no", "Vendor #", "Spool No.", "Chargen-Nr.", "Kg/m"} {
		assert.True(t, h.SaysNoInput(raw), "%q", raw)
	}
	for _, raw := range []string{"", "To weld", "No of runs", "Pie no", "Purges no", "Bead no", "Pieces no.", "Layer #", "Set no", "Runs 2 no", "no", "Gas flow (cfh)", "Speed ipm", "Trouble min", "Wall now",
		"how much the flange costs at the price of last year in all"} {
		assert.False(t, h.SaysNoInput(raw), "%q", raw)
	}
}

func TestRecognise2(t *testing.T) {
	h := headings(t)
	for _, c := range []struct{ upper, lower, key, unit, question, nearest string }{
		{"Wall", "thk", "wall", "", "", ""},
		{"Wall", "thk (in)", "wall", "in", "", ""},
		{"Weld", "length", "weld_length", "", "", ""},
		{"Main tube", "OD", "run_od", "", "", ""},
		{"Purge", "length (mm)", "purge_length", "mm", "", ""},
		{"OD", "in", "od", "in", "", ""},
		{"OD", "(mm)", "od", "mm", "", ""},
		{"Bend", "°", "bend", "°", "", ""},
		{"Tube length", "m", "tube", "m", "", ""},
		{"OD (in)", "in", "od", "in", "", ""},
		{"dia", "mm", "od", "mm", "", ""},
		{"", "OD", "od", "", "", ""},
		{"OD", "", "od", "", "", ""},
		{"Tube", "OD", "od", "", "", ""},
		{"Geometry", "Wall (in)", "wall", "in", "", ""},
		// A set-up under "Purge" is no shielding.
		{"Purge", "Setup", "", "", "", "Purges per joint"},
		{"Muffler", "OD", "", "", "", "OD"},
		{"Joint list", "Grade", "", "", "", "Alloy"},
		{"OD (in)", "mm", "", "in", "row below says mm", "OD"},
		{"OD", "deg", "", "°", "hold lengths", "OD"},
		{"Saw", "angle", "", "", "half of it", ""},
		{"Angle", "°", "", "°", "Branch angle", ""},
	} {
		m := h.Recognise2(c.upper, c.lower)
		assert.Equal(t, c.key, m.Key, "%q over %q (%s)", c.upper, c.lower, m.Question)
		assert.Equal(t, c.unit, m.Unit.String(), "%q over %q", c.upper, c.lower)
		assert.Equal(t, c.nearest, m.Nearest, "%q over %q", c.upper, c.lower)
		if c.question == "" {
			assert.Empty(t, m.Question, "%q over %q", c.upper, c.lower)
		} else {
			assert.Contains(t, m.Question, c.question, "%q over %q", c.upper, c.lower)
		}
	}
}

// Every key has a heading that is recognised, in every unit that suits it; a
// key's own name is recognised too, but for tube, which is a question.
func TestEveryKeyIsRecognised(t *testing.T) {
	h := headings(t)
	keys := strings.Fields(`mark car section kind qty od wall alloy to_alloy run_od run_wall
		branch_angle bend pie_angle ends clr leg sides gap weld_length passes filler wire
		setup tube purge_length purge_bore purges colour extra`)
	var lines []string
	for _, c := range h.Columns() {
		if c.Table == "lines" {
			lines = append(lines, c.Key)
		}
		m := h.Recognise(c.Head)
		assert.Equal(t, c.Key, m.Key, "%q", c.Head)
		assert.True(t, m.Exact, "%q", c.Head)
		if c.Key != "tube" {
			assert.Equal(t, c.Key, h.Recognise(c.Key).Key)
		}
		var units []string
		switch c.Takes {
		case TakesLength:
			units = []string{"in", "mm", "ft", "m"}
		case TakesAngle:
			units = []string{"°"}
		case TakesTime:
			units = []string{"min", "s", "h"}
		case TakesMoney:
			units = []string{"$"}
		}
		for _, u := range units {
			m := h.Recognise(strings.ToUpper(c.Head) + "\n(" + u + ")")
			assert.Equal(t, c.Key, m.Key, "%q in %s", c.Head, u)
			assert.Equal(t, u, m.Unit.String(), "%q", c.Head)
		}
	}
	assert.ElementsMatch(t, keys, lines)
}

func TestColumn(t *testing.T) {
	h := headings(t)
	clr, ok := h.Column("clr")
	require.True(t, ok)
	assert.Equal(t, Column{Key: "clr", Head: "CLR", Table: "lines", Takes: TakesLength, Relative: true}, clr)
	other, _ := h.Column("to_alloy")
	assert.Equal(t, "alloy", other.List)
	wall, _ := h.Column("wall")
	assert.True(t, wall.Gauge)
	od, _ := h.Column("od")
	assert.True(t, od.Round)
	assert.False(t, od.Gauge)
	_, ok = h.Column("no_such_key")
	assert.False(t, ok)
}

func TestLoadHeadingsFaults(t *testing.T) {
	const words = "unit in\nalso in; inch\n"
	for name, c := range map[string]struct{ headings, words, want string }{
		"two meanings":      {"key od\nhead OD\ntakes length\nkey wall\nhead Wall\ntakes length\nalso od\n", words, `headings.txt:7: "od" is already a spelling of the key od`},
		"key and question":  {"key od\nhead OD\ntakes length\nask O.D.\nbecause why\n", words, `headings.txt:4: "O.D." is already`},
		"no question":       {"ask angle\n", words, "headings.txt:1: a spelling is questioned without a question"},
		"field without key": {"also od\n", words, "headings.txt:1: also stands before the first key"},
		"unknown field":     {"key od\nspells od\n", words, `headings.txt:2: "spells" is no field`},
		"unknown dimension": {"key od\ntakes weight\n", words, `headings.txt:2: a column cannot take "weight"`},
		"unknown form":      {"key od\nforms square\n", words, `headings.txt:2: no quantity is written in the form "square"`},
		"nothing taken":     {"key od\nhead OD\n", words, "key od has no head or takes"},
		"unknown unit":      {"", "unit cubit\nalso cu\n", "words.txt:1:"},
		"unit twice":        {"", "unit in\nalso in\nunit mm\nalso in\n", `words.txt:4: "in" already stands for the unit in`},
		"no gauge":          {"", "gauge eighteen .049\n", `words.txt:1: "eighteen .049" is no gauge`},
	} {
		_, err := LoadHeadings(fstest.MapFS{
			"headings.txt": {Data: []byte(c.headings)},
			"words.txt":    {Data: []byte(c.words)},
		})
		assert.ErrorContains(t, err, c.want, name)
	}
	_, err := LoadHeadings(fstest.MapFS{})
	assert.Error(t, err, "missing templates")
}

func FuzzRecognise(f *testing.F) {
	for _, s := range []string{"OD (in)", "Wall\nThk.", "inch(es)", "Ø mm", "((in)", "saw angle", "'", "½", "O.D.,mm", "\xff\xfe", "in in in in", "Bend º", "6-4", "a/b/c"} {
		f.Add(s, "mm")
	}
	h := headings(f)
	ends := endsOf(h)
	f.Fuzz(func(t *testing.T, raw, below string) {
		if plain, any := cleanWords(raw), cleanWords(raw+"\u00ad"); plain != any {
			t.Fatalf("%q becomes %q, and with a sign that prints nothing %q", raw, plain, any)
		}
		for _, m := range []Match{h.Recognise(raw), h.Recognise2(raw, below)} {
			_, known := h.Column(m.Key)
			if known != (m.Key != "") {
				t.Fatalf("%q: key %q is none", raw, m.Key)
			}
			if m.Key != "" && m.Question != "" {
				t.Fatalf("%q: taken as %s and questioned: %s", raw, m.Key, m.Question)
			}
			if m.Key != "" && !ended(ends, m.Key, raw+" "+below) {
				t.Fatalf("%q over %q: no word of it ends a spelling of %s", raw, below, m.Key)
			}
			if m.HasUnit != (m.UnitText != "") {
				t.Fatalf("%q: unit text %q", raw, m.UnitText)
			}
		}
		if one, two := h.Recognise(raw), h.Recognise("  "+raw+"\u00a0"); one != two {
			t.Fatalf("%q: spaces around it change %+v into %+v", raw, one, two)
		}
	})
}

func endsOf(h *Headings) map[string]Endings {
	out := map[string]Endings{}
	for _, c := range h.Columns() {
		out[c.Key] = h.Endings(c.Key)
	}
	return out
}

// ended reports whether a word of a text ends a spelling of a key.
func ended(ends map[string]Endings, key, text string) bool { return ends[key].In(text) != 0 }

// Whatever is read as a heading of a key has a word that ends a spelling of it; what
// has none is none.
func TestEnds(t *testing.T) {
	h := headings(t)
	ends := endsOf(h)
	n := 0
	for form := range h.meanings {
		for _, text := range []string{form, form + " (mm)", "in " + form, strings.ToUpper(form) + ", deg"} {
			if got := h.Recognise(text); got.Key != "" {
				assert.True(t, ended(ends, got.Key, text), "%q is %s", text, got.Key)
				n++
			}
		}
	}
	assert.Greater(t, n, 500)
	for _, text := range []string{"see 5411", "hose", "5th order"} {
		assert.False(t, ended(ends, "od", text) || ended(ends, "wall", text), text)
	}
}

// Without suggestions a heading means the same.
func TestWithoutNearest(t *testing.T) {
	h := headings(t)
	quick := h.WithoutNearest()
	differ := 0
	for _, text := range []string{"OD (in)", "O.D", "Wall thk [mm]", "Diamter", "Kimd", "J-00001", "Cut angle", "OD mm in", "", "Wall (deg)", "Remarks"} {
		for _, above := range []string{"", "Tube", "Wall", "no group"} {
			want, got := h.Recognise2(above, text), quick.Recognise2(above, text)
			if want.Nearest != got.Nearest {
				differ++
			}
			want.Nearest, got.Nearest = "", ""
			assert.Equal(t, want, got, "%q over %q", above, text)
		}
	}
	assert.NotZero(t, differ, "what is left out")
}

// Headings that say that what stands below is otherwise than elsewhere, or was.
func TestOtherwise(t *testing.T) {
	h, err := LoadHeadings(templates.FS)
	require.NoError(t, err)
	for raw, key := range map[string]string{
		"New qty": "qty", "Qty (old)": "qty", "Qty rev B": "qty", "Wall was (in)": "wall", "Was": "", "+/-": "", "Δ": "", "Rev. B": "", "Anzahl neu": "qty",
	} {
		of, is := h.Otherwise(raw)
		assert.True(t, is, raw)
		assert.Equal(t, key, of.Key, raw)
	}
	for _, raw := range []string{"", "Qty", "New jig", "Latest rev", "Newt qty", "/", "Issue"} {
		_, is := h.Otherwise(raw)
		assert.False(t, is, raw)
	}
}
