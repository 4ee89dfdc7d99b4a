package entry

import (
	"io/fs"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"seamtally/templates"
)

// FuzzTemplates reads the spellings with some lines of a file put in the place of
// others: they are read, or refused with the file's name, and never a panic.
func FuzzTemplates(f *testing.F) {
	names := []string{"headings.txt", "words.txt"}
	texts := map[string]string{}
	for i, name := range names {
		text, err := fs.ReadFile(templates.FS, name)
		require.NoError(f, err)
		texts[name] = string(text)
		for _, odd := range []string{"", "key od", "also ;;", "loose", "ask ?", "list x", "word", "gauge 18 x", "unit in in", "\xff"} {
			f.Add(i == 1, uint16(20), uint8(1), odd)
		}
	}
	f.Fuzz(func(t *testing.T, words bool, at uint16, gone uint8, text string) {
		name := names[0]
		if words {
			name = names[1]
		}
		files := fstest.MapFS{}
		for n, data := range texts {
			files[n] = &fstest.MapFile{Data: []byte(data)}
		}
		lines := strings.Split(texts[name], "\n")
		from := int(at) % len(lines)
		to := min(from+int(gone)%8, len(lines))
		files[name].Data = []byte(strings.Join(slices.Concat(lines[:from], []string{text}, lines[to:]), "\n"))
		_, headErr := LoadHeadings(files)
		_, wordErr := LoadWords(files)
		_, unitErr := LoadMeasures(files)
		for _, err := range []error{headErr, wordErr, unitErr} {
			if err != nil {
				require.Contains(t, err.Error(), name)
			}
		}
	})
}
