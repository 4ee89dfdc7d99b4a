package tell

import (
	"fmt"
	"io"
	"os"

	"golang.org/x/term"
)

// AskPassword asks a person for the password of a workbook, without showing
// what is typed. ok is false where in is no terminal, or nothing was typed.
func AskPassword(in *os.File, out io.Writer) (password string, ok bool) {
	if !term.IsTerminal(int(in.Fd())) {
		return "", false
	}
	if _, err := fmt.Fprint(out, "password of the workbook: "); err != nil {
		return "", false
	}
	typed, err := term.ReadPassword(int(in.Fd()))
	_, _ = fmt.Fprintln(out)
	return string(typed), err == nil && len(typed) > 0
}
