package compute_test

import (
	"io/fs"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/templates"
)

// modelFiles are the files that the model is read from.
func modelFiles() []string {
	return []string{"units.txt", "header.txt", "basis.txt", "assumptions.txt", "tables.txt", "line.txt", "order.txt", "checks.txt"}
}

// FuzzLoad reads the model with some lines of one file put in the place of
// others: it is read, or refused with the file's name, and never a panic.
func FuzzLoad(f *testing.F) {
	texts := map[string][]byte{}
	for i, name := range modelFiles() {
		text, err := fs.ReadFile(templates.FS, name)
		require.NoError(f, err)
		texts[name] = text
		for _, odd := range []string{"", "= 1/0", "value x", "unit furlong", "figure od", "us 1 | 2 | 3", "of nothing", "= (((", "\xff", "column |"} {
			f.Add(uint8(i), uint16(20), uint8(1), odd)
		}
	}
	f.Fuzz(func(t *testing.T, which uint8, at uint16, gone uint8, text string) {
		name := modelFiles()[int(which)%len(modelFiles())]
		files := fstest.MapFS{}
		for n, data := range texts {
			files[n] = &fstest.MapFile{Data: data}
		}
		lines := strings.Split(string(texts[name]), "\n")
		from := int(at) % len(lines)
		to := min(from+int(gone)%8, len(lines))
		files[name] = &fstest.MapFile{Data: []byte(strings.Join(slices.Concat(lines[:from], []string{text}, lines[to:]), "\n"))}
		if _, err := compute.Load(files, model.US); err != nil {
			require.Contains(t, err.Error(), ".txt", "which file")
		}
	})
}
