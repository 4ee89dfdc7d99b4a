package screen

import (
	"bytes"
	"os"
	"testing"

	"github.com/creack/pty"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is no terminal is none; a terminal has its width, and colour unless the shop
// or the terminal has none of it.
func TestOf(t *testing.T) {
	_, ok := Of(&bytes.Buffer{})
	assert.False(t, ok)
	file, err := os.CreateTemp(t.TempDir(), "")
	require.NoError(t, err)
	defer file.Close()
	_, ok = Of(file)
	assert.False(t, ok)

	keyboard, terminal, err := pty.Open()
	require.NoError(t, err)
	defer keyboard.Close()
	defer terminal.Close()
	require.NoError(t, pty.Setsize(terminal, &pty.Winsize{Rows: 24, Cols: 72}))
	for name, c := range map[string]struct {
		term, none string
		colour     bool
	}{"as it is": {"xterm", "", true}, "dumb": {"dumb", "", false}, "not wanted": {"xterm", "1", false}} {
		t.Setenv("TERM", c.term)
		t.Setenv("NO_COLOR", c.none)
		s, ok := Of(terminal)
		assert.True(t, ok, name)
		assert.Equal(t, Screen{Width: 72, Colour: c.colour}, s, name)
	}
}
