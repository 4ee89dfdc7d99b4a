package opc

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"slices"
	"time"

	"github.com/klauspost/compress/flate"
)

// Edit is a new package in the making: an old one with parts replaced, added
// and removed. Nothing is written before [Edit.WriteTo]; the old package is
// never changed. Close an Edit when done, to remove its temporary files.
type Edit struct {
	old   *Package
	parts map[string]*newPart // by part key
	added []*newPart          // in the order added
	err   error               // the first error of a spooled part
}

// newPart is a part's new content, in memory or deflated in a temporary file.
type newPart struct {
	name    string
	removed bool
	data    []byte
	spool   *spool
	same    *bool // as the old content; nil: not compared yet
}

// Edit begins a new package from this one.
func (p *Package) Edit() *Edit {
	return &Edit{old: p, parts: make(map[string]*newPart)}
}

// Replace gives a part new content; a part that is not there is added. The
// slice must not be changed afterwards. Content equal to the old keeps the old
// entry as it is, compressed bytes and all.
func (e *Edit) Replace(name string, data []byte) {
	e.put(&newPart{name: partName(name), data: data})
}

// Add is Replace by another name, for parts that the caller knows to be new.
func (e *Edit) Add(name string, data []byte) { e.Replace(name, data) }

// Remove takes a part out. Removing what is not there does nothing.
func (e *Edit) Remove(name string) {
	if e.Has(name) {
		e.put(&newPart{name: partName(name), removed: true})
	}
}

func (e *Edit) put(n *newPart) {
	key := PartKey(n.name)
	if before, ok := e.parts[key]; ok && before.spool != nil && before.spool != n.spool {
		e.note(before.spool.discard())
	}
	e.parts[key] = n
	e.added = slices.DeleteFunc(e.added, func(a *newPart) bool { return PartKey(a.name) == key })
	if !n.removed && !e.old.Has(n.name) {
		e.added = append(e.added, n)
	}
}

func (e *Edit) note(err error) {
	if e.err == nil {
		e.err = err
	}
}

// Has says whether the new package will have a part.
func (e *Edit) Has(name string) bool {
	if n, ok := e.parts[PartKey(name)]; ok {
		return !n.removed
	}
	return e.old.Has(name)
}

// Names lists the parts of the new package in the order they will be written.
func (e *Edit) Names() []string {
	var names []string
	for _, name := range e.old.Names() {
		if e.Has(name) {
			names = append(names, name)
		}
	}
	for _, n := range e.added {
		names = append(names, n.name)
	}
	return names
}

// Open opens a part of the new package: the new content where there is one.
// A part being spooled can be opened once its writer is closed.
func (e *Edit) Open(name string) (io.ReadCloser, error) {
	n, ok := e.parts[PartKey(name)]
	switch {
	case !ok:
		return e.old.Open(name)
	case n.removed:
		return nil, fmt.Errorf("the part %s has been removed", name)
	case n.spool != nil:
		return n.spool.open()
	}
	return io.NopCloser(bytes.NewReader(n.data)), nil
}

// Read gives a part of the new package as a whole.
func (e *Edit) Read(name string) ([]byte, error) {
	rc, err := e.Open(name)
	if err != nil {
		return nil, err
	}
	defer rc.Close()
	return io.ReadAll(rc)
}

// Spool gives a part new content as a stream, deflated as it comes into a
// temporary file, so that a large sheet is never in memory. The part counts as
// replaced from now on; WriteTo fails until the writer has been closed.
func (e *Edit) Spool(name string) (io.WriteCloser, error) {
	s, err := newSpool(partName(name))
	if err != nil {
		return nil, err
	}
	e.put(&newPart{name: partName(name), spool: s})
	return s, nil
}

// Stream gives a part new content, which do makes of what it holds, as by Spool.
func (e *Edit) Stream(name string, do func(dst io.Writer, src io.Reader) error) error {
	src, err := e.Open(name)
	if err != nil {
		return err
	}
	defer src.Close()
	s, err := newSpool(partName(name))
	if err != nil {
		return err
	}
	if err = do(s, src); err == nil {
		err = s.Close()
	}
	if err != nil {
		e.note(s.discard())
		return err
	}
	e.put(&newPart{name: partName(name), spool: s})
	return nil
}

// Changed lists the parts that differ from the old package in their content:
// removed and replaced ones in the old order, then added ones. It reads the
// old content of parts that were replaced.
func (e *Edit) Changed() []string {
	var names []string
	for _, f := range e.old.zip.File {
		n, ok := e.parts[PartKey(f.Name)]
		if ok && !isFolder(f) && (n.removed || !e.same(f, n)) {
			names = append(names, partName(f.Name))
		}
	}
	for _, n := range e.added {
		names = append(names, n.name)
	}
	return names
}

// same says whether a part's new content is its old content, which takes reading both:
// it is asked for what has changed, and when that is written.
func (e *Edit) same(f *zip.File, n *newPart) bool {
	if n.spool != nil && !n.spool.closed {
		return false
	}
	if n.same == nil {
		same := e.compare(f, n)
		n.same = &same
	}
	return *n.same
}

// compare reads both. Anything that cannot be read counts as different.
func (e *Edit) compare(f *zip.File, n *newPart) bool {
	var size uint64
	var sum uint32
	if n.spool != nil {
		size, sum = n.spool.size, n.spool.crc.Sum32()
	} else {
		size, sum = uint64(len(n.data)), crc32.ChecksumIEEE(n.data)
	}
	if size != f.UncompressedSize64 || sum != f.CRC32 {
		return false
	}
	was, err := e.old.Open(f.Name)
	if err != nil {
		return false
	}
	defer was.Close()
	now, err := e.Open(n.name)
	if err != nil {
		return false
	}
	defer now.Close()
	return sameBytes(was, now)
}

// WriteTo writes the new package: entries in the old order, untouched ones with
// their compressed bytes, replaced ones in their old place with their old
// time, added ones last with the earliest time a zip can hold. The same edits
// give the same bytes.
func (e *Edit) WriteTo(w io.Writer) (int64, error) {
	out := &counter{w: w}
	if e.err != nil {
		return 0, e.err
	}
	z := zip.NewWriter(out)
	if err := z.SetComment(e.old.zip.Comment); err != nil {
		return out.n, err
	}
	for _, f := range e.old.zip.File {
		n, ok := e.parts[PartKey(f.Name)]
		var err error
		switch {
		case isFolder(f):
			err = copyFolder(z, f)
		case !ok:
			err = z.Copy(f)
		case n.removed:
		case e.same(f, n):
			err = z.Copy(f)
		default:
			err = n.write(z, entryLike(f))
		}
		if err != nil {
			return out.n, fmt.Errorf("writing part %s: %w", f.Name, err)
		}
	}
	for _, n := range e.added {
		if err := n.write(z, newEntry(n.name)); err != nil {
			return out.n, fmt.Errorf("writing part %s: %w", n.name, err)
		}
	}
	if err := z.Close(); err != nil {
		return out.n, fmt.Errorf("writing the zip directory: %w", err)
	}
	return out.n, nil
}

// Close removes the temporary files. The Edit cannot be used afterwards.
func (e *Edit) Close() error {
	var errs []error
	for _, n := range e.parts {
		if n.spool != nil {
			errs = append(errs, n.spool.discard())
		}
	}
	e.parts, e.added = nil, nil
	return errors.Join(errs...)
}

// copyFolder copies the entry of a folder. One that was deflated has some bytes for
// nothing at all, which no folder is written with.
func copyFolder(z *zip.Writer, f *zip.File) error {
	if f.CompressedSize64 == 0 {
		return z.Copy(f)
	}
	fh := entryLike(f)
	fh.Method, fh.ReaderVersion, fh.Extra = zip.Store, f.ReaderVersion, f.Extra
	_, err := z.CreateRaw(fh)
	return err
}

// entryLike keeps of an old entry what is not about its content. Flag 0x800
// says that the name is UTF-8.
func entryLike(f *zip.File) *zip.FileHeader {
	return &zip.FileHeader{
		Name:           f.Name,
		Comment:        f.Comment,
		Flags:          f.Flags & 0x800,
		CreatorVersion: f.CreatorVersion,
		ExternalAttrs:  f.ExternalAttrs,
		//lint:ignore SA1019 the raw DOS date, kept as it is
		ModifiedDate: f.ModifiedDate,
		//lint:ignore SA1019 the raw DOS time, kept as it is
		ModifiedTime: f.ModifiedTime,
	}
}

func newEntry(name string) *zip.FileHeader {
	fh := &zip.FileHeader{
		Name:           name,
		CreatorVersion: 20,
		//lint:ignore SA1019 the raw DOS date of 1 January 1980
		ModifiedDate: 1<<5 | 1,
	}
	for _, r := range name {
		if r >= 0x80 {
			fh.Flags = 0x800
		}
	}
	return fh
}

// write stores the new content under a header, always deflated.
func (n *newPart) write(z *zip.Writer, fh *zip.FileHeader) error {
	fh.Method = zip.Deflate
	fh.ReaderVersion = 20
	fh.Modified = time.Time{} // the DOS fields count
	if n.spool != nil {
		return n.spool.copyTo(z, fh)
	}
	var packed bytes.Buffer
	fw, err := flate.NewWriter(&packed, packLevel)
	if err != nil {
		return err
	}
	if _, err := fw.Write(n.data); err != nil {
		return err
	}
	if err := fw.Close(); err != nil {
		return err
	}
	fh.CRC32 = crc32.ChecksumIEEE(n.data)
	fh.UncompressedSize64 = uint64(len(n.data))
	fh.CompressedSize64 = uint64(packed.Len())
	w, err := z.CreateRaw(fh)
	if err != nil {
		return err
	}
	_, err = packed.WriteTo(w)
	return err
}

// counter counts what passes through it.
type counter struct {
	w io.Writer
	n int64
}

func (c *counter) Write(b []byte) (int, error) {
	n, err := c.w.Write(b)
	c.n += int64(n)
	return n, err
}

// sameBytes compares two streams to their end.
func sameBytes(a, b io.Reader) bool {
	bufA, bufB := make([]byte, 64<<10), make([]byte, 64<<10)
	for {
		n, errA := io.ReadFull(a, bufA)
		m, errB := io.ReadFull(b, bufB)
		if !bytes.Equal(bufA[:n], bufB[:m]) {
			return false
		}
		if errA != nil || errB != nil {
			return IsEnd(errA) && IsEnd(errB)
		}
	}
}

// IsEnd says whether an error of io.ReadFull is the end of what it read.
func IsEnd(err error) bool { return err == io.EOF || err == io.ErrUnexpectedEOF }
