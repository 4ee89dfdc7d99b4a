package main

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/creack/pty"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"golang.org/x/term"

	"seamtally/sheets/sheetstest/shop"
)

// A person who is asked for the password may type it, or end the program by
// whatever means: the terminal shows again what is typed.
func TestPasswordAsked(t *testing.T) {
	program := ofItsOwn(t)
	book, err := os.ReadFile(filepath.Join("testdata", "order.xlsx"))
	require.NoError(t, err)
	locked, err := excelize.Encrypt(book, &excelize.Options{Password: "tungsten"})
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("locked.xlsx", locked, 0o600))

	const prompt = "password of the workbook: "
	types := func(keys string) func(*os.Process, *os.File) error {
		return func(_ *os.Process, keyboard *os.File) error {
			_, err := keyboard.WriteString(keys)
			return err
		}
	}
	sends := func(how os.Signal) func(*os.Process, *os.File) error {
		return func(p *os.Process, _ *os.File) error { return p.Signal(how) }
	}
	const (
		stopped  = "\r\nseamtally: stopped; nothing was written\r\n"
		unopened = "\r\nseamtally: locked.xlsx: the workbook is encrypted; give its password with --password or --password-file, or in SEAMTALLY_PASSWORD\r\n"
	)
	for name, c := range map[string]struct {
		does func(*os.Process, *os.File) error
		code int
		says string
	}{
		"Ctrl-C":                 {types("\x03"), exitNothing, stopped},
		"Ctrl-C in the password": {types("tung\x03"), exitNothing, stopped},
		"SIGINT":                 {sends(os.Interrupt), exitNothing, stopped},
		"SIGTERM":                {sends(syscall.SIGTERM), exitNothing, stopped},
		"Ctrl-D":                 {types("\x04"), exitNothing, unopened},
		"wrong":                  {types("argon\r"), exitNothing, "\r\nseamtally: locked.xlsx: the password does not open the workbook; check it\r\n"},
		"right":                  {types("tungstem\x7fn\r"), 0, "\r\n"},
	} {
		t.Run(name, func(t *testing.T) {
			keyboard, terminal, err := pty.Open()
			require.NoError(t, err)
			defer keyboard.Close()
			defer terminal.Close()
			was, err := term.GetState(int(terminal.Fd()))
			require.NoError(t, err)

			cmd := exec.CommandContext(t.Context(), program, "price", "-q", "--dry-run", "locked.xlsx")
			cmd.Stdin, cmd.Stderr = terminal, terminal
			require.NoError(t, cmd.Start())
			shown := readUntil(t, keyboard, prompt)
			assert.Equal(t, prompt, shown)
			asked, err := term.GetState(int(terminal.Fd()))
			require.NoError(t, err)
			assert.NotEqual(t, was, asked)
			require.NoError(t, c.does(cmd.Process, keyboard))
			code := 0
			if err := cmd.Wait(); err != nil {
				var exit *exec.ExitError
				require.True(t, errors.As(err, &exit), err)
				code = exit.ExitCode()
			}
			assert.Equal(t, c.code, code)

			now, err := term.GetState(int(terminal.Fd()))
			require.NoError(t, err)
			require.Equal(t, was, now)
			_, err = keyboard.WriteString("seen\r")
			require.NoError(t, err)
			assert.Equal(t, c.says+"seen", readUntil(t, keyboard, "seen"))
		})
	}
}

// The password of the workbook whose rates are taken is asked for by its name, also
// where the other has one too.
func TestPasswordOfTheEarlierAsked(t *testing.T) {
	program := ofItsOwn(t)
	encrypt := func(path, password string) {
		book, err := os.ReadFile(path)
		require.NoError(t, err)
		locked, err := excelize.Encrypt(book, &excelize.Options{Password: password})
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(path, locked, 0o600))
	}
	book, err := os.ReadFile(shop.Unpriced(t, "order.xlsx"))
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("order.xlsx", book, 0o600))
	require.NoError(t, exec.CommandContext(t.Context(), program, "price", "-q", "order.xlsx", "-o", "last.xlsx").Run())
	encrypt("order.xlsx", "tungsten")
	encrypt("last.xlsx", "argon")

	keyboard, terminal, err := pty.Open()
	require.NoError(t, err)
	defer keyboard.Close()
	defer terminal.Close()
	cmd := exec.CommandContext(t.Context(), program, "price", "-q", "--dry-run", "--from", "last.xlsx", "order.xlsx")
	cmd.Stdin, cmd.Stderr = terminal, terminal
	require.NoError(t, cmd.Start())
	for _, ask := range [][2]string{{"the workbook", "tungsten"}, {"last.xlsx", "argon"}} {
		readUntil(t, keyboard, "password of "+ask[0]+": ")
		_, err = keyboard.WriteString(ask[1] + "\r")
		require.NoError(t, err)
	}
	require.NoError(t, cmd.Wait())
}

// readUntil is what a terminal shows, up to a text.
func readUntil(t *testing.T, terminal *os.File, end string) string {
	var shown bytes.Buffer
	one := make([]byte, 1)
	for !bytes.HasSuffix(shown.Bytes(), []byte(end)) {
		n, err := terminal.Read(one)
		require.NoError(t, err, shown.String())
		shown.Write(one[:n])
	}
	return shown.String()
}
