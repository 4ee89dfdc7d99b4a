// Package encryption takes a workbook out of what spreadsheet programs wrap
// around it when they save it under a password, and wraps one up anew: a
// compound file [MS-CFB] that holds the encrypted workbook and how it is
// encrypted [MS-OFFCRYPTO].
//
// It reads what is encrypted in the "agile" and in the "standard" way, with AES
// in both. It writes the agile one only, with AES-256, cipher block chaining and
// SHA-512: nothing that it reads is stronger. All is done in memory.
//
// It knows nothing of what a workbook holds, nor of files on a disk.
package encryption

import (
	"bytes"
	"crypto/rand"
	"encoding/binary"
	"errors"
	"fmt"
	"unicode/utf16"
)

// ErrPassword says that a password is not the one that a file was encrypted with.
var ErrPassword = errors.New("the password does not open the workbook; check it")

const (
	// leastSpin is how often the password is hashed at least in what is written:
	// as often as spreadsheet programs do.
	leastSpin = 100_000

	// mostSpin is the most that a file may ask for: ST_SpinCount in
	// [MS-OFFCRYPTO] 2.3.4.10.
	mostSpin = 10_000_000
)

// Container is what an encrypted file came in. The zero Container is a new one.
type Container struct {
	Spin int // how often the password was hashed

	certificates bool              // may open it too
	others       map[string][]byte // further streams, such as properties or a label
}

const (
	infoStream    = "EncryptionInfo"
	packageStream = "EncryptedPackage"
)

// Decrypt gives what a file holds, and what it came in. It refuses what was
// changed without the password, where there is a check sum to show it.
func Decrypt(file []byte, password string) (plain []byte, c *Container, err error) {
	if !bytes.HasPrefix(file, []byte(signature)) {
		return nil, nil, unreadable("inside its zip")
	}
	streams, err := readCompound(file)
	if err != nil {
		return nil, nil, damaged("%w", err)
	}
	info, described := streams[infoStream]
	sealed := streams[packageStream]
	if !described {
		return nil, nil, unreadable("for certain people, not under a password")
	}
	if len(info) < 8 || len(sealed) < 8 {
		return nil, nil, damaged("it is cut short")
	}
	c = &Container{others: streams}
	delete(streams, infoStream)
	delete(streams, packageStream)
	major, minor := binary.LittleEndian.Uint16(info), binary.LittleEndian.Uint16(info[2:])
	switch {
	case major == 4 && minor == 4:
		plain, err = c.openAgile(info[8:], sealed, password)
	case major >= 2 && major <= 4 && minor == 2:
		plain, err = openStandard(info[8:], sealed, password)
	default:
		err = unreadable(fmt.Sprintf("in the way %d.%d", major, minor))
	}
	if err != nil {
		return nil, nil, err
	}
	return plain, c, nil
}

// Encrypt wraps a file up under a password, in what another one came in.
func (c Container) Encrypt(plain []byte, password string) ([]byte, error) {
	if c.certificates {
		return nil, errors.New("the workbook can be opened with a certificate too, and the output could not; save the workbook under its password alone")
	}
	c.Spin = max(c.Spin, leastSpin)
	return c.encrypt(plain, password)
}

func (c Container) encrypt(plain []byte, password string) ([]byte, error) {
	streams := dataSpaces()
	for name, data := range c.others {
		if streams[name] == nil {
			streams[name] = data
		}
	}
	streams[infoStream], streams[packageStream] = sealAgile(plain, password, c.Spin, strongest())
	return writeCompound(streams)
}

// block is the length in bytes of what AES encrypts at once.
const block = 16

// packed gives how long the encrypted file is, and where it lies.
func packed(sealed []byte) (size uint64, data []byte, err error) {
	size, data = binary.LittleEndian.Uint64(sealed), sealed[8:]
	if size > uint64(len(data)) || whole(int(size)) > len(data) {
		return 0, nil, damaged("it is cut short")
	}
	return size, data[:whole(int(size))], nil
}

// whole is a length brought up to whole blocks.
func whole(n int) int { return (n + block - 1) / block * block }

// spell is a password, or a name in a compound file, as the bytes that count.
func spell(text string) []byte {
	var b []byte
	for _, unit := range utf16.Encode([]rune(text)) {
		b = binary.LittleEndian.AppendUint16(b, unit)
	}
	return b
}

// fit cuts bytes to a length, or fills them up to it, as [MS-OFFCRYPTO]
// 2.3.4.11 and 2.3.4.12 do with keys and initial vectors.
func fit(b []byte, n int) []byte {
	if len(b) < n {
		b = append(bytes.Clone(b), bytes.Repeat([]byte{0x36}, n-len(b))...)
	}
	return b[:n]
}

func random(n int) []byte {
	b := make([]byte, n)
	_, _ = rand.Read(b) // never fails
	return b
}

func damaged(how string, args ...any) error {
	return fmt.Errorf("the encrypted workbook is damaged: "+how+"; restore it from a copy", args...)
}

func unreadable(how string) error {
	return fmt.Errorf("the workbook is encrypted %s, which this program cannot read; save it without a password, or under one as programs of today do", how)
}
