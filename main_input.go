package main

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"github.com/urfave/cli/v2"
	"golang.org/x/term"

	"seamtally/sheets/separated"
)

// standardInput is how the standard input is named in place of a FILE.
const standardInput = "-"

// spooling is what the folder is kept under into which the standard input was written.
const spooling = "spooling"

// spooled is FILE, or for - a file with what stands on the standard input: workbooks
// are read from any place in them. It is called as what it holds.
func spooled(c *cli.Context, path string) (string, error) {
	if path != standardInput {
		return path, nil
	}
	if term.IsTerminal(int(os.Stdin.Fd())) {
		return "", fmt.Errorf("- reads a file from standard input, and that is a terminal; for example: seamtally %s - < order.xlsx", c.Command.Name)
	}
	dir, err := os.MkdirTemp("", "seamtally-")
	if err != nil {
		return "", err
	}
	c.App.Metadata[spooling] = dir
	in := bufio.NewReader(os.Stdin)
	head, err := in.Peek(4)
	if err != nil && err != io.EOF {
		return "", fmt.Errorf("standard input: %w", err)
	}
	name := separated.StandardInput + ".csv"
	if bytes.HasPrefix(head, []byte("PK\x03\x04")) || bytes.Equal(head, []byte("\xD0\xCF\x11\xE0")) {
		name = separated.StandardInput + ".xlsx"
	}
	f, err := os.OpenFile(filepath.Join(dir, name), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return "", err
	}
	copied := make(chan error, 1)
	go func() {
		_, err := io.Copy(f, in)
		copied <- err
	}()
	select { // nobody may write any more
	case err = <-copied:
	case <-c.Context.Done():
		err = c.Context.Err()
	}
	if closed := f.Close(); err == nil {
		err = closed
	}
	return f.Name(), err
}

// unspool takes away what was spooled.
func unspool(app *cli.App) {
	if dir, ok := app.Metadata[spooling].(string); ok {
		_ = os.RemoveAll(dir) // the system clears its own temporary folder
	}
}

// needsOutput refuses a run on the standard input that names no output: it would go
// beside a file that is not there to stay.
func needsOutput(c *cli.Context) error {
	for _, f := range c.Command.Flags {
		if f.Names()[0] == "in-place" && !c.IsSet("output") && !c.Bool("dry-run") {
			return fmt.Errorf("%s reads standard input, and has no file to write beside; name one: seamtally %s - -o quote.xlsx", c.Command.Name, c.Command.Name)
		}
	}
	return nil
}
