// Package broken_test tries files that are no workbooks, or damaged ones: each is refused
// in plain words, or priced as if it were whole.
package broken_test

import (
	"encoding/json"
	"flag"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/sheetstest/shop"
)

// brokenEntries are a package with its entries cut short, left out, doubled,
// emptied, exchanged and renamed, one at a time.
func brokenEntries(name string, whole map[string]string) map[string][]byte {
	out := map[string][]byte{}
	all := entriesOf(whole)
	for i, e := range all {
		change := func(how string, to ...zipEntry) {
			out[fmt.Sprintf("%s %02d %s", name, i, how)] = zipOf(slices.Concat(all[:i], to, all[i+1:]))
		}
		for _, quarter := range []int{1, 2, 3} {
			change(fmt.Sprint("cut at ", quarter), stored(e.name, string(e.data[:len(e.data)*quarter/4])))
		}
		change("cut by one", stored(e.name, string(e.data[:max(0, len(e.data)-1)])))
		change("dropped")
		change("doubled", e, e)
		change("emptied", stored(e.name, ""))
		change("exchanged", stored(e.name, string(all[(i+1)%len(all)].data)))
		for how, to := range map[string]string{
			"upwards": "../" + e.name, "absolute": "/" + e.name, "backslash": strings.ReplaceAll(e.name, "/", `\`),
			"capitals": strings.ToUpper(e.name), "disk": `C:\` + e.name, "folder": e.name + "/", "nameless": "",
		} {
			renamed := e
			renamed.name = to
			change("named "+how, renamed)
		}
	}
	return out
}

// A workbook with any one entry broken is refused, or priced as if it were
// whole.
func TestBrokenEntries(t *testing.T) {
	shop.Heavy(t)
	plain := shop.Small(t, shop.Butt("J-1"))
	out, _ := shop.Price(t, plain)
	files := brokenEntries("plain", shop.Parts(t, plain))
	priced := brokenEntries("priced", shop.Parts(t, out))
	for _, name := range shop.Some(slices.Sorted(maps.Keys(priced)), 9) {
		files[name] = priced[name]
	}
	said := broken(t, files)
	// What a workbook is read from cannot be done without, priced or not.
	for i, e := range entriesOf(shop.Parts(t, plain)) {
		if strings.HasPrefix(e.name, "docProps/") || strings.Contains(e.name, "/theme/") {
			continue
		}
		for _, how := range []string{"cut at 2", "dropped", "doubled", "emptied", "exchanged", "named upwards", "named folder"} {
			if how == "emptied" && e.name == smallStyles {
				continue // a workbook needs none
			}
			assert.NotEmpty(t, said[fmt.Sprintf("plain %02d %s", i, how)], "%s %s", e.name, how)
		}
		for _, how := range []string{"named absolute", "named capitals"} {
			assert.Empty(t, said[fmt.Sprintf("plain %02d %s", i, how)], "%s %s", e.name, how)
		}
	}
}

var update = flag.Bool("update", false, "write testdata/broken.json anew; review it by eye")

// goldenRefusals is what was said of each broken file when somebody last looked.
const goldenRefusals = "testdata/broken.json"

// What is refused is refused in these words, and what is priced stays priced.
func TestBrokenFiles(t *testing.T) {
	shop.Heavy(t)
	files := brokenZips(t)
	maps.Copy(files, brokenXML(t))
	all := slices.Sorted(maps.Keys(files))
	tried := shop.Some(all, 4)
	if *update {
		tried = all
	}
	maps.DeleteFunc(files, func(name string, _ []byte) bool { return !slices.Contains(tried, name) })
	said := broken(t, files)
	if *update {
		text, err := json.MarshalIndent(said, "", "  ")
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.FromSlash(goldenRefusals), append(text, '\n'), 0o644))
	}
	var want map[string]string
	require.NoError(t, json.Unmarshal([]byte(shop.Content(t, goldenRefusals)), &want))
	assert.Equal(t, all, slices.Sorted(maps.Keys(want)), "see -update")
	maps.DeleteFunc(want, func(name, _ string) bool { return !slices.Contains(tried, name) })
	assert.Equal(t, want, said, "see -update; review by eye")
}
