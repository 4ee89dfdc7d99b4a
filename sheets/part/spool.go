package part

import (
	"archive/zip"
	"compress/flate"
	"errors"
	"fmt"
	"hash"
	"hash/crc32"
	"io"
	"os"
)

// spool holds one part deflated in a temporary file.
type spool struct {
	name   string
	file   *os.File
	packer *flate.Writer
	crc    hash.Hash32
	size   uint64 // unpacked bytes
	closed bool
}

func newSpool(name string) (*spool, error) {
	f, err := os.CreateTemp("", "seamtally-*.part")
	if err != nil {
		return nil, tempError(name, err)
	}
	fw, err := flate.NewWriter(f, spoolLevel)
	if err != nil {
		return nil, errors.Join(err, f.Close(), os.Remove(f.Name()))
	}
	return &spool{name: name, file: f, packer: fw, crc: crc32.NewIEEE()}, nil
}

// tempError is a failure of the folder for temporary files.
func tempError(name string, err error) error {
	return fmt.Errorf("part %s: no temporary file in %s (%w); make room there, or set TMPDIR to another folder", name, os.TempDir(), err)
}

// spoolLevel trades a few per cent of size for twice the speed on sheets of
// hundreds of megabytes.
const spoolLevel = 4

func (s *spool) Write(b []byte) (int, error) {
	if s.closed {
		return 0, fmt.Errorf("part %s: written to after it was closed", s.name)
	}
	n, err := s.packer.Write(b)
	s.size += uint64(n)
	s.crc.Write(b[:n])
	if err != nil {
		return n, tempError(s.name, err)
	}
	return n, nil
}

// Close ends the part; the Edit keeps the file.
func (s *spool) Close() error {
	if s.closed {
		return nil
	}
	if err := s.packer.Close(); err != nil {
		return tempError(s.name, err)
	}
	s.closed = true
	return nil
}

func (s *spool) open() (io.ReadCloser, error) {
	if !s.closed {
		return nil, fmt.Errorf("part %s is still being written", s.name)
	}
	packed, err := s.packed()
	if err != nil {
		return nil, err
	}
	return flate.NewReader(packed), nil
}

func (s *spool) packed() (*io.SectionReader, error) {
	at, err := s.file.Seek(0, io.SeekEnd)
	if err != nil {
		return nil, tempError(s.name, err)
	}
	return io.NewSectionReader(s.file, 0, at), nil
}

func (s *spool) copyTo(z *zip.Writer, fh *zip.FileHeader) error {
	if !s.closed {
		return errors.New("the part is still being written")
	}
	packed, err := s.packed()
	if err != nil {
		return err
	}
	fh.CRC32 = s.crc.Sum32()
	fh.UncompressedSize64 = s.size
	fh.CompressedSize64 = uint64(packed.Size())
	if s.size > maxEntry {
		return fmt.Errorf("it is %d bytes long, more than a workbook's part may be", s.size)
	}
	w, err := z.CreateRaw(fh)
	if err != nil {
		return err
	}
	_, err = io.Copy(w, packed)
	return err
}

// maxEntry is the longest entry without zip64 fields, which not every
// spreadsheet program reads.
const maxEntry = 1<<32 - 2

func (s *spool) discard() error {
	s.closed = true
	return errors.Join(s.file.Close(), os.Remove(s.file.Name()))
}
