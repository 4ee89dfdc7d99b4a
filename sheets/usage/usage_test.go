package usage

import (
	"bytes"
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/urfave/cli/v2"
)

// A command and a flag that there are not: the nearest is named.
func TestTheNearestIsNamed(t *testing.T) {
	said := func(args ...string) string {
		app := boil()
		app.Name, app.Writer, app.ErrWriter, app.Action, app.OnUsageError = "x", io.Discard, io.Discard, UnknownCommand, FlagError
		app.Commands[0].OnUsageError = FlagError
		err := app.Run(append([]string{"x"}, args...))
		if err == nil {
			return ""
		}
		return err.Error()
	}
	for args, want := range map[string]string{
		"":             "",
		"boill":        `no command "boill"; the nearest is boil, and seamtally help lists all`,
		"boil --sofd":  "boil has no flag --sofd; the nearest is --soft, and seamtally help boil lists all",
		"boil --pot":   "--pot needs a value after it; see: seamtally help boil",
		"--soft boil":  "seamtally has no flag --soft; seamtally help lists all",
		"boil -s=much": `boil: invalid boolean value "much" for -s: parse error; see: seamtally help boil`,
	} {
		assert.Equal(t, want, said(strings.Fields(args)...), args)
	}
}

// What could come next, and where a command line stands.
func TestWhatCouldComeNext(t *testing.T) {
	app := boil()
	app.Commands = append(app.Commands, &cli.Command{Name: "completion"})
	for line, want := range map[string]string{
		"x --complete-word=":                 "boil completion",
		"x --complete-word=b":                "boil",
		"x boil --complete-word=--s":         "--soft",
		"x boil --complete-word=-":           "--soft --pot",
		"x boil --complete-word=e":           "",
		"x boil --pot --complete-word=-":     "",
		"x boil -- --complete-word=-":        "",
		"x fry --complete-word=":             "",
		"x completion --complete-word=":      "bash fish zsh",
		"x completion zsh --complete-word=b": "",
	} {
		before, word, ok := CompletingWord(strings.Fields(line))
		require.True(t, ok, line)
		assert.Equal(t, want, strings.Join(Typable(app, before, word), " "), line)
	}
	_, _, ok := CompletingWord(nil)
	assert.False(t, ok)
	for line, want := range map[string]string{
		"x boil egg -p":         "boil, pot, egg",
		"x boil -p tin -s egg":  "boil, , egg",
		"x boil a -- -p --soft": "boil, , a -p --soft",
	} {
		command, flag, words := Unfinished(app, strings.Fields(line))
		assert.Equal(t, want, command.Name+", "+flag+", "+strings.Join(words, " "), line)
	}
}

// Each shell has a script; that of fish has the list before it.
func TestCompletionScripts(t *testing.T) {
	list := func() (string, error) { return "the list\n", nil }
	for _, shell := range Shells() {
		var out bytes.Buffer
		require.NoError(t, Completion(&out, shell, list))
		assert.Contains(t, out.String(), "seamtally", shell)
		assert.Equal(t, shell == "fish", strings.HasPrefix(out.String(), "the list\n"), shell)
	}
	assert.EqualError(t, Completion(io.Discard, "sh", list), `no completion for "sh"; it is one of bash, fish, zsh`)
	assert.EqualError(t, Completion(io.Discard, "fish", func() (string, error) { return "", errors.New("none") }), "completion for fish: none")
}
