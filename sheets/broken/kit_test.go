package broken_test

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"hash/crc32"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets"
	"seamtally/sheets/sheetstest/shop"
)

// A broken file is priced in a process of its own, which may take so much memory
// and time. Both are far from what it takes: they end what would fill a machine
// or never end.
const (
	mostMemory = 512 << 20 // bytes
	mostTime   = time.Minute
)

// brokenDir names the folder of the files that the process is to price.
const brokenDir = "SEAMTALLY_TEST_BROKEN"

// verdict is what became of a file.
type verdict struct {
	Name, Error, Panic string
}

// TestPriceInAProcess is that process, and no test of its own.
func TestPriceInAProcess(t *testing.T) {
	dir := os.Getenv(brokenDir)
	if dir == "" {
		t.Skip("started by other tests")
	}
	to, err := os.Create(filepath.Join(dir, "verdicts"))
	require.NoError(t, err)
	defer to.Close()
	for _, name := range shop.FilesIn(t, filepath.Join(dir, "in")) {
		require.NoError(t, json.NewEncoder(to).Encode(priceBroken(t, dir, name)))
	}
	if status, err := os.ReadFile("/proc/self/status"); err == nil { // of Linux: proc(5)
		require.NoError(t, os.WriteFile(filepath.Join(dir, "status"), status, 0o600))
	}
}

// mostHeld is the most memory in bytes that the process has held at once, 0
// where that is not told.
func mostHeld(t *testing.T, dir string) int {
	t.Helper()
	status, err := os.ReadFile(filepath.Join(dir, "status"))
	if err != nil {
		return 0
	}
	_, rest, found := strings.Cut(string(status), "VmHWM:")
	require.True(t, found)
	var kb int
	_, err = fmt.Sscan(rest, &kb)
	require.NoError(t, err)
	return kb << 10
}

func priceBroken(t *testing.T, dir, name string) (v verdict) {
	v.Name = name
	defer func() {
		if p := recover(); p != nil {
			v.Panic = fmt.Sprint(p)
		}
	}()
	ctx, cancel := context.WithTimeout(t.Context(), mostTime)
	defer cancel()
	_, err := sheets.Price(ctx, sheets.PriceOptions{In: filepath.Join(dir, "in", name), Out: filepath.Join(dir, "out", name), Date: "2026-11-25"})
	if err != nil {
		v.Error = err.Error()
	}
	return v
}

// broken prices files, by name, and says of each how it was refused, "" if it
// was priced. What holds of all of them is seen to here: no panic, no hang,
// bounded memory, a reason that names the file and says what to do, and
// otherwise a workbook that another program opens, or could not open before.
func broken(t *testing.T, files map[string][]byte) map[string]string {
	t.Helper()
	dir := t.TempDir()
	for _, sub := range []string{"in", "out", "tmp"} {
		require.NoError(t, os.Mkdir(filepath.Join(dir, sub), 0o755))
	}
	for name, data := range files {
		require.NoError(t, os.WriteFile(filepath.Join(dir, "in", name+".xlsx"), data, 0o600))
	}
	ctx, cancel := context.WithTimeout(t.Context(), mostTime+time.Duration(len(files))*mostTime/10)
	defer cancel()
	cmd := exec.CommandContext(ctx, os.Args[0], "-test.run=^TestPriceInAProcess$")
	cmd.Env = append(os.Environ(), brokenDir+"="+dir, "TMPDIR="+filepath.Join(dir, "tmp"))
	out, err := cmd.CombinedOutput()
	all := verdictsIn(t, filepath.Join(dir, "verdicts"))
	require.NoError(t, err, "after %d of %d files: %.4000s", len(all), len(files), out)
	assert.Less(t, mostHeld(t, dir), mostMemory, "bytes of memory")
	t.Logf("%d files, %d MB", len(files), mostHeld(t, dir)>>20)
	require.Len(t, all, len(files))
	said := map[string]string{}
	var opened []string
	for _, v := range all {
		in, name := filepath.Join(dir, "in", v.Name), strings.TrimSuffix(v.Name, ".xlsx")
		require.Empty(t, v.Panic, v.Name)
		if v.Error == "" {
			// Others take minutes over much text, and over a merge of a whole sheet,
			// and do not know a part again by a name in capitals.
			if unpacked(t, filepath.Join(dir, "out", v.Name)) < 2<<20 && !strings.Contains(name, "of all") && !strings.Contains(name, "named") {
				opened = append(opened, v.Name)
			}
			said[name] = ""
			continue
		}
		assert.NoFileExists(t, filepath.Join(dir, "out", v.Name))
		assert.True(t, strings.HasPrefix(v.Error, in+": "), v.Error)
		assert.Contains(t, v.Error, "; ", "what to do")
		assert.NotContains(t, v.Error, "\n")
		assert.Less(t, len(v.Error), 1200, v.Error)
		said[name] = strings.TrimPrefix(v.Error, in+": ")
	}
	assert.Empty(t, shop.FilesIn(t, filepath.Join(dir, "tmp")), "temporary files")
	openedByOthers(t, dir, opened)
	return said
}

// unpacked is the size in bytes of all entries of an archive.
func unpacked(t *testing.T, path string) (sum uint64) {
	t.Helper()
	z, err := zip.OpenReader(path)
	require.NoError(t, err)
	defer z.Close()
	for _, f := range z.File {
		sum += f.UncompressedSize64
	}
	return sum
}

func verdictsIn(t *testing.T, path string) (all []verdict) {
	t.Helper()
	file, err := os.Open(path)
	require.NoError(t, err)
	defer file.Close()
	for d := json.NewDecoder(file); d.More(); {
		var v verdict
		require.NoError(t, d.Decode(&v))
		all = append(all, v)
	}
	return all
}

// openedByOthers demands that openpyxl opens what was written, unless it cannot
// open what it was made from either.
func openedByOthers(t *testing.T, dir string, names []string) {
	t.Helper()
	if exec.Command("/usr/bin/python3", "-c", "import openpyxl").Run() != nil {
		t.Log("openpyxl is not installed: what was written is not opened")
		return
	}
	const script = `
import sys, openpyxl
dir = sys.argv[1]
def opens(path):
    try:
        return "" if openpyxl.load_workbook(path).worksheets else "no sheets"
    except Exception as e:
        return repr(e)
for name in sys.stdin.read().split("\n"):
    if name and opens(dir + "/out/" + name) and not opens(dir + "/in/" + name):
        print(name, opens(dir + "/out/" + name))
`
	cmd := exec.CommandContext(t.Context(), "/usr/bin/python3", "-W", "ignore", "-c", script, dir)
	cmd.Stdin = strings.NewReader(strings.Join(names, "\n"))
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, string(out))
	assert.Empty(t, string(out), "not opened any more")
}

// zipEntry is one entry as it is written, with what its record claims.
type zipEntry struct {
	name  string
	data  []byte // as packed
	size  uint64 // unpacked, claimed
	crc   uint32
	way   uint16 // of packing
	flags uint16
}

// entriesOf are the parts of a package, unpacked, in the order of their names.
func entriesOf(parts map[string]string) (out []zipEntry) {
	for _, name := range slices.Sorted(maps.Keys(parts)) {
		out = append(out, stored(name, parts[name]))
	}
	return out
}

func stored(name, text string) zipEntry {
	return zipEntry{name: name, data: []byte(text), size: uint64(len(text)), crc: crc32.ChecksumIEEE([]byte(text))}
}

// zipOf writes entries whatever they claim (.ZIP file format specification,
// 4.3.7, 4.3.12, 4.3.16).
func zipOf(entries []zipEntry) []byte {
	var out, dir bytes.Buffer
	head := func(e zipEntry) []byte {
		h := binary.LittleEndian.AppendUint16(nil, 20)
		h = binary.LittleEndian.AppendUint16(h, e.flags)
		h = binary.LittleEndian.AppendUint16(h, e.way)
		h = binary.LittleEndian.AppendUint32(h, 0)
		h = binary.LittleEndian.AppendUint32(h, e.crc)
		h = binary.LittleEndian.AppendUint32(h, uint32(len(e.data)))
		h = binary.LittleEndian.AppendUint32(h, uint32(e.size))
		h = binary.LittleEndian.AppendUint16(h, uint16(len(e.name)))
		return binary.LittleEndian.AppendUint16(h, 0)
	}
	for _, e := range entries {
		at := out.Len()
		out.WriteString("PK\x03\x04")
		out.Write(head(e))
		out.WriteString(e.name)
		out.Write(e.data)
		dir.WriteString("PK\x01\x02\x14\x00")
		dir.Write(head(e))
		dir.Write(make([]byte, 10))
		dir.Write(binary.LittleEndian.AppendUint32(nil, uint32(at)))
		dir.WriteString(e.name)
	}
	end := binary.LittleEndian.AppendUint16([]byte("PK\x05\x06\x00\x00\x00\x00"), uint16(len(entries)))
	end = binary.LittleEndian.AppendUint16(end, uint16(len(entries)))
	end = binary.LittleEndian.AppendUint32(end, uint32(dir.Len()))
	end = binary.LittleEndian.AppendUint32(end, uint32(out.Len()))
	out.Write(dir.Bytes())
	out.Write(append(end, 0, 0))
	return out.Bytes()
}

// zeros packs so many zeros, without ever holding them.
func zeros(t *testing.T, name string, n int64) zipEntry {
	t.Helper()
	var buf bytes.Buffer
	w := zip.NewWriter(&buf)
	to, err := w.Create(name)
	require.NoError(t, err)
	_, err = io.CopyN(to, noughts{}, n)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	z, err := zip.NewReader(bytes.NewReader(buf.Bytes()), int64(buf.Len()))
	require.NoError(t, err)
	raw, err := z.File[0].OpenRaw()
	require.NoError(t, err)
	data, err := io.ReadAll(raw)
	require.NoError(t, err)
	return zipEntry{name: name, data: data, size: uint64(n), crc: z.File[0].CRC32, way: zip.Deflate}
}

// noughts reads as zeros, without end.
type noughts struct{}

func (noughts) Read(b []byte) (int, error) {
	clear(b)
	return len(b), nil
}
