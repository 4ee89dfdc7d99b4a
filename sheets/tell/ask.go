package tell

import (
	"fmt"
	"io"
	"os"
	"strings"

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

// mostPassword is the longest password in bytes that is read out of a file:
// what is longer is another file given by mistake.
const mostPassword = 4 << 10

// PasswordIn is the password that a text file holds: its first line, blanks
// and all.
func PasswordIn(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, mostPassword+1))
	if err != nil {
		return "", err
	}
	line, _, _ := strings.Cut(strings.TrimPrefix(string(text), "\ufeff"), "\n")
	line = strings.TrimSuffix(line, "\r")
	switch {
	case line == "":
		return "", fmt.Errorf("%s: its first line holds no password; write the workbook's there", path)
	case len(line) > mostPassword:
		return "", fmt.Errorf("%s: its first line is too long for a password; name a text file that holds nothing else", path)
	}
	return line, nil
}
