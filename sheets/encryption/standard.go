package encryption

import (
	"crypto/aes"
	"crypto/hmac"
	"crypto/sha1"
	"encoding/binary"
	"fmt"
)

// Numbers of ciphers and hashes: [MS-OFFCRYPTO] 2.3.2.
const (
	numberAES128 = 0x660E
	numberAES192 = 0x660F
	numberAES256 = 0x6610
	numberSHA1   = 0x8004
)

// standardSpin is how often the standard way hashes a password: [MS-OFFCRYPTO]
// 2.3.4.7.
const standardSpin = 50_000

// openStandard decrypts what an older program has written: [MS-OFFCRYPTO]
// 2.3.4.5 to 2.3.4.9. It has no check sum.
func openStandard(info, sealed []byte, password string) ([]byte, error) {
	const header, verifier = 32, 4 + 16 + 16 + 4 + 32
	if len(info) < 4 {
		return nil, damaged("it is cut short")
	}
	length := binary.LittleEndian.Uint32(info)
	head := info[4:]
	if length < header || uint64(length)+verifier > uint64(len(head)) {
		return nil, damaged("it is cut short")
	}
	number := func(at int) uint32 { return binary.LittleEndian.Uint32(head[at:]) }
	bits := map[uint32]uint32{numberAES128: 128, numberAES192: 192, numberAES256: 256}[number(8)]
	if sum := number(12); bits == 0 || number(16) != bits || sum != numberSHA1 && sum != 0 {
		return nil, unreadable(fmt.Sprintf("with cipher %#x of %d bits and hash %#x", number(8), number(16), sum))
	}
	v := head[length:]
	if binary.LittleEndian.Uint32(v) != 16 {
		return nil, damaged("its salt has a wrong length")
	}
	c, err := aes.NewCipher(standardKey(password, v[4:20], int(bits)/8))
	if err != nil {
		return nil, err
	}
	var shown [16]byte
	c.Decrypt(shown[:], v[20:36])
	var stored [32]byte
	c.Decrypt(stored[:], v[40:56])
	c.Decrypt(stored[16:], v[56:72])
	if sum := sha1.Sum(shown[:]); !hmac.Equal(sum[:], stored[:sha1.Size]) {
		return nil, ErrPassword
	}
	size, data, err := packed(sealed)
	if err != nil {
		return nil, err
	}
	for i := 0; i < len(data); i += block {
		c.Decrypt(data[i:], data[i:])
	}
	return data[:size], nil
}

// standardKey is the key under a password: [MS-OFFCRYPTO] 2.3.4.7.
func standardKey(password string, salt []byte, length int) []byte {
	w := way{Hash: "SHA1", Salt: salt}
	last := w.digest(w.spun(password, standardSpin), make([]byte, 4))
	half := func(fill byte) []byte {
		var pad [64]byte
		for i := range pad {
			pad[i] = fill
		}
		for i, b := range last {
			pad[i] ^= b
		}
		return w.digest(pad[:])
	}
	return append(half(0x36), half(0x5C)...)[:length]
}
