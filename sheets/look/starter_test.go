package look_test

import (
	"bytes"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/sheets/entry"
	"seamtally/sheets/look"
	"seamtally/templates"
)

type starter struct {
	file  *excelize.File
	keys  []string            // what the columns of the joint list mean
	rows  []map[string]string // joint rows, by key
	model *model.Model
}

func open(t *testing.T, metric bool) starter {
	src, err := look.Starter(metric)
	require.NoError(t, err)
	f, err := excelize.OpenReader(bytes.NewReader(src))
	require.NoError(t, err)
	t.Cleanup(func() { _ = f.Close() })
	headings, err := entry.LoadHeadings(templates.FS)
	require.NoError(t, err)
	s := starter{file: f}
	if s.model, err = compute.Load(templates.FS, system(metric)); err != nil {
		require.NoError(t, err)
	}
	rows, err := f.GetRows("Joints", excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	for _, head := range rows[3] {
		m := headings.Recognise(head)
		require.Empty(t, m.Question, head)
		s.keys = append(s.keys, m.Key)
	}
	for _, row := range rows[4:] {
		cells := map[string]string{}
		for i, v := range row {
			cells[s.keys[i]] = v
		}
		s.rows = append(s.rows, cells)
	}
	return s
}

func system(metric bool) model.System {
	if metric {
		return model.Metric
	}
	return model.US
}

func both(t *testing.T, do func(t *testing.T, s starter, metric bool)) {
	for name, metric := range map[string]bool{"us": false, "metric": true} {
		t.Run(name, func(t *testing.T) { do(t, open(t, metric), metric) })
	}
}

func TestStarterIsAlwaysTheSame(t *testing.T) {
	for _, metric := range []bool{false, true} {
		a, err := look.Starter(metric)
		require.NoError(t, err)
		b, err := look.Starter(metric)
		require.NoError(t, err)
		assert.True(t, bytes.Equal(a, b), "two calls differ")
	}
}

func TestStarterHeadingsAreUnderstood(t *testing.T) {
	both(t, func(t *testing.T, s starter, metric bool) {
		assert.Equal(t, []string{"mark", "car", "section", "kind", "qty", "od", "wall", "alloy", "bend", "pie_angle", "clr", "run_od",
			"branch_angle", "sides", "weld_length", "passes", "filler", "setup", "tube", "purge_length", "purges", "colour", ""}, s.keys)
	})
}

func TestStarterOrderIsUnderstood(t *testing.T) {
	both(t, func(t *testing.T, s starter, metric bool) {
		rows, err := s.file.GetRows("Order")
		require.NoError(t, err)
		assert.Equal(t, []string{"Car", "Cars ordered", "Bid per car"}, rows[3])
		require.Len(t, rows, 5)
		assert.Equal(t, "2", rows[4][1])
		for _, row := range s.rows {
			assert.Equal(t, rows[4][0], row["car"])
		}
	})
}

// TestStarterRowsArePriceable holds the rows against the tables as shipped and
// against what makes the program leave a row out or remark on it.
func TestStarterRowsArePriceable(t *testing.T) {
	both(t, func(t *testing.T, s starter, metric bool) {
		stock := map[string]bool{}
		for _, row := range s.model.Table("stock").Rows {
			key := s.model.Table("stock")
			stock[row.Text[key.Quantity("alloy").TextSlot]+"|"+num(row.Num[key.Quantity("od").Slot])+"|"+num(row.Num[key.Quantity("wall").Slot])] = true
		}
		kinds := map[string]bool{}
		marks := map[string]bool{}
		for _, row := range s.rows {
			value := func(key string) float64 {
				if row[key] == "" {
					return 0
				}
				v, err := strconv.ParseFloat(row[key], 64)
				require.NoError(t, err, key)
				return v
			}
			mark := row["mark"]
			assert.False(t, marks[mark], "mark %s is there twice", mark)
			marks[mark] = true
			kinds[row["kind"]] = true
			assert.True(t, stock[row["alloy"]+"|"+num(value("od"))+"|"+num(value("wall"))], "joint %s: its tube is not in stock", mark)
			assert.Contains(t, row[""], "example", "the note of joint %s", mark)
			assert.Contains(t, []string{"yes", "no"}, row["filler"])
			assert.Contains(t, []string{"bright", "straw", "blue"}, row["colour"])
			switch row["kind"] {
			case "pie cut":
				assert.Zero(t, int(value("bend"))%int(value("pie_angle")), "joint %s: pies do not fill the bend", mark)
				assert.Greater(t, value("clr"), value("od"), "joint %s", mark)
				assert.Greater(t, value("purge_length"), value("clr")*value("bend")*3.1416/180, "joint %s: dams closer than the bend", mark)
			case "branch":
				assert.Less(t, value("od"), value("run_od"), "joint %s", mark)
				assert.InDelta(t, 60, value("branch_angle"), 30, "joint %s", mark)
			case "seam":
				assert.Positive(t, value("weld_length"), "joint %s", mark)
			}
			if row["colour"] == "bright" {
				assert.Contains(t, row["setup"], "on rolls", "joint %s: a bright joint must not stop", mark)
			}
			if row["setup"] == "trailing shield, on rolls" {
				assert.Contains(t, []string{"butt", "pie cut"}, row["kind"], "joint %s", mark)
			}
		}
		for _, row := range s.model.Table("kinds").Rows {
			name := row.Text[s.model.Table("kinds").Quantity("name").TextSlot]
			assert.True(t, kinds[name], "no example of a %s", name)
		}
		assert.GreaterOrEqual(t, len(s.rows), 8)
		assert.LessOrEqual(t, len(s.rows), 10)
	})
}

func num(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

func TestStarterOffersTheSetupsAsShipped(t *testing.T) {
	both(t, func(t *testing.T, s starter, metric bool) {
		table := s.model.Table("setups")
		for i, row := range table.Rows {
			cell, err := s.file.GetCellValue("Choices", "A"+strconv.Itoa(5+i))
			require.NoError(t, err)
			assert.Equal(t, row.Text[table.Quantity("name").TextSlot], cell)
		}
		rules, err := s.file.GetDataValidations("Joints")
		require.NoError(t, err)
		lists := map[string]string{}
		for _, r := range rules {
			if r.Type == "list" {
				lists[r.Sqref] = r.Formula1
			}
		}
		assert.Equal(t, map[string]string{
			"D5:D1000": `"butt,pie cut,fillet,branch,seam"`,
			"Q5:Q1000": `"yes,no"`,
			"R5:R1000": `'Choices'!$A$5:$A$24`,
			"V5:V1000": `"bright,straw,blue"`,
		}, lists)
	})
}

// TestStarterUnits compares the two books: what is one exhaust in inches is
// about the same in millimetres.
func TestStarterUnits(t *testing.T) {
	us, metric := open(t, false), open(t, true)
	require.Len(t, metric.rows, len(us.rows))
	for i, row := range us.rows {
		for _, key := range []string{"od", "wall", "clr", "run_od", "weld_length", "tube", "purge_length"} {
			a, b := row[key], metric.rows[i][key]
			require.Equal(t, a == "", b == "", key)
			if a == "" {
				continue
			}
			in, err := strconv.ParseFloat(a, 64)
			require.NoError(t, err)
			mm, err := strconv.ParseFloat(b, 64)
			require.NoError(t, err)
			assert.InEpsilon(t, in*25.4, mm, 0.15, "joint %s: %s", row["mark"], key)
		}
		for _, key := range []string{"mark", "kind", "qty", "bend", "pie_angle", "setup", "filler", "colour", "sides", "purges"} {
			assert.Equal(t, row[key], metric.rows[i][key], key)
		}
	}
}
