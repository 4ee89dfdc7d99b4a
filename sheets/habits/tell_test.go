package habits_test

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
)

// atOnce tries workbooks on all processors, each with a folder of its own.
func atOnce(t *testing.T, n int, try func(i int, dir string) result) []result {
	results := make([]result, n)
	var wg sync.WaitGroup
	next := make(chan int)
	for range runtime.GOMAXPROCS(0) {
		dir := t.TempDir()
		wg.Go(func() {
			for i := range next {
				results[i] = try(i, dir)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	wg.Wait()
	return results
}

// tellBad prints the workbooks that fail, made smaller, and keeps them if asked to.
func tellBad(t *testing.T, results []result) {
	var bad []result
	for _, r := range results {
		if r.bad() {
			bad = append(bad, r)
		}
	}
	if len(bad) > 40 && *keep == "" {
		t.Logf("%d fail; the first 40 are", len(bad))
		bad = bad[:40]
	}
	bad = atOnce(t, len(bad), func(i int, dir string) result { return bad[i].smaller(dir) })
	told := map[string]bool{}
	var table []string
	for _, r := range bad {
		key := r.what.String() + names(r.used)
		if told[key] {
			continue
		}
		told[key] = true
		what := r.what.String()
		if r.vain {
			what = "asked in vain"
		}
		t.Logf("seed %d: %s: %s (cars %d, joints %d)\n\t%s", r.seed, what, names(r.used), r.cars, r.joints, strings.Join(r.says[:min(4, len(r.says))], "\n\t"))
		if *keep == "" {
			continue
		}
		name := fmt.Sprintf("%s-%03d.xlsx", strings.ReplaceAll(strings.ToLower(what), " ", "-"), len(told))
		b, _ := r.compose()
		require.NoError(t, save(filepath.Join(*keep, name), b.write))
		require.NoError(t, save(filepath.Join(*keep, strings.TrimSuffix(name, ".xlsx")+"-meant.xlsx"), b.plain))
		table = append(table, fmt.Sprintf("| %s | %s | %s | %s |", what, names(r.used), name, strings.ReplaceAll(strings.Join(r.says[:min(2, len(r.says))], " / "), "|", "/")))
	}
	if *keep != "" {
		slices.Sort(table)
		text := "| what | habits | workbook | what was said |\n|---|---|---|---|\n" + strings.Join(table, "\n") + "\n"
		require.NoError(t, os.WriteFile(filepath.Join(*keep, "index.md"), []byte(text), 0o644))
	}
}

// tellEach prints what came of each habit alone.
func tellEach(t *testing.T, results []result) {
	for i := 0; i < len(results); i += *each {
		counts, did := map[outcome]int{}, 0
		for _, r := range results[i : i+*each] {
			if len(r.used) > 0 {
				did++
				counts[r.what]++
			}
		}
		t.Logf("habit: %s: %d of %d, right %d, asked %d, SILENT %d", names(results[i].habits), did, *each, counts[right], counts[asked], counts[silent])
	}
}
