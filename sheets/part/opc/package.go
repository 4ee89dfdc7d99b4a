package opc

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/klauspost/compress/flate"
)

// ContentTypes is the one part that every package has.
const ContentTypes = "[Content_Types].xml"

// Why a file is not a workbook package.
const (
	NotEmpty        = "empty"         // no bytes at all
	NotEncrypted    = "encrypted"     // password to open
	NotOldFormat    = "old format"    // .xls, or another compound file
	NotZip          = "not a zip"     // something else
	NotTruncated    = "truncated"     // begins as a zip and has no directory
	NotContentTypes = "no types part" // a zip without [Content_Types].xml
	NotUnique       = "duplicate"     // two entries of one name
	NotWithinLimits = "too large"     // Limits exceeded
	NotReadable     = "unreadable"    // the zip directory is damaged
	NotSheets       = "other kind"    // a package of another kind, as a text document
	NotComplete     = "incomplete"    // a part that the workbook needs is missing
)

// NotWorkbookError says why a file cannot be opened as a workbook. Reason is
// one of the Not... constants.
type NotWorkbookError struct {
	Reason string
	What   string // what was found, and what to do
	Err    error  // underlying error, may be nil
}

func (e *NotWorkbookError) Error() string { return e.What }

// Unwrap gives the underlying error.
func (e *NotWorkbookError) Unwrap() error { return e.Err }

// Package is an open workbook file: a zip of named parts.
type Package struct {
	zip   *zip.Reader
	lim   Limits
	index map[string]*zip.File // by key of the part name
}

// Open reads the directory of a workbook package of size bytes. The reader
// must stay open as long as the package is used. Any file that is no such
// package gives a *NotWorkbookError.
func Open(r io.ReaderAt, size int64, lim Limits) (*Package, error) {
	if size == 0 {
		return nil, &NotWorkbookError{Reason: NotEmpty, What: "the file is empty; restore it from a copy"}
	}
	if err := refuseCompound(r, size); err != nil {
		return nil, err
	}
	z, err := zip.NewReader(r, size)
	if err != nil && !errors.Is(err, zip.ErrInsecurePath) {
		return nil, notZip(r, size, err)
	}
	z.RegisterDecompressor(zip.Deflate, flate.NewReader) // in less time than the standard library's
	p := &Package{zip: z, lim: lim, index: make(map[string]*zip.File, len(z.File))}
	if err := p.takeEntries(); err != nil {
		return nil, err
	}
	if !p.Has(ContentTypes) {
		return nil, &NotWorkbookError{Reason: NotContentTypes, What: kindOfZip(z)}
	}
	return p, nil
}

// OpenBytes opens a package that is in memory, within the usual limits.
func OpenBytes(data []byte) (*Package, error) {
	return Open(bytes.NewReader(data), int64(len(data)), DefaultLimits())
}

func (p *Package) takeEntries() error {
	if p.lim.Parts > 0 && len(p.zip.File) > p.lim.Parts {
		return &NotWorkbookError{Reason: NotWithinLimits,
			What: fmt.Sprintf("the file has %d parts, the limit is %d; save the workbook anew from the spreadsheet program", len(p.zip.File), p.lim.Parts)}
	}
	var total, packed uint64
	for _, f := range p.zip.File {
		if isFolder(f) {
			if f.UncompressedSize64 > 0 {
				return &NotWorkbookError{Reason: NotReadable, What: fmt.Sprintf(
					"the folder %s has bytes of its own, as in no real workbook; save it anew from the spreadsheet program", f.Name)}
			}
			continue
		}
		key := PartKey(f.Name)
		if _, twice := p.index[key]; twice {
			return &NotWorkbookError{Reason: NotUnique, What: fmt.Sprintf(
				"the part %s is in the file twice, and programs differ on which one counts; save it anew from the spreadsheet program", f.Name)}
		}
		p.index[key] = f
		if f.Flags&1 != 0 {
			return &NotWorkbookError{Reason: NotEncrypted, What: "the zip is encrypted; save the workbook without a password"}
		}
		if err := p.checkSize(f); err != nil {
			return err
		}
		total += f.UncompressedSize64
		packed += f.CompressedSize64
		if p.lim.Unpacked > 0 && (total > uint64(p.lim.Unpacked) || f.UncompressedSize64 > uint64(p.lim.Unpacked)) {
			return &NotWorkbookError{Reason: NotWithinLimits, What: fmt.Sprintf(
				"the parts unpack to more than %d bytes, the limit; split the workbook", p.lim.Unpacked)}
		}
	}
	if p.swollen(total, packed) {
		return &NotWorkbookError{Reason: NotWithinLimits, What: fmt.Sprintf(
			"the parts unpack from %d bytes to %d, which those of no real workbook do; save the workbook anew from the spreadsheet program", packed, total)}
	}
	return nil
}

// swollen reports whether so many unpacked bytes come from so few packed ones
// as only a file made to fill the memory has.
func (p *Package) swollen(unpacked, packed uint64) bool {
	return p.lim.Ratio > 0 && unpacked >= uint64(p.lim.RatioFrom) && unpacked/uint64(p.lim.Ratio) > packed
}

func (p *Package) checkSize(f *zip.File) error {
	if p.lim.PartBytes > 0 && f.UncompressedSize64 > uint64(p.lim.PartBytes) {
		return &NotWorkbookError{Reason: NotWithinLimits, What: fmt.Sprintf(
			"the part %s unpacks to %d bytes, the limit is %d; split the workbook", f.Name, f.UncompressedSize64, p.lim.PartBytes)}
	}
	if p.swollen(f.UncompressedSize64, f.CompressedSize64) {
		return &NotWorkbookError{Reason: NotWithinLimits, What: fmt.Sprintf(
			"the part %s unpacks from %d bytes to %d, which no real sheet does; save the workbook anew from the spreadsheet program", f.Name, f.CompressedSize64, f.UncompressedSize64)}
	}
	return nil
}

// Names lists the parts in archive order, without a leading slash. Folder
// entries are left out.
func (p *Package) Names() []string {
	names := make([]string, 0, len(p.zip.File))
	for _, f := range p.zip.File {
		if !isFolder(f) {
			names = append(names, partName(f.Name))
		}
	}
	return names
}

// Has says whether the package has a part. Part names are compared without
// regard to ASCII case (ISO/IEC 29500-2) and to a leading slash.
func (p *Package) Has(name string) bool {
	_, ok := p.index[PartKey(name)]
	return ok
}

// Open opens one part. Reading to the end checks its length and CRC: a damaged
// part ends in an error, never in io.EOF. What was read before that must not
// be trusted.
func (p *Package) Open(name string) (io.ReadCloser, error) {
	f, ok := p.index[PartKey(name)]
	if !ok {
		return nil, fmt.Errorf("the workbook has no part %s", name)
	}
	rc, err := f.Open()
	switch {
	case errors.Is(err, zip.ErrAlgorithm):
		return nil, fmt.Errorf("part %s is packed in an unusual way, which is not read; save the workbook anew from the spreadsheet program: %w", f.Name, err)
	case err != nil:
		return nil, fmt.Errorf("part %s is damaged; restore the file from a copy: %w", f.Name, err)
	}
	return &partReader{rc: rc, name: f.Name}, nil
}

// Read gives one part as a whole, checked as by Open.
func (p *Package) Read(name string) ([]byte, error) {
	if f, ok := p.index[PartKey(name)]; ok && p.lim.Whole > 0 && f.UncompressedSize64 > uint64(p.lim.Whole) {
		return nil, &NotWorkbookError{Reason: NotWithinLimits, What: fmt.Sprintf(
			"the part %s unpacks to %d MB, the limit for such a part is %d MB; save the workbook anew from the spreadsheet program", f.Name, f.UncompressedSize64>>20, p.lim.Whole>>20)}
	}
	rc, err := p.Open(name)
	if err != nil {
		return nil, err
	}
	defer rc.Close()
	return io.ReadAll(rc)
}

// partReader names the part in errors. That no more comes than the directory
// declares, which the limits were checked against, is seen to by archive/zip.
type partReader struct {
	rc   io.ReadCloser
	name string
}

func (r *partReader) Read(b []byte) (int, error) {
	n, err := r.rc.Read(b)
	switch {
	case err == nil || err == io.EOF:
		return n, err
	case errors.Is(err, zip.ErrChecksum):
		return n, fmt.Errorf("part %s is damaged (its checksum does not match); restore the file from a copy: %w", r.name, err)
	default:
		return n, fmt.Errorf("part %s is damaged; restore the file from a copy: %w", r.name, err)
	}
}

func (r *partReader) Close() error { return r.rc.Close() }

// partName brings a zip entry's name to the form used for parts. Some writers
// put a leading slash or backslashes.
func partName(name string) string {
	return strings.TrimPrefix(strings.ReplaceAll(name, `\`, "/"), "/")
}

// PartKey is the name for comparison: ASCII letters folded.
func PartKey(name string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'A' && r <= 'Z' {
			return r + ('a' - 'A')
		}
		return r
	}, partName(name))
}

func isFolder(f *zip.File) bool {
	return strings.HasSuffix(f.Name, "/") || strings.HasSuffix(f.Name, `\`)
}

// compoundMagic begins a compound file [MS-CFB 2.2]: an old .xls, or the
// wrapper of an encrypted workbook [MS-OFFCRYPTO 2.3].
const compoundMagic = "\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1"

func refuseCompound(r io.ReaderAt, size int64) error {
	head := make([]byte, len(compoundMagic))
	if n, err := r.ReadAt(head, 0); n < len(head) {
		if err == io.EOF || err == nil {
			return nil
		}
		return fmt.Errorf("reading the file: %w", err)
	}
	if string(head) != compoundMagic {
		return nil
	}
	if holdsUTF16(r, size, "EncryptedPackage") {
		return &NotWorkbookError{Reason: NotEncrypted,
			What: "the workbook is encrypted with a password; save a copy without one"}
	}
	return &NotWorkbookError{Reason: NotOldFormat,
		What: "an old binary workbook (.xls) or a document of that time" + saveAs}
}

// holdsUTF16 searches the file for a word in UTF-16, the spelling of stream
// names in a compound file's directory.
func holdsUTF16(r io.ReaderAt, size int64, word string) bool {
	want := make([]byte, 0, 2*len(word))
	for _, ch := range word {
		want = binary.LittleEndian.AppendUint16(want, uint16(ch))
	}
	const step = 1 << 20
	buf := make([]byte, step+len(want))
	for at := int64(0); at < size; at += step {
		n, err := r.ReadAt(buf, at)
		if bytes.Contains(buf[:n], want) {
			return true
		}
		if err != nil {
			return false
		}
	}
	return false
}

func notZip(r io.ReaderAt, size int64, err error) error {
	head := make([]byte, min(size, headBytes))
	_, _ = r.ReadAt(head, 0) // what is missing is no zip either
	switch {
	case bytes.HasPrefix(head, []byte("PK\x03\x04")) && errors.Is(err, zip.ErrFormat):
		return &NotWorkbookError{Reason: NotTruncated, Err: err,
			What: "the file is cut short: a zip without its directory; copy or download it again"}
	case errors.Is(err, zip.ErrFormat) && !bytes.HasPrefix(head, []byte("PK")):
		return &NotWorkbookError{Reason: NotZip, Err: err, What: kindOfHead(head)}
	}
	return &NotWorkbookError{Reason: NotReadable, Err: err,
		What: fmt.Sprintf("the zip directory is damaged (%v); restore the file from a copy", err)}
}
