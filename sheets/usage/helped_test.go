package usage

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/urfave/cli/v2"
)

// Help begins with what to type; a command comes with its examples, and then with every
// flag that is not hidden. No line is too wide, and nothing of it is a template's.
func TestHelpInOurOrder(t *testing.T) {
	price := &cli.Command{
		Name: "price", Usage: "work it out", UsageText: "tally price [flags] FILE", Description: "What it does {{ with braces.\n\nExamples:\n   tally price a.xlsx",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "word", Aliases: []string{"w"}, Usage: "a `WORD` " + strings.Repeat("that is told of at length ", 6), EnvVars: []string{"TALLY_WORD"}},
			&cli.BoolFlag{Name: "a-name-that-is-wider-than-its-column", Usage: "below"},
			&cli.BoolFlag{Name: "secret", Usage: "not told", Hidden: true},
		},
	}
	app := &cli.App{Name: "tally", Usage: "count", Description: "What it is.\n\nExamples:\n   tally price  first", Commands: []*cli.Command{price, {Name: "odd", Usage: "of no group"}}}
	help := Help(app)
	assert.Equal(t, `tally: count

To begin:
   tally price  first

To price an order:
   price         work it out

Others:
   odd           of no group

   tally help COMMAND          more of one: examples, what it does, flags
   tally --version             which version this is

What it is.
`, help)
	of := CommandHelp(price)
	assert.True(t, strings.HasPrefix(of, "Work it out.\n\n   tally price [flags] FILE\n\nExamples:\n   tally price a.xlsx\n\nWhat it does {{\"{{\"}} with braces.\n\nFlags:\n   --word WORD, -w WORD "), of)
	assert.Contains(t, of, "TALLY_WORD)\n")
	assert.Contains(t, of, "\n   --a-name-that-is-wider-than-its-column\n                               below\n")
	assert.NotContains(t, of, "not told")
	for line := range strings.SplitSeq(help+of, "\n") {
		assert.LessOrEqual(t, utf8.RuneCountInString(line), helpWide, line)
	}
}
