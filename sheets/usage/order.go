package usage

import (
	"slices"
	"strings"

	"github.com/urfave/cli/v2"
)

// FlagsFirst puts the flags of a command before its FILE: the library stops
// reading flags at the first word that is none. What follows -- stays behind it.
func FlagsFirst(app *cli.App, args []string) []string {
	if len(args) < 3 || app.Command(args[1]) == nil || Completing(args) {
		return args
	}
	command := app.Command(args[1])
	flags, words := []string{}, []string{}
	rest := args[2:]
	for len(rest) > 0 {
		arg := rest[0]
		rest = rest[1:]
		switch {
		case arg == "--":
			words = append(append([]string{"--"}, words...), rest...)
			rest = nil
		case slices.Contains(cli.HelpFlag.Names(), strings.TrimLeft(arg, "-")) && arg[0] == '-':
			return append(slices.Clip(args[:2]), arg) // the library would look for help on FILE
		case takesValue(command, arg) && len(rest) == 0:
			return slices.Concat(args[:2], flags, []string{arg}) // or FILE would be its value
		case takesValue(command, arg):
			flags = append(flags, arg, rest[0])
			rest = rest[1:]
		case len(arg) > 1 && arg[0] == '-':
			flags = append(flags, arg)
		default:
			words = append(words, arg)
		}
	}
	return slices.Concat(args[:2], flags, words)
}

// takesValue reports whether the word after the flag arg belongs to it.
func takesValue(command *cli.Command, arg string) bool {
	name := strings.TrimLeft(arg, "-") // with = in it, it is no flag's name
	if name == arg {
		return false
	}
	for _, f := range command.Flags {
		if _, yesOrNo := f.(*cli.BoolFlag); !yesOrNo && slices.Contains(f.Names(), name) {
			return true
		}
	}
	return false
}

// Completing reports whether a shell asks what could come next.
func Completing(args []string) bool {
	return len(args) > 1 && args[len(args)-1] == "--generate-bash-completion"
}
