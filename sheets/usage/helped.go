package usage

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"seamtally/sheets/screen"

	"github.com/urfave/cli/v2"
)

// Widths of help.
const (
	helpWide  = 92
	helpNames = 26 // of flags
	helpShort = 12 // of commands
	helpIn    = "   "
)

// helpGroups are the commands in the order in which a shop comes to need them.
func helpGroups() []struct{ title, commands string } {
	return []struct{ title, commands string }{
		{"To price an order", "new price check clear"},
		{"To know why, and whether it is right", "explain compare audit"},
		{"To hand out", "offer traveller timesheet"},
		{"Once hours are logged, or orders pile up", "outcome calibrate load"},
		{"The program itself", "formulas manual completion"},
	}
}

// Help is what the program is for, where to begin, and its commands.
func Help(app *cli.App) string {
	about, examples := parted(app.Description)
	var b strings.Builder
	b.WriteString(app.Name + ": " + app.Usage + "\n\nTo begin:\n" + examples + "\n")
	listed := map[string]bool{}
	put := func(title string, names []string) {
		if len(names) == 0 {
			return
		}
		b.WriteString("\n" + title + ":\n")
		for _, name := range names {
			listed[name] = true
			b.WriteString(described(name, app.Command(name).Usage, helpShort))
		}
	}
	for _, g := range helpGroups() {
		put(g.title, slices.DeleteFunc(strings.Fields(g.commands), func(name string) bool { return app.Command(name) == nil }))
	}
	var others []string
	for _, c := range app.VisibleCommands() {
		if !listed[c.Name] && c.Name != "help" {
			others = append(others, c.Name)
		}
	}
	put("Others", others)
	b.WriteString("\n" + described(app.Name+" help COMMAND", "more of one: examples, what it does, flags", helpNames))
	b.WriteString(described(app.Name+" --version", "which version this is", helpNames))
	b.WriteString("\n" + strings.Join(about, "\n\n") + "\n")
	return asTemplate(b.String())
}

// CommandHelp is how a command is called: examples first, then what it does, and last
// its flags.
func CommandHelp(c *cli.Command) string {
	about, examples := parted(c.Description)
	var b strings.Builder
	b.WriteString(strings.ToUpper(c.Usage[:1]) + c.Usage[1:] + ".\n\n" + helpIn + c.UsageText + "\n")
	if examples != "" {
		b.WriteString("\nExamples:\n" + examples + "\n")
	}
	for _, p := range about {
		b.WriteString("\n" + strings.TrimSpace(p) + "\n")
	}
	b.WriteString("\nFlags:\n")
	for _, f := range c.VisibleFlags() {
		if f.Names()[0] == "help" {
			continue
		}
		if doc, ok := f.(cli.DocGenerationFlag); ok {
			b.WriteString(described(flagNames(f, doc), flagUsage(doc), helpNames))
		}
	}
	b.WriteString(described("--help, -h", "this text", helpNames))
	return asTemplate(b.String())
}

// flagNames are the names of a flag, each with what it takes.
func flagNames(f cli.Flag, doc cli.DocGenerationFlag) string {
	value := ""
	if _, after, ok := strings.Cut(doc.GetUsage(), "`"); ok {
		value, _, _ = strings.Cut(after, "`")
		value = " " + value
	}
	var names []string
	for _, name := range f.Names() {
		names = append(names, dashed(name)+value)
	}
	return strings.Join(names, ", ")
}

// flagUsage is what a flag does, and which variable stands for it.
func flagUsage(doc cli.DocGenerationFlag) string {
	usage := strings.ReplaceAll(doc.GetUsage(), "`", "")
	if env := doc.GetEnvVars(); len(env) > 0 {
		usage += " (else " + strings.Join(env, ", ") + ")"
	}
	return usage
}

// described is a name and what is said of it, wrapped beside it.
func described(name, text string, wide int) string {
	in := "\n" + strings.Repeat(" ", len(helpIn)+wide+2)
	first := fmt.Sprintf("%s%-*s  ", helpIn, wide, name)
	if utf8.RuneCountInString(name) > wide {
		first = helpIn + name + in
	}
	return first + strings.Join(screen.BrokenAt(text, helpWide-len(in)+1), in) + "\n"
}

// asTemplate is a text as the library takes it: a template, in which nothing is to be
// put in.
func asTemplate(s string) string { return strings.ReplaceAll(s, "{{", `{{"{{"}}`) }
