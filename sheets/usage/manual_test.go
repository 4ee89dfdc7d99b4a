package usage

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/urfave/cli/v2"
)

// Every command and flag has its place on the page, and what is read from the
// environment is told of there too.
func TestManualHasAll(t *testing.T) {
	app := &cli.App{
		Name: "tally", Usage: "count", Version: "v1.2.3, revision 0123", Description: "What it is.\n\nExamples:\n   tally one  a first",
		Commands: []*cli.Command{
			{Name: "one", Usage: "count one", UsageText: "tally one [flags] FILE", Description: ".dots and 'quotes' stay\n\nExamples:\n   tally one -x\n   tally one 'a b'",
				Flags: []cli.Flag{
					&cli.StringFlag{Name: "word", Aliases: []string{"w"}, Usage: "a `WORD`", EnvVars: []string{"TALLY_WORD"}},
					&cli.BoolFlag{Name: "kept", Usage: "kept \\ so"},
					&cli.BoolFlag{Name: "secret", Usage: "not told", Hidden: true},
				}},
			{Name: "gone", Usage: "not told", Hidden: true},
		},
	}
	var out bytes.Buffer
	require.NoError(t, Manual(&out, app, "2026-11-25", []string{"Hot: 20 °C"}))
	page := out.String()
	for _, want := range []string{
		".TH TALLY 1 \"2026-11-25\" \"tally v1.2.3\" \"User Commands\"\n",
		".SH DESCRIPTION\nWhat it is.\n.SH",
		".SS one\n.B tally one\n[flags] FILE\n.PP\nCount one.\n.PP\n\\&.dots and \\(aqquotes\\(aq stay\n",
		".TP\n\\fB\\-\\-word\\fR \\fIWORD\\fR, \\fB\\-w\\fR \\fIWORD\\fR\nA WORD (else TALLY_WORD of the environment)\n",
		".TP\n\\fB\\-\\-kept\\fR\nKept \\e so\n",
		".nf\ntally one \\-x\ntally one \\(aqa b\\(aq\n.fi\n",
		".SH CAUTIONS\nHot: 20 \\[u00B0]C\n.SH EXAMPLES\n.RS 4\n.nf\ntally one  a first\n.fi\n.RE\n",
	} {
		assert.Contains(t, page, want)
	}
	assert.NotContains(t, page, "not told")
	assert.NotContains(t, page, "secret")
	for line := range strings.SplitSeq(page, "\n") {
		assert.False(t, strings.HasPrefix(line, "'"), "a line of text that roff takes for a command: %s", line)
	}
}
