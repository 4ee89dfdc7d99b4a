package encryption

import (
	"crypto/aes"
	"crypto/cipher"
	"crypto/hmac"
	"crypto/sha1"
	"crypto/sha256"
	"crypto/sha512"
	"encoding/base64"
	"encoding/binary"
	"encoding/xml"
	"fmt"
	"hash"
)

// What goes into a hash beside the password, a salt or a number, so that no two
// keys are the same: [MS-OFFCRYPTO] 2.3.4.13 and 2.3.4.14.
const (
	forVerifier      = "\xfe\xa7\xd2\x76\x3b\x4b\x9e\x79"
	forVerifierHash  = "\xd7\xaa\x0f\x6d\x30\x61\x34\x4e"
	forKey           = "\x14\x6e\x0b\xe7\xab\xac\xd0\xd6"
	forIntegrityKey  = "\x5f\xb2\xad\x01\x0c\xb9\xe1\xf6"
	forIntegrityHash = "\xa0\x67\x7f\x02\xb2\x2c\x84\x33"
)

// segment is how much of a file is chained: [MS-OFFCRYPTO] 2.3.4.15.
const segment = 4096

// agile is the description of [MS-OFFCRYPTO] 2.3.4.10.
type agile struct {
	Data      way `xml:"http://schemas.microsoft.com/office/2006/encryption keyData"`
	Integrity *struct {
		Key  text64 `xml:"encryptedHmacKey,attr"`
		Hash text64 `xml:"encryptedHmacValue,attr"`
	} `xml:"http://schemas.microsoft.com/office/2006/encryption dataIntegrity"`
	Keys []struct {
		Password *struct {
			way
			Spin         uint   `xml:"spinCount,attr"`
			Verifier     text64 `xml:"encryptedVerifierHashInput,attr"`
			VerifierHash text64 `xml:"encryptedVerifierHashValue,attr"`
			Key          text64 `xml:"encryptedKeyValue,attr"`
		} `xml:"http://schemas.microsoft.com/office/2006/keyEncryptor/password encryptedKey"`
	} `xml:"keyEncryptors>keyEncryptor"`
}

// way is how something is encrypted.
type way struct {
	Cipher    string `xml:"cipherAlgorithm,attr"`
	Chaining  string `xml:"cipherChaining,attr"`
	Hash      string `xml:"hashAlgorithm,attr"`
	KeyBits   int    `xml:"keyBits,attr"`
	BlockSize int    `xml:"blockSize,attr"`
	Salt      text64 `xml:"saltValue,attr"`
}

// text64 is bytes as letters.
type text64 []byte

func (t *text64) UnmarshalText(letters []byte) (err error) {
	*t, err = base64.StdEncoding.AppendDecode(nil, letters)
	return err
}

func (t text64) String() string { return base64.StdEncoding.EncodeToString(t) }

const cbc = "ChainingModeCBC"

func newHash(name string) func() hash.Hash {
	switch name {
	case "SHA1":
		return sha1.New
	case "SHA256":
		return sha256.New
	case "SHA384":
		return sha512.New384
	case "SHA512":
		return sha512.New
	}
	return nil
}

// unknown refuses what this package cannot do.
func (w way) unknown() error {
	switch {
	case w.Cipher != "AES" || w.BlockSize != block || w.KeyBits != 128 && w.KeyBits != 192 && w.KeyBits != 256:
		return unreadable(fmt.Sprintf("with %q of %d bits", w.Cipher, w.KeyBits))
	case w.Chaining != cbc:
		return unreadable(fmt.Sprintf("with %q", w.Chaining))
	case newHash(w.Hash) == nil:
		return unreadable(fmt.Sprintf("with %q", w.Hash))
	}
	return nil
}

// digest hashes one thing after another.
func (w way) digest(parts ...[]byte) []byte {
	h := newHash(w.Hash)()
	for _, p := range parts {
		h.Write(p)
	}
	return h.Sum(nil)
}

// spun is what becomes of a password: [MS-OFFCRYPTO] 2.3.4.11.
func (w way) spun(password string, spin int) []byte {
	h := newHash(w.Hash)()
	turn := w.digest(w.Salt, spell(password))
	var count [4]byte
	for i := range spin {
		binary.LittleEndian.PutUint32(count[:], uint32(i))
		h.Reset()
		h.Write(count[:])
		h.Write(turn)
		turn = h.Sum(turn[:0])
	}
	return turn
}

func (w way) key(spun []byte, purpose string) []byte {
	return fit(w.digest(spun, []byte(purpose)), w.KeyBits/8)
}

// vector is the initial vector for a purpose: [MS-OFFCRYPTO] 2.3.4.12.
func (w way) vector(purpose string) []byte { return fit(w.digest(w.Salt, []byte(purpose)), block) }

// segments is the initial vector of one segment after another.
func (w way) segments(data []byte, each func(vector, segment []byte)) {
	for i := 0; i*segment < len(data); i++ {
		number := binary.LittleEndian.AppendUint32(nil, uint32(i))
		each(w.vector(string(number)), data[i*segment:min((i+1)*segment, len(data))])
	}
}

// short decrypts something of n bytes that was filled up to whole blocks.
func short(c cipher.Block, vector, data []byte, n int) ([]byte, error) {
	if len(data)%block != 0 || len(data) < n {
		return nil, damaged("a key of it has a wrong length")
	}
	out := make([]byte, len(data))
	cipher.NewCBCDecrypter(c, vector).CryptBlocks(out, data)
	return out[:n], nil
}

// openAgile decrypts, and checks that nobody without the password has changed
// what is encrypted.
func (c *Container) openAgile(info, sealed []byte, password string) ([]byte, error) {
	var a agile
	if err := xml.Unmarshal(info, &a); err != nil {
		return nil, damaged("how it is encrypted cannot be read (%w)", err)
	}
	if err := a.Data.unknown(); err != nil {
		return nil, err
	}
	key, err := a.key(c, password)
	if err != nil {
		return nil, err
	}
	// A file without a check sum may be one from which somebody has taken it.
	if a.Integrity == nil {
		return nil, damaged("nothing in it shows that it was not changed by others")
	}
	w, length := a.Data, newHash(a.Data.Hash)().Size()
	sumKey, err := short(key, w.vector(forIntegrityKey), a.Integrity.Key, length)
	if err != nil {
		return nil, err
	}
	sum, err := short(key, w.vector(forIntegrityHash), a.Integrity.Hash, length)
	if err != nil {
		return nil, err
	}
	found := hmac.New(newHash(w.Hash), sumKey)
	found.Write(sealed)
	if !hmac.Equal(found.Sum(nil), sum) {
		return nil, damaged("its check sum is wrong, or somebody without the password has changed it")
	}
	size, data, err := packed(sealed)
	if err != nil {
		return nil, err
	}
	w.segments(data, func(vector, segment []byte) {
		cipher.NewCBCDecrypter(key, vector).CryptBlocks(segment, segment)
	})
	return data[:size], nil
}

// key is the key of what is encrypted, which is encrypted itself under the
// password.
func (a *agile) key(c *Container, password string) (cipher.Block, error) {
	found := -1
	for i, k := range a.Keys {
		if k.Password != nil {
			found = i
		}
	}
	if found < 0 {
		return nil, unreadable("for holders of a certificate alone")
	}
	k := a.Keys[found].Password
	if err := k.unknown(); err != nil {
		return nil, err
	}
	if k.Spin > mostSpin {
		return nil, damaged("it wants the password hashed %d times", k.Spin)
	}
	c.Spin, c.certificates = int(k.Spin), len(a.Keys) > 1

	spun, salt := k.spun(password, c.Spin), fit(k.Salt, block)
	under := func(purpose string, data []byte, n int) ([]byte, error) {
		key, err := aes.NewCipher(k.way.key(spun, purpose))
		if err != nil {
			return nil, err
		}
		return short(key, salt, data, n)
	}
	verifier, err := under(forVerifier, k.Verifier, len(k.Salt))
	if err != nil {
		return nil, err
	}
	sum := k.digest(verifier)
	stored, err := under(forVerifierHash, k.VerifierHash, len(sum))
	if err != nil {
		return nil, err
	}
	if !hmac.Equal(sum, stored) {
		return nil, ErrPassword
	}
	key, err := under(forKey, k.Key, a.Data.KeyBits/8)
	if err != nil {
		return nil, err
	}
	return aes.NewCipher(key)
}

// description is filled in as spreadsheet programs write it.
const description = `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>` + "\r\n" +
	`<encryption xmlns="http://schemas.microsoft.com/office/2006/encryption" xmlns:p="http://schemas.microsoft.com/office/2006/keyEncryptor/password">` +
	`<keyData %[1]s saltValue="%[2]s"/>` +
	`<dataIntegrity encryptedHmacKey="%[3]s" encryptedHmacValue="%[4]s"/>` +
	`<keyEncryptors><keyEncryptor uri="http://schemas.microsoft.com/office/2006/keyEncryptor/password">` +
	`<p:encryptedKey spinCount="%[5]d" %[1]s saltValue="%[6]s" encryptedVerifierHashInput="%[7]s" encryptedVerifierHashValue="%[8]s" encryptedKeyValue="%[9]s"/>` +
	`</keyEncryptor></keyEncryptors></encryption>`

// strongest is how everything is written.
func strongest() way {
	return way{Cipher: "AES", Chaining: cbc, Hash: "SHA512", KeyBits: 256, BlockSize: block}
}

// sealAgile encrypts, and says how: the two streams.
func sealAgile(plain []byte, password string, spin int, w way) (info, sealed []byte) {
	newHash := newHash(w.Hash)
	attributes := fmt.Sprintf(`saltSize="%d" blockSize="%d" keyBits="%d" hashSize="%d" cipherAlgorithm="%s" cipherChaining="%s" hashAlgorithm="%s"`,
		block, w.BlockSize, w.KeyBits, newHash().Size(), w.Cipher, w.Chaining, w.Hash)
	with := func(key []byte) cipher.Block {
		c, _ := aes.NewCipher(key) // no key here has a length that it refuses
		return c
	}
	encrypted := func(c cipher.Block, vector, data []byte) text64 {
		out := make([]byte, whole(len(data)))
		copy(out, data)
		cipher.NewCBCEncrypter(c, vector).CryptBlocks(out, out)
		return out
	}
	secret := random(w.KeyBits / 8)
	key := with(secret)
	data, person := w, w
	data.Salt, person.Salt = random(block), random(block)

	sealed = make([]byte, 8+whole(len(plain)))
	binary.LittleEndian.PutUint64(sealed, uint64(len(plain)))
	copy(sealed[8:], plain)
	data.segments(sealed[8:], func(vector, segment []byte) {
		cipher.NewCBCEncrypter(key, vector).CryptBlocks(segment, segment)
	})
	sumKey := random(newHash().Size())
	sum := hmac.New(newHash, sumKey)
	sum.Write(sealed)

	spun, verifier := person.spun(password, spin), random(block)
	under := func(purpose string, data []byte) text64 {
		return encrypted(with(person.key(spun, purpose)), person.Salt, data)
	}
	info = fmt.Appendf([]byte("\x04\x00\x04\x00\x40\x00\x00\x00"), description, attributes, data.Salt,
		encrypted(key, data.vector(forIntegrityKey), sumKey),
		encrypted(key, data.vector(forIntegrityHash), sum.Sum(nil)),
		spin, person.Salt,
		under(forVerifier, verifier), under(forVerifierHash, person.digest(verifier)), under(forKey, secret))
	return info, sealed
}
