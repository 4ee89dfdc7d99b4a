package tell

import (
	"fmt"
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

// UsageError says in one line what is wrong with a flag.
func UsageError(c *cli.Context, err error, inCommand bool) error {
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
