package tell

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"strings"

	"golang.org/x/term"
)

// AskPassword asks a person for the password of a workbook, without showing
// what is typed. It is "" where in is no terminal, or nothing was typed. Whoever
// ends the question with Ctrl-C or a signal gets the terminal back as it was.
func AskPassword(ctx context.Context, of string, in *os.File, out io.Writer) (password string, err error) {
	// All keys are read raw, Ctrl-C too. A terminal that only hides them would
	// send a signal, which does not end the reading: this function could not
	// return, and what it has changed of the terminal would stay.
	was, err := term.MakeRaw(int(in.Fd()))
	if err != nil {
		return "", nil
	}
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	typed := make(chan string, 1)
	go func() {
		line, _ := term.NewTerminal(keys{in, out, stop}, "").ReadPassword("password of " + plain(of) + ": ")
		typed <- line
	}()
	select {
	case password = <-typed:
	case <-ctx.Done():
	}
	if err := term.Restore(int(in.Fd()), was); err != nil {
		return "", err
	}
	if password == "" {
		_, _ = fmt.Fprintln(out) // nobody has pressed Enter
	}
	return password, ctx.Err()
}

// keys is a terminal whose Ctrl-C does something.
type keys struct {
	io.Reader
	io.Writer
	interrupt func()
}

func (k keys) Read(into []byte) (int, error) {
	const ctrlC = 3
	n, err := k.Reader.Read(into)
	if bytes.IndexByte(into[:n], ctrlC) >= 0 {
		k.interrupt()
	}
	return n, err
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
