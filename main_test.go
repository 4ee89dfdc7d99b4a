package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/urfave/cli/v2"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/sheetstest/shop"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"seamtally": main})
}

// The scripts find the demo orders in their folder as they come, demo.xlsx and
// demo-2.xlsx, and as they were before the shop set any rates (order.xlsx,
// order-metric.xlsx, and locked.xlsx, which is encrypted with the password tungsten).
// They have commands of their own: code, cell, number, assume and json.
func TestScripts(t *testing.T) {
	books := map[string][]byte{}
	for name, demo := range map[string]string{"demo.xlsx": "order.xlsx", "demo-2.xlsx": "order-2.xlsx"} {
		books[name] = []byte(shop.Content(t, shop.Demo(demo)))
	}
	for _, name := range []string{"order.xlsx", "order-metric.xlsx"} {
		books[name] = []byte(shop.Content(t, shop.Unpriced(t, name)))
	}
	var err error
	books["locked.xlsx"], err = excelize.Encrypt(books["order.xlsx"], &excelize.Options{Password: "tungsten"})
	require.NoError(t, err)
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join("testdata", "script"),
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(env *testscript.Env) error {
			for name, book := range books {
				if err := os.WriteFile(filepath.Join(env.WorkDir, name), book, 0o666); err != nil {
					return err
				}
			}
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"code": exitCode, "cell": typeCell, "number": typeNumber, "assume": typeAssumption, "json": jsonHas,
			"comment": typeComment, "box": drawBox, "header": typeHeader,
		},
	})
}

// exitCode is "code N program args...": the program must end with just that.
func exitCode(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: code N program args...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			ts.Fatalf("%s: %v", args[1], err)
		}
		got = exit.ExitCode()
	}
	if got != want {
		ts.Fatalf("exit code %d, want %d", got, want)
	}
}

// typeNumber is "number book sheet!ref x": the number is typed into that cell.
func typeNumber(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: number book sheet!ref x")
	}
	sheet, ref, _ := strings.Cut(args[1], "!")
	x, err := strconv.ParseFloat(args[2], 64)
	ts.Check(err)
	path := ts.MkAbs(args[0])
	book, err := excelize.OpenFile(path)
	ts.Check(err)
	ts.Check(book.SetCellValue(sheet, ref, x))
	ts.Check(book.SaveAs(path))
	ts.Check(book.Close())
}

// typeAssumption is "assume book key value": a number or a text is typed as the
// value of that single assumption.
func typeAssumption(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: assume book key value")
	}
	path := ts.MkAbs(args[0])
	book, err := excelize.OpenFile(path)
	ts.Check(err)
	rows, err := book.GetRows("Assumptions")
	ts.Check(err)
	row := slices.IndexFunc(rows, func(r []string) bool { return len(r) > 0 && r[0] == args[1] })
	if row < 0 {
		ts.Fatalf("no assumption %s", args[1])
	}
	var value any = args[2]
	if x, err := strconv.ParseFloat(args[2], 64); err == nil {
		value = x
	}
	ts.Check(book.SetCellValue("Assumptions", fmt.Sprint("C", row+1), value))
	ts.Check(book.SaveAs(path))
	ts.Check(book.Close())
}

// typeCell is "cell book sheet!ref text": the text is typed into that cell.
func typeCell(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: cell book sheet!ref text")
	}
	sheet, ref, _ := strings.Cut(args[1], "!")
	inBook(ts, args[0], func(book *excelize.File) error { return book.SetCellStr(sheet, ref, args[2]) })
}

// typeComment is "comment book author sheet!ref text...": comments at those cells, as a
// spreadsheet begins them with who writes them. The book has none yet: the library would
// write a part twice.
func typeComment(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 4 || len(args)%2 > 0 {
		ts.Fatalf("usage: comment book author sheet!ref text...")
	}
	inBook(ts, args[0], func(book *excelize.File) error {
		for i := 2; i < len(args); i += 2 {
			sheet, ref, _ := strings.Cut(args[i], "!")
			err := book.AddComment(sheet, excelize.Comment{Cell: ref, Author: args[1], Paragraph: []excelize.RichTextRun{
				{Text: args[1] + ":", Font: &excelize.Font{Bold: true}}, {Text: "\n" + args[i+1]},
			}})
			if err != nil {
				return err
			}
		}
		return nil
	})
}

// drawBox is "box book sheet!ref text": a text box that hangs on the cell.
func drawBox(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: box book sheet!ref text")
	}
	inBook(ts, args[0], func(book *excelize.File) error {
		sheet, ref, _ := strings.Cut(args[1], "!")
		return book.AddShape(sheet, &excelize.Shape{Cell: ref, Type: "rect", Paragraph: []excelize.RichTextRun{{Text: args[2]}}})
	})
}

// typeHeader is "header book sheet text": the text, with its codes, heads the pages.
func typeHeader(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: header book sheet text")
	}
	inBook(ts, args[0], func(book *excelize.File) error {
		return book.SetHeaderFooter(args[1], &excelize.HeaderFooterOptions{OddHeader: args[2]})
	})
}

// inBook changes a workbook as another program does.
func inBook(ts *testscript.TestScript, name string, change func(*excelize.File) error) {
	path := ts.MkAbs(name)
	book, err := excelize.OpenFile(path)
	ts.Check(err)
	ts.Check(change(book))
	ts.Check(book.SaveAs(path))
	ts.Check(book.Close())
}

// jsonHas is "json file path...": the file is one JSON value that has something
// at each path, such as cars.0.car_welds; path=value says what.
func jsonHas(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) < 2 {
		ts.Fatalf("usage: [!] json file path[=value]...")
	}
	d := json.NewDecoder(strings.NewReader(ts.ReadFile(args[0])))
	d.UseNumber()
	var all any
	ts.Check(d.Decode(&all))
	if d.More() {
		ts.Fatalf("more than one JSON value")
	}
	for _, arg := range args[1:] {
		path, want, valued := strings.Cut(arg, "=")
		at, found := all, true
		for key := range strings.SplitSeq(path, ".") {
			switch in := at.(type) {
			case map[string]any:
				at, found = in[key]
			case []any:
				i, err := strconv.Atoi(key)
				found = err == nil && i < len(in)
				if found {
					at = in[i]
				}
			default:
				found = false
			}
			if !found {
				break
			}
		}
		if found == neg {
			ts.Fatalf("%s: found %t", path, found)
		}
		if valued {
			var got bytes.Buffer
			e := json.NewEncoder(&got)
			e.SetEscapeHTML(false)
			ts.Check(e.Encode(at))
			if text := strings.Trim(got.String(), "\"\n"); text != want {
				ts.Fatalf("%s is %s, want %s", path, text, want)
			}
		}
	}
}

// A run that is stopped says so and leaves nothing behind.
func TestStopped(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	dir := t.TempDir()
	out := filepath.Join(dir, "priced.xlsx")
	var stdout, stderr bytes.Buffer
	code := run(ctx, []string{"seamtally", "price", filepath.Join("testdata", "order.xlsx"), "-o", out}, &stdout, &stderr)
	assert.Equal(t, exitNothing, code)
	assert.Equal(t, "seamtally: stopped; nothing was written\n", stderr.String())
	assert.Empty(t, stdout.String())
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Empty(t, left)
}

// The manual page has each command, each flag, and all that is read from the
// environment.
func TestManualIsWhole(t *testing.T) {
	var stdout, stderr bytes.Buffer
	require.Zero(t, run(t.Context(), []string{"seamtally", "manual"}, &stdout, &stderr), &stderr)
	all, environment, _ := strings.Cut(stdout.String(), "\n.SH ENVIRONMENT\n")
	for _, c := range newApp(&stdout, &stderr).Commands {
		_, of, found := strings.Cut(all, "\n.SS "+c.Name+"\n")
		require.True(t, found, c.Name)
		of, _, _ = strings.Cut(of, "\n.SS ")
		for _, f := range c.Flags {
			assert.Contains(t, of, `\fB\-\-`+strings.ReplaceAll(f.Names()[0], "-", `\-`)+`\fR`, c.Name)
			for _, name := range f.(cli.DocGenerationFlag).GetEnvVars() {
				assert.Contains(t, environment, "\n.B "+name+"\n")
			}
		}
	}
	assert.Contains(t, environment, "\n.B SOURCE_DATE_EPOCH\n")
	assert.Contains(t, environment, "\n.B "+usualFrom+"\n")
}

// Every command is among those that help puts in order.
func TestHelpHasEveryCommandInItsPlace(t *testing.T) {
	var stdout, stderr bytes.Buffer
	require.Zero(t, run(t.Context(), []string{"seamtally", "help"}, &stdout, &stderr), &stderr)
	assert.NotContains(t, stdout.String(), "Others:")
	for _, c := range newApp(&stdout, &stderr).Commands {
		if c.Name != "help" {
			assert.Contains(t, stdout.String(), "\n   "+c.Name+" ")
		}
	}
}

// Figures that could not be printed are no reason to say that nothing was
// written, nor to end as if all were well.
func TestUntold(t *testing.T) {
	out := filepath.Join(t.TempDir(), "priced.xlsx")
	var stderr bytes.Buffer
	code := run(t.Context(), []string{"seamtally", "price", filepath.Join("testdata", "order.xlsx"), "-o", out, "--json"}, full{}, &stderr)
	assert.Equal(t, exitNotAll, code)
	assert.Equal(t, "seamtally: the workbook is done, but not all could be said of it: disk full\n", stderr.String())
	assert.FileExists(t, out)
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("disk full") }

// ends says how a program may be ended from outside, and how often the test
// does each.
func ends() map[os.Signal]int {
	n := 12
	switch {
	case testing.Short():
		n = 3
	case os.Getenv("CI") != "":
		n = 240
	}
	return map[os.Signal]int{os.Kill: n, os.Interrupt: n / 3, syscall.SIGTERM: n / 3}
}

// A run in place that is ended at any moment, by whatever means, leaves the old
// workbook or the new one, whole, and nothing beside it that the next run does
// not take away. One that can still
// speak says which.
func TestEndedAtAnyMoment(t *testing.T) {
	run, old := inPlace(t)
	began := time.Now()
	_, err := run(func(*os.Process) {})
	require.NoError(t, err)
	whole := time.Since(began)
	priced := run.workbook(t)
	require.NotEqual(t, old, priced)

	for how, times := range ends() {
		stopped := 0
		for i := range times {
			run.put(t, old)
			// The first comes at once; every second one late, where files change.
			wait := whole * time.Duration(i) / time.Duration(times)
			if i%2 == 1 {
				wait = whole*3/4 + wait/2
			}
			said, err := run(func(p *os.Process) {
				time.Sleep(wait)
				_ = p.Signal(how) // it may have ended by itself
			})
			got := run.workbook(t)
			switch {
			case err == nil:
				require.Equal(t, priced, got, "%v after %v", how, wait)
			case bytes.Equal(got, priced):
				require.Equal(t, os.Kill, how, "it had written, and ended with %v: %s", err, said)
			default:
				require.Equal(t, old, got, "%v after %v: neither the old workbook nor the new", how, wait)
				stopped++
			}
			if how != os.Kill && err != nil {
				require.Contains(t, []string{"seamtally: stopped; nothing was written\n", ""}, said, "%v after %v", how, wait)
			}
			if how != os.Kill {
				run.clean(t)
				continue
			}
			// Killed just before the new workbook takes its place, it leaves that.
			for _, left := range drafts(t) {
				book, err := os.ReadFile(left)
				require.NoError(t, err)
				require.Equal(t, priced, book, "%s after %v", left, wait)
			}
		}
		assert.NotZero(t, stopped, "%v was never in time", how)
		run.put(t, old)
		_, err := run(func(*os.Process) {})
		require.NoError(t, err)
		run.clean(t)
	}
}

// What a killed run left is gone after the next one.
func TestLeftByAKilledRun(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("elsewhere drafts have names of their own")
	}
	run, old := inPlace(t)
	left := fmt.Sprintf(".seamtally-%08x.tmp", crc32.ChecksumIEEE([]byte("order.xlsx")))
	require.NoError(t, os.WriteFile(left, old, 0o600))
	_, err := run(func(*os.Process) {})
	require.NoError(t, err)
	assert.NotEqual(t, old, run.workbook(t))
	run.clean(t)
}

// drafts are the files that were to take the workbook's place.
func drafts(t *testing.T) []string {
	all, err := filepath.Glob(".seamtally-*.tmp")
	require.NoError(t, err)
	require.LessOrEqual(t, len(all), 1)
	return all
}

// Two runs at once on one file: at least one writes it, and the other says that
// it could not, or finds nothing to do.
func TestTwoAtOnce(t *testing.T) {
	run, old := inPlace(t)
	_, err := run(func(*os.Process) {})
	require.NoError(t, err)
	priced := run.workbook(t)
	for range min(ends()[os.Kill], 30) {
		run.put(t, old)
		type end struct {
			said string
			err  error
		}
		other := make(chan end)
		go func() {
			said, err := run(func(*os.Process) {})
			other <- end{said, err}
		}()
		said, err := run(func(*os.Process) {})
		both := []end{{said, err}, <-other}
		written := 0
		for _, e := range both {
			if e.err == nil {
				written++
			} else {
				require.Contains(t, e.said, "was changed while")
			}
		}
		require.NotZero(t, written, "%v", both)
		require.Equal(t, priced, run.workbook(t))
		run.clean(t)
	}
}

// inPlaceRun prices the workbook of a folder in place, in a process of its own
// that is handed to during.
type inPlaceRun func(during func(*os.Process)) (said string, err error)

// inPlace puts the demo order into a folder and gives its bytes.
func inPlace(t *testing.T) (run inPlaceRun, old []byte) {
	program := ofItsOwn(t)
	t.Chdir(t.TempDir())
	require.NoError(t, os.Mkdir("temp", 0o700))
	old, err := os.ReadFile(filepath.Join(filepath.Dir(sources(t)), "testdata", "order.xlsx"))
	require.NoError(t, err)
	run = func(during func(*os.Process)) (string, error) {
		var said bytes.Buffer
		cmd := exec.CommandContext(t.Context(), program, "price", "-q", "--in-place", "--date", "2026-11-25", "order.xlsx")
		cmd.Env = append(os.Environ(), "TMPDIR=temp")
		cmd.Stderr = &said
		if err := cmd.Start(); err != nil {
			return "", err
		}
		during(cmd.Process)
		err := cmd.Wait()
		return said.String(), err
	}
	run.put(t, old)
	return run, old
}

// ofItsOwn is the program as a file, to be run in a process of its own.
func ofItsOwn(t *testing.T) (program string) {
	if runtime.GOOS == "windows" {
		t.Skip("signals, terminals, and a program under another name, are had on unix")
	}
	self, err := os.Executable()
	require.NoError(t, err)
	program = filepath.Join(t.TempDir(), "seamtally") // the name that TestMain goes by
	require.NoError(t, os.Symlink(self, program))
	return program
}

// sources is a file of this package.
func sources(t *testing.T) string {
	_, file, _, ok := runtime.Caller(0)
	require.True(t, ok)
	return file
}

func (inPlaceRun) put(t *testing.T, book []byte) {
	require.NoError(t, os.WriteFile("order.xlsx", book, 0o600))
}

func (inPlaceRun) workbook(t *testing.T) []byte {
	book, err := os.ReadFile("order.xlsx")
	require.NoError(t, err)
	return book
}

// clean fails if there is litter.
func (inPlaceRun) clean(t *testing.T) {
	for dir, want := range map[string]int{".": 2, "temp": 0} {
		all, err := os.ReadDir(dir)
		require.NoError(t, err)
		require.Len(t, all, want, "%v", all)
	}
}
