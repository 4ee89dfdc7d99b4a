package book

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"

	"seamtally/sheets/disk"
	"seamtally/sheets/encryption"
	"seamtally/sheets/part/opc"
)

// PasswordError says that a workbook is encrypted and that no password, or the
// wrong one, was given.
type PasswordError struct{ What string }

func (e *PasswordError) Error() string { return e.What }

// mostEncrypted is the largest encrypted file that is opened: it has to be held
// in memory, as a file and decrypted.
const mostEncrypted = 256 << 20

// openPackage opens the file, or what it holds once decrypted.
func (b *Book) openPackage(f *os.File, size int64) (*opc.Package, error) {
	if disk.IsList(f.Name()) {
		return b.ofList(f)
	}
	pkg, err := opc.Open(f, size, opc.DefaultLimits())
	var not *opc.NotWorkbookError
	if !errors.As(err, &not) || not.Reason != opc.NotEncrypted {
		return pkg, err
	}
	if b.Password == "" {
		return nil, &PasswordError{"the workbook is encrypted; give its password with --password or --password-file, or in SEAMTALLY_PASSWORD"}
	}
	if size > mostEncrypted {
		return nil, fmt.Errorf("the workbook is encrypted and larger than %d MB; save it without a password", mostEncrypted>>20)
	}
	raw, err := io.ReadAll(io.NewSectionReader(f, 0, size))
	if err != nil {
		return nil, err
	}
	data, container, err := encryption.Decrypt(raw, b.Password)
	if errors.Is(err, encryption.ErrPassword) {
		return nil, &PasswordError{err.Error()}
	}
	if err != nil {
		return nil, err
	}
	b.Container = container
	return opc.OpenBytes(data)
}

// SaveEdit writes the edited workbook; one that came encrypted leaves so, under
// the same password and no weaker. The book is closed when it has been written: Windows does
// not replace a file that anybody holds open, this program included.
func (b *Book) SaveEdit(to disk.Output, edit *opc.Edit) error {
	return disk.Save(to, b.Opened.Mode().Perm(), func(w io.Writer) error {
		defer b.Close()
		if b.Container == nil {
			if _, err := edit.WriteTo(w); err != nil {
				return err
			}
			return b.StillTheSame()
		}
		var plain bytes.Buffer
		if _, err := edit.WriteTo(&plain); err != nil {
			return err
		}
		data, err := b.Container.Encrypt(plain.Bytes(), b.Password)
		if err != nil {
			return err
		}
		if _, err = w.Write(data); err != nil {
			return err
		}
		return b.StillTheSame()
	})
}
