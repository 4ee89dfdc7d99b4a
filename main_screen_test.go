package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/creack/pty"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A terminal gets the messages at its width, the file's name once, and severity in
// colour and in words; what is piped is the lines as ever.
func TestMessagesOnATerminal(t *testing.T) {
	program := ofItsOwn(t)
	order, err := filepath.Abs(filepath.Join("testdata", "order.xlsx"))
	require.NoError(t, err)
	t.Setenv("TERM", "xterm")
	t.Setenv("NO_COLOR", "")
	said := func(set ...string) string {
		keyboard, terminal, err := pty.Open()
		require.NoError(t, err)
		defer keyboard.Close()
		require.NoError(t, pty.Setsize(terminal, &pty.Winsize{Rows: 40, Cols: 64}))
		cmd := exec.CommandContext(t.Context(), program, "check", order)
		cmd.Env = append(os.Environ(), set...)
		cmd.Stdout, cmd.Stderr = terminal, terminal
		require.NoError(t, cmd.Start())
		shown := readUntil(t, keyboard, "COMPLETE")
		require.NoError(t, cmd.Wait())
		terminal.Close()
		return strings.ReplaceAll(shown, "\r\n", "\n")
	}
	shown := said()
	assert.Contains(t, shown, "\norder.xlsx:\n  Joints and 1 more: ")
	assert.Contains(t, shown, "\n  Joints!F8 and 3 more like it: \x1b[36mnote\x1b[0m: outside diameter is text,\n      read as 3 in\n")
	assert.Equal(t, 1, strings.Count(shown, "order.xlsx:"))
	plain := regexp.MustCompile("\x1b\\[[0-9;]*m").ReplaceAllString(shown, "")
	for line := range strings.SplitSeq(plain, "\n") {
		if !strings.Contains(strings.TrimSpace(line), "  ") { // no table
			assert.LessOrEqual(t, utf8.RuneCountInString(line), 64, line)
		}
	}
	assert.Equal(t, plain, said("NO_COLOR=1"), "words alone")
	assert.Equal(t, plain, said("TERM=dumb"), "words alone")

	var piped bytes.Buffer
	cmd := exec.CommandContext(t.Context(), program, "check", order)
	cmd.Stdout = &piped
	require.NoError(t, cmd.Run())
	assert.Contains(t, piped.String(), "\norder.xlsx:Joints!F8 and 3 more like it: note: outside diameter is text, read as 3 in\n")
	assert.NotContains(t, piped.String(), "\x1b")
}
