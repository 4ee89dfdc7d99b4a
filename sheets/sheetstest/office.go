package sheetstest

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"sort"
	"testing"
	"time"
)

// officeTime is the longest that one start of LibreOffice may take. It ends a
// hang; no test measures it.
const officeTime = 5 * time.Minute

// alwaysRecalculate is the only setting of the throw-away profile: formulas
// from xlsx files are worked out anew on load, never (1) and ask (2) being the
// other choices.
const alwaysRecalculate = `<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>
`

// NeedLibreOffice skips the test when LibreOffice is not installed. Where the
// environment variable CI is set the check must not be lost in silence, so
// there the test fails instead. Short runs go without: LibreOffice takes most of
// the time of all tests, and is no program for the race detector.
func NeedLibreOffice(t testing.TB) {
	t.Helper()
	if testing.Short() {
		t.Skip("needs LibreOffice, which short runs go without")
	}
	if _, err := officePath(); err != nil {
		missing(t, "LibreOffice is not installed (no soffice or libreoffice on the path), so nothing can recalculate the workbook")
	}
}

func missing(t testing.TB, what string) {
	t.Helper()
	if os.Getenv("CI") != "" {
		t.Fatal(what)
	}
	t.Skip(what)
}

func officePath() (string, error) {
	for _, name := range []string{"soffice", "libreoffice"} {
		if path, err := exec.LookPath(name); err == nil {
			return path, nil
		}
	}
	return "", exec.ErrNotFound
}

// Recalculate gives the cells of the workbook at path as LibreOffice works them
// out from the formulas and the constants alone. The workbook is not touched.
func Recalculate(t testing.TB, path string) Grid {
	t.Helper()
	return RecalculateAll(t, path)[0]
}

// RecalculateAll does the same for several workbooks in one start of
// LibreOffice, which takes longer than a small workbook does. The grids come in
// the order of the paths.
func RecalculateAll(t testing.TB, paths ...string) []Grid {
	t.Helper()
	NeedLibreOffice(t)
	dir := t.TempDir()
	out := filepath.Join(dir, "out")
	copies := make([]string, len(paths))
	for i, path := range paths {
		// Numbered names: two workbooks may share one.
		copies[i] = filepath.Join(dir, fmt.Sprintf("%04d%s", i, filepath.Ext(path)))
		if _, err := stripStored(path, copies[i]); err != nil {
			t.Fatalf("copying %s without its stored values: %v", path, err)
		}
	}
	if err := convert(dir, "xlsx:Calc MS Excel 2007 XML", out, copies...); err != nil {
		t.Fatalf("recalculating %v: %v", paths, err)
	}
	grids := make([]Grid, len(paths))
	for i, path := range paths {
		result := filepath.Join(out, fmt.Sprintf("%04d.xlsx", i))
		g, err := readGrid(result)
		if err != nil {
			t.Fatalf("%s, recalculated: %v", path, err)
		}
		grids[i] = g
	}
	return grids
}

// ToPNG prints every page of the workbook at path to outDir/page-N.png, for the
// eye, and returns the files in order of the pages. It needs pdftoppm too, and
// skips or fails as [NeedLibreOffice] does.
func ToPNG(t testing.TB, path, outDir string) []string {
	t.Helper()
	NeedLibreOffice(t)
	pdftoppm, err := exec.LookPath("pdftoppm")
	if err != nil {
		missing(t, "pdftoppm is not installed, so no page can be shown")
	}
	dir := t.TempDir()
	if err := convert(dir, "pdf:calc_pdf_Export", dir, path); err != nil {
		t.Fatalf("printing %s: %v", path, err)
	}
	name := filepath.Base(path)
	pdf := filepath.Join(dir, name[:len(name)-len(filepath.Ext(name))]+".pdf")
	if err := os.MkdirAll(outDir, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := run(pdftoppm, "-png", "-r", "80", pdf, filepath.Join(outDir, "page")); err != nil {
		t.Fatalf("turning %s into pictures: %v", path, err)
	}
	pages, err := filepath.Glob(filepath.Join(outDir, "page-*.png"))
	if err != nil {
		t.Fatal(err)
	}
	if len(pages) == 0 {
		t.Fatalf("%s has no printed page", path)
	}
	sort.Strings(pages) // pdftoppm pads the numbers
	return pages
}

// convert turns files into the given format, in outDir. Each call has a profile
// of its own under dir, so that calls may run side by side: LibreOffice locks
// its profile, and a second start with the same one would only talk to the
// first.
func convert(dir, format, outDir string, files ...string) error {
	office, err := officePath()
	if err != nil {
		return err
	}
	profile := filepath.Join(dir, "profile")
	if err := os.MkdirAll(filepath.Join(profile, "user"), 0o755); err != nil {
		return err
	}
	settings := filepath.Join(profile, "user", "registrymodifications.xcu")
	if err := os.WriteFile(settings, []byte(alwaysRecalculate), 0o644); err != nil {
		return err
	}
	home := url.URL{Scheme: "file", Path: filepath.ToSlash(profile)}
	args := []string{"-env:UserInstallation=" + home.String(), "--headless", "--norestore",
		"--convert-to", format, "--outdir", outDir}
	if err := run(office, append(args, files...)...); err != nil {
		return err
	}
	// It ends with 0 even when a file could not be loaded.
	made, err := os.ReadDir(outDir)
	if err != nil {
		return err
	}
	if len(made) < len(files) {
		return fmt.Errorf("LibreOffice made %d of %d files", len(made), len(files))
	}
	return nil
}

func run(name string, args ...string) error {
	ctx, cancel := context.WithTimeout(context.Background(), officeTime)
	defer cancel()
	cmd := exec.CommandContext(ctx, name, args...)
	var talk bytes.Buffer
	cmd.Stdout, cmd.Stderr = &talk, &talk
	stopWithChildren(cmd)
	cmd.WaitDelay = 10 * time.Second
	err := cmd.Run()
	if ctx.Err() != nil {
		err = errors.Join(fmt.Errorf("stopped after %v", officeTime), err)
	}
	if err != nil {
		return fmt.Errorf("%s: %w\n%s", filepath.Base(name), err, talk.Bytes())
	}
	return nil
}

// SavedAgain is a copy of the workbook as LibreOffice saves it.
func SavedAgain(t testing.TB, path string) string {
	t.Helper()
	NeedLibreOffice(t)
	dir := t.TempDir()
	out := filepath.Join(dir, "out")
	if err := convert(dir, "xlsx:Calc MS Excel 2007 XML", out, path); err != nil {
		t.Fatalf("saving %s again: %v", path, err)
	}
	return filepath.Join(out, filepath.Base(path))
}
