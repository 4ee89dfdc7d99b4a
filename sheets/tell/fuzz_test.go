package tell

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// FuzzPasswordIn: a password is the beginning of its file, on one line.
func FuzzPasswordIn(f *testing.F) {
	for _, s := range []string{"", "tungsten", "a b \r\nc", "\ufeffx\n", "\n", "\r\n", strings.Repeat("x", mostPassword), strings.Repeat("x", mostPassword+1)} {
		f.Add([]byte(s))
	}
	path := filepath.Join(f.TempDir(), "password")
	f.Fuzz(func(t *testing.T, text []byte) {
		require.NoError(t, os.WriteFile(path, text, 0o600))
		word, err := PasswordIn(path)
		if err != nil {
			require.Contains(t, err.Error(), path+": ")
			require.Empty(t, word)
			return
		}
		require.NotEmpty(t, word)
		require.NotContains(t, word, "\n")
		require.LessOrEqual(t, len(word), mostPassword)
		require.True(t, strings.HasPrefix(strings.TrimPrefix(string(text), "\ufeff"), word))
	})
}
