package usage

import (
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"
)

// UnknownCommand is what runs if no command is named: help, or the nearest name.
func UnknownCommand(c *cli.Context) error {
	if c.NArg() == 0 {
		return cli.ShowAppHelp(c)
	}
	return fmt.Errorf("no command %q; the nearest is %s, and seamtally help lists all",
		c.Args().First(), nearestCommand(c))
}

// nearestCommand is the name of the command most like the one asked for.
func nearestCommand(c *cli.Context) string {
	var names []cli.Flag // the library compares the names of flags
	for _, command := range c.App.VisibleCommands() {
		names = append(names, &cli.BoolFlag{Name: command.Name})
	}
	return strings.TrimLeft(cli.SuggestFlag(names, c.Args().First(), true), "-")
}

// FlagError says in one line what is wrong with a flag.
func FlagError(c *cli.Context, err error, inCommand bool) error {
	flags, help, name := c.App.Flags, "seamtally help", "seamtally"
	if inCommand {
		flags, help, name = c.Command.Flags, "seamtally help "+c.Command.Name, c.Command.Name
	}
	text := err.Error()
	if given, ok := strings.CutPrefix(text, "flag provided but not defined: -"); ok {
		nearest := cli.SuggestFlag(flags, given, false)
		if nearest == "" {
			return fmt.Errorf("%s has no flag %s; %s lists all", name, dashed(given), help)
		}
		return fmt.Errorf("%s has no flag %s; the nearest is %s, and %s lists all", name, dashed(given), nearest, help)
	}
	if given, ok := strings.CutPrefix(text, "flag needs an argument: -"); ok {
		return fmt.Errorf("%s needs a value after it; see: %s", dashed(given), help)
	}
	return fmt.Errorf("%s: %s; see: %s", name, text, help)
}

// dashed is a flag as it is typed: one dash before a letter, two before a word.
func dashed(name string) string {
	if len(name) == 1 {
		return "-" + name
	}
	return "--" + name
}

// completeWord is what a shell ends a command line with whose last word it would have
// completed; the word follows.
const completeWord = "--complete-word="

// CompletingWord is the word that a shell would have completed, and the command line up
// to it.
func CompletingWord(args []string) (before []string, word string, ok bool) {
	if len(args) == 0 {
		return args, "", false
	}
	word, ok = strings.CutPrefix(args[len(args)-1], completeWord)
	return args[:len(args)-1], word, ok
}

// Typable are the commands, flags and shells that could come next on a command line:
// what is known without a workbook.
func Typable(app *cli.App, before []string, word string) (out []string) {
	command, flag, words := Unfinished(app, before)
	var all []string
	switch {
	case command == nil && len(before) == 1:
		for _, c := range app.VisibleCommands() {
			all = append(all, c.Name)
		}
	case command == nil, flag != "", slices.Contains(before, "--"):
	case strings.HasPrefix(word, "-"):
		for _, f := range command.VisibleFlags() {
			for _, name := range f.Names() {
				if len(name) > 1 {
					all = append(all, "--"+name)
				}
			}
		}
	case command.Name == "completion" && len(words) == 0:
		all = Shells()
	}
	for _, s := range all {
		if strings.HasPrefix(s, word) || word == "-" {
			out = append(out, s)
		}
	}
	return out
}

// Unfinished is what stands on a command line so far: the command, the flag whose value
// comes next, "" for none, and the words that are neither flags nor their values.
func Unfinished(app *cli.App, args []string) (command *cli.Command, flag string, words []string) {
	if len(args) < 2 || app.Command(args[1]) == nil {
		return nil, "", nil
	}
	command = app.Command(args[1])
	rest := args[2:]
	for len(rest) > 0 {
		arg := rest[0]
		rest = rest[1:]
		switch {
		case arg == "--":
			return command, "", append(words, rest...)
		case takesValue(command, arg) && len(rest) == 0:
			return command, firstName(command, arg), words
		case takesValue(command, arg):
			rest = rest[1:]
		case len(arg) > 1 && arg[0] == '-':
		default:
			words = append(words, arg)
		}
	}
	return command, "", words
}

// firstName is a flag by its first name.
func firstName(command *cli.Command, arg string) string {
	name := strings.TrimLeft(arg, "-")
	for _, f := range command.Flags {
		if slices.Contains(f.Names(), name) {
			return f.Names()[0]
		}
	}
	return name
}
