package usage

import (
	"embed"
	"fmt"
	"io"
	"slices"
	"strings"
)

//go:embed completion.bash completion.zsh completion.fish
var scripts embed.FS

// Shells are the shells that there is completion for.
func Shells() []string { return []string{"bash", "fish", "zsh"} }

// Completion writes the script that teaches a shell the program's commands and
// flags, and what of the workbook that is named can come next. Those of bash and zsh
// ask the program itself at each turn; fish takes the list of commands and flags at
// once, from the function given. The error names the shells if it is none of them.
func Completion(w io.Writer, shell string, fish func() (string, error)) error {
	if !slices.Contains(Shells(), shell) {
		return fmt.Errorf("no completion for %q; it is one of %s", shell, strings.Join(Shells(), ", "))
	}
	script, err := scripts.ReadFile("completion." + shell)
	if err != nil {
		return err
	}
	if shell == "fish" {
		list, err := fish()
		if err != nil {
			return fmt.Errorf("completion for fish: %w", err)
		}
		script = append([]byte(list), script...)
	}
	_, err = w.Write(script)
	return err
}
