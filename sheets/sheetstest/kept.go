package sheetstest

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
)

// Ours says where in a package the program writes: worksheet parts, by name,
// and the first and last column there that are the program's. {0, 0} allows
// none: the part may be written anew, and must say what it said.
type Ours map[string][2]int

// Kept compares a package that the program has written with the one that it
// was made from, and lists what was lost or changed that is not the program's
// to change. Every entry that holds nothing of ours must be the same in its
// compressed bytes and its header. The sheets of joints, the workbook, its
// relationships, the content types, the styles and the tables on those sheets
// are compared as trees of XML, in which the program may add what is its own
// and change nothing else.
func Kept(before, after string, ours Ours) (differ []string, err error) {
	a, err := zip.OpenReader(before)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, a.Close()) }()
	b, err := zip.OpenReader(after)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, b.Close()) }()
	k := &keeping{ours: ours, places: places{"": ""}}
	if err := k.findPlaces(&a.Reader); err != nil {
		return nil, err
	}
	if a.Comment != b.Comment {
		k.say("the archive's comment %q is now %q", a.Comment, b.Comment)
	}
	was := make([]*zip.File, 0, len(a.File))
	for _, f := range a.File {
		if !k.mayGo(f.Name) {
			was = append(was, f)
		}
	}
	for i, f := range was {
		if i >= len(b.File) || b.File[i].Name != f.Name {
			k.say("%s is lost, or stands elsewhere in the archive", f.Name)
			break
		}
		if err := k.entry(f, b.File[i]); err != nil {
			return nil, err
		}
	}
	for _, f := range b.File[min(len(was), len(b.File)):] {
		if !k.mayCome(f.Name) {
			k.say("%s is new", f.Name)
		}
	}
	return k.differ, nil
}

// places are parts by name, and the kind of what they hold.
type places map[string]string

// The kinds of part that the program adds to.
const (
	partTypes    = "content types"
	partRels     = "workbook relationships"
	partWorkbook = "workbook"
	partStyles   = "styles"
	partChain    = "calculation chain"
	partSheet    = "sheet of joints"
	partTable    = "table"
)

type keeping struct {
	ours   Ours
	places places
	differ []string
}

func (k *keeping) say(format string, a ...any) {
	k.differ = append(k.differ, fmt.Sprintf(format, a...))
}

// findPlaces finds the parts that the program adds to, by the relationships
// that lead to them.
func (k *keeping) findPlaces(z *zip.Reader) error {
	k.places["[Content_Types].xml"] = partTypes
	book, err := targets(z, "", "officeDocument")
	if err != nil || len(book) != 1 {
		return errors.Join(err, fmt.Errorf("%d workbook parts", len(book)))
	}
	k.places[book[0]] = partWorkbook
	k.places[relsPart(book[0])] = partRels
	for kind, what := range map[string]string{"styles": partStyles, "calcChain": partChain} {
		names, err := targets(z, book[0], kind)
		if err != nil {
			return err
		}
		for _, n := range names {
			k.places[n] = what
		}
	}
	for sheet := range k.ours {
		k.places[sheet] = partSheet
		tables, err := targets(z, sheet, "table")
		if err != nil {
			return err
		}
		for _, n := range tables {
			k.places[n] = partTable
		}
	}
	return nil
}

func (k *keeping) mayGo(name string) bool { return k.places[name] == partChain }

// mayCome tells the parts of our own sheets, and a styles part where there was
// none.
func (k *keeping) mayCome(name string) bool {
	for _, dir := range []string{"worksheets/", "drawings/", "charts/", "styles.xml"} {
		if strings.Contains(name, dir) {
			return true
		}
	}
	return false
}

func (k *keeping) entry(a, b *zip.File) error {
	same, err := sameRaw(a, b)
	if err != nil || same {
		return err
	}
	kind := k.places[a.Name]
	if kind == "" {
		k.say("%s holds nothing of ours, and its entry has changed", a.Name)
		return nil
	}
	if !a.Modified.Equal(b.Modified) {
		k.say("%s: the time of its entry has changed", a.Name)
	}
	x, err := treeOf(a)
	if err != nil {
		return fmt.Errorf("%s, before: %w", a.Name, err)
	}
	y, err := treeOf(b)
	if err != nil {
		return fmt.Errorf("%s, after: %w", a.Name, err)
	}
	if kind == partSheet {
		at := k.ours[a.Name]
		k.filterOf(x, y, at)
		sheetWithoutOurs(x, at)
		sheetWithoutOurs(y, at)
	}
	k.compare(a.Name, kind, x, y)
	return nil
}

// sameRaw compares two entries: compressed bytes and what the directory says.
func sameRaw(a, b *zip.File) (bool, error) {
	if a.CRC32 != b.CRC32 || a.Method != b.Method || a.UncompressedSize64 != b.UncompressedSize64 ||
		!a.Modified.Equal(b.Modified) || !bytes.Equal(a.Extra, b.Extra) || a.ExternalAttrs != b.ExternalAttrs || a.Comment != b.Comment {
		return false, nil
	}
	x, err := rawBytes(a)
	if err != nil {
		return false, err
	}
	y, err := rawBytes(b)
	return bytes.Equal(x, y), err
}

func rawBytes(f *zip.File) ([]byte, error) {
	r, err := f.OpenRaw()
	if err != nil {
		return nil, err
	}
	return io.ReadAll(r)
}

func relsPart(name string) string {
	i := strings.LastIndex(name, "/") + 1
	return name[:i] + "_rels/" + name[i:] + ".rels"
}

// targets names the parts that a part leads to by relationships of a kind.
func targets(z *zip.Reader, of, kind string) ([]string, error) {
	var out []string
	for _, f := range z.File {
		if f.Name != relsPart(of) {
			continue
		}
		t, err := treeOf(f)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", f.Name, err)
		}
		for _, r := range t.root().kids {
			if r.kind != element || !strings.HasSuffix(r.attr("Type"), "/"+kind) {
				continue
			}
			out = append(out, resolved(of, r.attr("Target")))
		}
	}
	return out, nil
}

func resolved(of, target string) string {
	if strings.HasPrefix(target, "/") {
		return target[1:]
	}
	dir := strings.Split(of, "/")
	dir = dir[:len(dir)-1]
	for strings.HasPrefix(target, "../") && len(dir) > 0 {
		target, dir = target[3:], dir[:len(dir)-1]
	}
	return strings.Join(append(dir, target), "/")
}
