package opc

import (
	"archive/zip"
	"errors"
	"fmt"
	"hash"
	"hash/crc32"
	"io"
	"os"
	"runtime"
	"sync/atomic"

	"github.com/klauspost/compress/flate"
)

// spool holds one part deflated in a temporary file. Packing is much of the
// work of writing a long sheet, so it goes on beside it, in a goroutine that
// ends with Close or discard.
type spool struct {
	name   string
	file   *os.File
	named  bool
	filled []byte      // what has come and not been handed over
	full   chan []byte // to the packing goroutine, in order
	free   chan []byte // back from it
	failed atomic.Pointer[error]
	done   chan struct{}
	crc    hash.Hash32 // of the packing goroutine until done
	size   uint64      // unpacked bytes
	closed bool
}

func newSpool(name string) (*spool, error) {
	f, named, err := tempFile()
	if err != nil {
		return nil, tempError(name, err)
	}
	s := &spool{
		name: name, file: f, named: named, crc: crc32.NewIEEE(),
		full: make(chan []byte, spoolBlocks), free: make(chan []byte, spoolBlocks), done: make(chan struct{}),
	}
	packer, err := flate.NewWriter(f, packLevel)
	if err != nil {
		return nil, errors.Join(err, s.remove())
	}
	for range spoolBlocks {
		s.free <- nil // made when first needed
	}
	go s.pack(packer)
	return s, nil
}

// tempFile is a file without a name wherever the system knows such; else the
// name is taken from it at once, which Windows alone does not let.
func tempFile() (f *os.File, named bool, err error) {
	if f, ok := Unnamed(os.TempDir()); ok {
		return f, false, nil
	}
	if f, err = os.CreateTemp("", "seamtally-*.part"); err != nil {
		return nil, false, err
	}
	return f, os.Remove(f.Name()) != nil, nil
}

// tempError is a failure of the folder for temporary files.
func tempError(name string, err error) error {
	variable := "TMPDIR"
	if runtime.GOOS == "windows" {
		variable = "TMP"
	}
	return fmt.Errorf("part %s: no temporary file in %s (%w); make room there, or set %s to another folder", name, os.TempDir(), err, variable)
}

const (
	// packLevel is where the packing library gives what the standard one does at
	// its own middle level, in a quarter of the time.
	packLevel = 5
	// spoolBlock is how much is handed over at a time, spoolBlocks how many such
	// blocks may wait.
	spoolBlock  = 256 << 10
	spoolBlocks = 3
)

// pack deflates what it is handed until there is no more. After a failure it
// only takes blocks, so that nobody waits.
func (s *spool) pack(packer *flate.Writer) {
	defer close(s.done)
	fail := func(err error) {
		if err != nil {
			err = tempError(s.name, err)
			s.failed.CompareAndSwap(nil, &err)
		}
	}
	for block := range s.full {
		if s.failed.Load() == nil {
			s.crc.Write(block)
			_, err := packer.Write(block)
			fail(err)
		}
		s.free <- block[:0]
	}
	if s.failed.Load() == nil {
		fail(packer.Close())
	}
}

func (s *spool) Write(b []byte) (int, error) {
	if s.closed {
		return 0, fmt.Errorf("part %s: written to after it was closed", s.name)
	}
	if s.size += uint64(len(b)); s.size > maxEntry {
		return 0, fmt.Errorf("part %s is longer than 4 GiB, the most that every spreadsheet program reads; split the list over two sheets", s.name)
	}
	for rest := b; len(rest) > 0; {
		if s.filled == nil {
			if s.filled = <-s.free; s.filled == nil {
				s.filled = make([]byte, 0, spoolBlock)
			}
		}
		n := min(len(rest), spoolBlock-len(s.filled))
		s.filled, rest = append(s.filled, rest[:n]...), rest[n:]
		if len(s.filled) == spoolBlock {
			s.handOver()
		}
	}
	if err := s.failed.Load(); err != nil {
		return 0, *err
	}
	return len(b), nil
}

func (s *spool) handOver() {
	s.full <- s.filled
	s.filled = nil
}

// Close ends the part; the Edit keeps the file.
func (s *spool) Close() error {
	if !s.closed {
		if len(s.filled) > 0 {
			s.handOver()
		}
		s.end()
	}
	if err := s.failed.Load(); err != nil {
		return *err
	}
	return nil
}

// end waits until all that was handed over is packed.
func (s *spool) end() {
	s.closed = true
	close(s.full)
	<-s.done
	s.filled, s.full, s.free = nil, nil, nil
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
	if !s.closed {
		s.end()
	}
	return s.remove()
}

func (s *spool) remove() error {
	err := s.file.Close()
	if s.named {
		err = errors.Join(err, os.Remove(s.file.Name()))
	}
	return err
}
