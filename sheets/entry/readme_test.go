package entry

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute/formula"
)

// readmeRows are the rows of the table below a mark in guide.md, cell by cell.
func readmeRows(t *testing.T, mark string) [][]string {
	t.Helper()
	text, err := os.ReadFile("../../templates/guide.md")
	require.NoError(t, err)
	_, rest, ok := strings.Cut(string(text), "<!-- "+mark+" -->\n")
	require.True(t, ok, "guide.md has no mark %s", mark)
	table, _, _ := strings.Cut(rest, "\n\n")
	var rows [][]string
	for _, line := range strings.Split(table, "\n")[2:] {
		rows = append(rows, strings.Split(strings.Trim(line, "| "), " | "))
	}
	require.NotEmpty(t, rows)
	return rows
}

var inCode = regexp.MustCompile("`([^`]+)`")

func codes(cell string) []string {
	var out []string
	for _, m := range inCode.FindAllStringSubmatch(cell, -1) {
		out = append(out, m[1])
	}
	return out
}

// Every heading that guide.md names is read as it says there, and no input is
// forgotten.
func TestReadmeHeadings(t *testing.T) {
	h := headings(t)
	named := map[string]bool{}
	for _, row := range readmeRows(t, "headings") {
		require.Len(t, row, 3, "%q", row)
		keys := codes(row[0])
		for _, key := range keys {
			named[key] = true
		}
		require.NotEmpty(t, codes(row[2]), "%q", row)
		for _, heading := range codes(row[2]) {
			m := h.Recognise(heading)
			assert.True(t, slices.Contains(keys, m.Key), "%q is read as %q, guide.md says %q", heading, m.Key, keys)
		}
	}
	for _, c := range h.Columns() {
		assert.True(t, named[c.Key], "guide.md does not name %s, which %q is read as", c.Key, c.Head)
	}
}

// Every cell that guide.md shows is read as it says there.
func TestReadmeCells(t *testing.T) {
	h, m, w := headings(t), measures(t), words(t)
	for _, row := range readmeRows(t, "cells") {
		require.Len(t, row, 3, "%q", row)
		heading, typed, want := codes(row[0])[0], codes(row[1])[0], strings.TrimSpace(row[2])
		match := h.Recognise(heading)
		c, ok := h.Column(match.Key)
		require.True(t, ok, heading)
		if c.Takes == TakesWords {
			word, _, err := w.Read(c.List, typed, nil)
			require.NoError(t, err, "%q", row)
			assert.Equal(t, want, word, "%q", row)
			continue
		}
		require.True(t, match.HasUnit || c.Takes == TakesCount, heading)
		got, err := m.Quantity(typed, c.Want(match.Unit, match.Unit))
		require.NoError(t, err, "%q", row)
		shown := strings.TrimSpace(formula.GeneralText(got.Value) + " " + match.Unit.String())
		if got.PerOD {
			shown = formula.GeneralText(got.Value) + " × OD"
		}
		assert.Equal(t, want, shown, "%q", row)
	}
}
