package usage

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/urfave/cli/v2"
	"pgregory.net/rapid"
)

// An invented program with a flag of each kind.
func boil() *cli.App {
	return &cli.App{Commands: []*cli.Command{{Name: "boil", Flags: []cli.Flag{
		&cli.BoolFlag{Name: "soft", Aliases: []string{"s"}},
		&cli.PathFlag{Name: "pot", Aliases: []string{"p"}},
	}}}}
}

func TestFlagsFirst(t *testing.T) {
	for given, want := range map[string]string{
		"x boil egg":                            "x boil egg",
		"x boil egg --soft":                     "x boil --soft egg",
		"x boil egg -p tin -s":                  "x boil -p tin -s egg",
		"x boil --pot=tin egg":                  "x boil --pot=tin egg",
		"x boil egg --pot=tin":                  "x boil --pot=tin egg",
		"x boil egg ham --soft":                 "x boil --soft egg ham",
		"x boil egg -p":                         "x boil -p", // so that the library says what lacks
		"x boil egg --nosuch":                   "x boil --nosuch egg",
		"x boil -s -- -egg --soft":              "x boil -s -- -egg --soft",
		"x boil egg -s -- --soft":               "x boil -s -- egg --soft",
		"x boil egg -h":                         "x boil -h",
		"x boil -":                              "x boil -",
		"x boil pot egg":                        "x boil pot egg", // a FILE named like a flag
		"x boil -p -s egg":                      "x boil -p -s egg",
		"x fry egg --soft":                      "x fry egg --soft",
		"x --soft boil egg":                     "x --soft boil egg",
		"x boil":                                "x boil",
		"x":                                     "x",
		"x boil egg --generate-bash-completion": "x boil egg --generate-bash-completion",
	} {
		assert.Equal(t, want, strings.Join(FlagsFirst(boil(), strings.Fields(given)), " "), given)
	}
}

// However the words stand, the command gets the same flags and files.
func TestFlagsMayStandAnywhere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		flags := [][]string{{"-s"}, {"--pot", "tin"}}
		words := []string{"egg", "ham", "pot"}
		args := []string{"x", "boil"}
		for len(flags)+len(words) > 0 {
			if len(words) == 0 || len(flags) > 0 && rapid.Bool().Draw(t, "flag next") {
				args, flags = append(args, flags[0]...), flags[1:]
				continue
			}
			args, words = append(args, words[0]), words[1:]
		}
		app := boil()
		called := false
		app.Commands[0].Action = func(c *cli.Context) error {
			called = c.Bool("soft") && c.Path("pot") == "tin" && strings.Join(c.Args().Slice(), " ") == "egg ham pot"
			return nil
		}
		if err := app.Run(FlagsFirst(app, args)); err != nil || !called {
			t.Fatalf("%q: error %v, called as meant %t", args, err, called)
		}
	})
}
