package encryption

import (
	"archive/zip"
	"bytes"
	"crypto/aes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"

	"seamtally/sheets/sheetstest"
)

// Values of files that spreadsheet programs wrote, out of the examples in
// msoffcrypto/method/ecma376_agile.py and ecma376_standard.py of msoffcrypto-tool
// 5.0.0 (package python3-msoffcrypto-tool).
func TestPublishedKeys(t *testing.T) {
	const password = "Password1234_"
	t.Run("agile, verifier", func(t *testing.T) {
		w := strongest()
		w.Salt = text64("\xcb\xca\x1c\x99\x93C\xfb\xad\x92\x07V4\x15\x004\xb0")
		spun := w.spun(password, 100_000)
		open := func(purpose, data string, n int) []byte {
			c, err := aes.NewCipher(w.key(spun, purpose))
			require.NoError(t, err)
			out, err := short(c, w.Salt, []byte(data), n)
			require.NoError(t, err)
			return out
		}
		verifier := open(forVerifier, "9\xee\xa5N&\xe5\x14y\x8c(K\xc7qM8\xac", 16)
		stored := open(forVerifierHash, "\x147mm\x81s4\xe6\xb0\xffO\xd8\"\x1a|g\x8e]\x8axN\x8f\x99\x9fL\x18\x890\xc3jK)\xc5\xb33`"+
			"[\\\xd4\x03\xb0P\x03\xad\xcf\x18\xcc\xa8\xcb\xab\x8d\xeb\xe3s\xc6V\x04\xa0\xbe\xcf\xae\\\n\xd0", 64)
		assert.Equal(t, stored, w.digest(verifier))
	})
	t.Run("agile, key", func(t *testing.T) {
		w := strongest()
		w.Salt = text64("Lr]E\xdca\x0f\x93\x94\x12\xa0M\xa7\x91\x04f")
		c, err := aes.NewCipher(w.key(w.spun(password, 100_000), forKey))
		require.NoError(t, err)
		key, err := short(c, w.Salt, []byte("\xa1l\xd5\x16Zz\xb9\xd2q\x11>\xd3\x86\xa7\x8c\xf4\x96\x92\xe8\xe5'\xb0\xc5\xfc\x00U\xed\x08\x0b|\xb9K"), 32)
		require.NoError(t, err)
		assert.Equal(t, "@ f\t\xd9\xfa\xad\xf2K\x07j\xeb\xf2\xc45\xb7B\x92\xc8\xb8\xa7\xaa\x81\xbcg\x9b\xe8\x97\x11\xb0*\xc2", string(key))
	})
	t.Run("standard, key", func(t *testing.T) {
		key := standardKey(password, []byte("\xe8\x82fI\x0c[\xd1\xee\xbd+C\x94\xe3\xf80\xef"), 16)
		assert.Equal(t, "@\xb1:q\xf9\x0b\x96n7T\x08\xf2\xd1\x81\xa1\xaa", string(key))
	})
}

// samples are the encrypted workbooks with which excelize tests itself, from
// the module cache: of spreadsheet programs, under the password "password".
func samples(t *testing.T) map[string][]byte {
	dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/xuri/excelize/v2").Output()
	require.NoError(t, err)
	files, err := filepath.Glob(filepath.Join(strings.TrimSpace(string(dir)), "test", "encrypt*.xlsx"))
	require.NoError(t, err)
	require.Len(t, files, 3)
	all := map[string][]byte{}
	for _, file := range files {
		all[filepath.Base(file)], err = os.ReadFile(file)
		require.NoError(t, err)
	}
	return all
}

// What others wrote is read as excelize reads it, check sum and all, and comes
// out as strong as it is written here, or stronger.
func TestSamples(t *testing.T) {
	for name, file := range samples(t) {
		t.Run(name, func(t *testing.T) {
			want, err := excelize.Decrypt(file, &excelize.Options{Password: "password"})
			require.NoError(t, err)
			plain, c, err := Decrypt(file, "password")
			require.NoError(t, err)
			// excelize leaves blanks to fill the last block after what is encrypted
			// in the standard way.
			require.Less(t, len(want)-len(plain), block)
			assert.Equal(t, want[:len(plain)], plain)
			_, _, err = Decrypt(file, "Password")
			assert.ErrorIs(t, err, ErrPassword)

			again, err := c.Encrypt(plain, "password")
			require.NoError(t, err)
			assert.Equal(t, 100_000, strength(t, again))
		})
	}
}

// The streams beside the two are byte for byte those that a spreadsheet program
// wrote.
func TestDataSpacesAsOthersWriteThem(t *testing.T) {
	streams, err := readCompound(samples(t)["encryptSHA1.xlsx"])
	require.NoError(t, err)
	delete(streams, infoStream)
	delete(streams, packageStream)
	assert.Equal(t, streams, dataSpaces())
}

// strength checks that a file is encrypted as strongly as can be, and gives how
// often the password is hashed.
func strength(t require.TestingT, file []byte) (spin int) {
	streams, err := readCompound(file)
	require.NoError(t, err)
	info := string(streams[infoStream])
	require.Equal(t, "\x04\x00\x04\x00\x40\x00\x00\x00<?xml", info[:13])
	for _, tag := range []string{"<keyData ", "<p:encryptedKey "} {
		_, found, ok := strings.Cut(info, tag)
		require.True(t, ok)
		found, _, _ = strings.Cut(found, "/>")
		for _, says := range []string{`cipherAlgorithm="AES"`, `keyBits="256"`, `cipherChaining="ChainingModeCBC"`, `hashAlgorithm="SHA512"`, `hashSize="64"`, `saltSize="16"`, `blockSize="16"`} {
			require.Contains(t, found, says)
		}
	}
	_, found, _ := strings.Cut(info, `spinCount="`)
	_, err = fmt.Sscan(strings.TrimRight(found[:8], `" s`), &spin)
	require.NoError(t, err)
	return spin
}

// The password is hashed as often as it was, and never less often than programs
// of today do.
func TestHashedAsOften(t *testing.T) {
	for spin, want := range map[int]int{0: 100_000, 1000: 100_000, 123_456: 123_456} {
		file, err := Container{Spin: spin}.Encrypt([]byte("PK"), "tungsten")
		require.NoError(t, err)
		assert.Equal(t, want, strength(t, file))
		_, c, err := Decrypt(file, "tungsten")
		require.NoError(t, err)
		assert.Equal(t, want, c.Spin)
	}
}

// What is encrypted is decrypted again, whatever it is and under whatever
// password; and under no other.
func TestDecryptGivesBackWhatWasEncrypted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		plain := bytes.Repeat(rapid.SliceOfN(rapid.Byte(), 1, 50).Draw(t, "plain"), rapid.IntRange(0, 400).Draw(t, "times"))
		password := rapid.String().Draw(t, "password")
		file, err := Container{Spin: 3}.encrypt(plain, password)
		require.NoError(t, err)
		back, c, err := Decrypt(file, password)
		require.NoError(t, err)
		require.True(t, bytes.Equal(plain, back))
		require.Equal(t, 3, c.Spin)
		_, _, err = Decrypt(file, password+"x")
		require.ErrorIs(t, err, ErrPassword)
	})
}

// ofSize is a zip of so many bytes.
func ofSize(t *testing.T, size int) []byte {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	const ends = 22
	if size > 60_000 {
		w, err := z.CreateHeader(&zip.FileHeader{Name: "a"})
		require.NoError(t, err)
		_, err = w.Write(random(size - 60_000))
		require.NoError(t, err)
		require.NoError(t, z.Flush())
	}
	const ofEntry = 100 // more than the entry's own heads; the rest is comment
	if b.Len() == 0 {
		require.NoError(t, z.SetComment(strings.Repeat("x", size-ends)))
	} else {
		require.NoError(t, z.SetComment(strings.Repeat("x", 60_000-ends-ofEntry)))
	}
	require.NoError(t, z.Close())
	return b.Bytes()
}

// Others read what is written: sizes beside those where a block, a segment or a
// sector ends, and where a stream gets sectors of its own; and once a large one.
func TestOthersReadIt(t *testing.T) {
	dir := t.TempDir()
	var paths []string
	var plains [][]byte
	for _, border := range []int{64, 512, 4096 - 8 - block, 4096 - 8, 4096, 8192 - 8, 8192, 3 * 4096, 16384, 20 << 20} {
		for _, beside := range []int{-17, -16, -15, -1, 0, 1, 15, 16, 17} {
			if border > 1<<20 && beside != 0 {
				continue
			}
			plain := ofSize(t, border+beside)
			file, err := Container{Spin: 2}.encrypt(plain, "Wolfram é世")
			require.NoError(t, err)
			path := filepath.Join(dir, fmt.Sprintf("%d-%d.xlsx", border, beside))
			require.NoError(t, os.WriteFile(path, file, 0o600))
			paths, plains = append(paths, path), append(plains, plain)

			got, err := excelize.Decrypt(file, &excelize.Options{Password: "Wolfram é世"})
			require.NoError(t, err, path)
			require.True(t, bytes.Equal(plain, got), path)
			got, _, err = Decrypt(file, "Wolfram é世")
			require.NoError(t, err, path)
			require.True(t, bytes.Equal(plain, got), path)
		}
	}
	for i, got := range sheetstest.Msoffcrypto(t, "Wolfram é世", paths...) {
		require.True(t, bytes.Equal(plains[i], got), paths[i])
	}
}

// Other ways that a file may be encrypted in are read too. They are written here
// by what writes the strongest, and other readers agree with what came out.
func TestWeakerWays(t *testing.T) {
	plain := ofSize(t, 10_000)
	for _, hash := range []string{"SHA1", "SHA256", "SHA384", "SHA512"} {
		for _, bits := range []int{128, 192, 256} {
			t.Run(fmt.Sprint(hash, " ", bits), func(t *testing.T) {
				w := strongest()
				w.Hash, w.KeyBits = hash, bits
				file := sealed(t, plain, w)
				got, _, err := Decrypt(file, "tungsten")
				require.NoError(t, err)
				assert.True(t, bytes.Equal(plain, got))
				if bits == 192 {
					return // the others take all 256 bits that the key is filled up to
				}
				got, err = excelize.Decrypt(file, &excelize.Options{Password: "tungsten"})
				require.NoError(t, err)
				assert.True(t, bytes.Equal(plain, got))
				if hash == "SHA1" {
					return // msoffcrypto-tool compares what such a hash is filled up with
				}
				path := filepath.Join(t.TempDir(), "book.xlsx")
				require.NoError(t, os.WriteFile(path, file, 0o600))
				assert.True(t, bytes.Equal(plain, sheetstest.Msoffcrypto(t, "tungsten", path)[0]))
			})
		}
	}
}

// sealed encrypts in some way, with what stands in the description changed.
func sealed(t testing.TB, plain []byte, w way, changes ...string) []byte {
	info, data := sealAgile(plain, "tungsten", 2, w)
	changed := strings.NewReplacer(changes...).Replace(string(info))
	require.True(t, len(changes) == 0 || changed != string(info))
	streams := dataSpaces()
	streams[infoStream], streams[packageStream] = []byte(changed), data
	file, err := writeCompound(streams)
	require.NoError(t, err)
	return file
}

// A bit changed in what is encrypted is noticed, wherever it is.
func TestTampered(t *testing.T) {
	plain := ofSize(t, 9_000)
	file, err := Container{Spin: 2}.encrypt(plain, "tungsten")
	require.NoError(t, err)
	streams, err := readCompound(file)
	require.NoError(t, err)
	for at := 0; at < len(streams[packageStream]); at += 61 {
		streams[packageStream][at] ^= 4
		changed, err := writeCompound(streams)
		require.NoError(t, err)
		_, _, err = Decrypt(changed, "tungsten")
		require.ErrorContains(t, err, "its check sum is wrong, or somebody without the password has changed it; ", at)
		streams[packageStream][at] ^= 4
	}
	for cut := range len(file) / 500 {
		_, _, err := Decrypt(file[:cut*500], "tungsten")
		require.Error(t, err, cut)
	}
}

// What this package cannot read, or must not write, is refused and said.
func TestRefused(t *testing.T) {
	const start, length = "\x04\x00\x04\x00\x40\x00\x00\x00", "a key of it has a wrong length; "
	for _, c := range []struct{ says, was, is string }{
		{`encrypted with "DES" of 256 bits, which`, `"AES"`, `"DES"`},
		{`encrypted with "AES" of 512 bits, which`, `keyBits="256"`, `keyBits="512"`},
		{`encrypted with "AES" of 256 bits, which`, `<keyData saltSize="16" blockSize="16"`, `<keyData blockSize="8"`},
		{`encrypted with "AES" of 256 bits, which`, `spinCount="2" saltSize="16" blockSize="16"`, `spinCount="2" blockSize="8"`},
		{`encrypted with "ChainingModeCFB", which`, cbc, "ChainingModeCFB"},
		{`encrypted with "WHIRLPOOL", which`, "SHA512", "WHIRLPOOL"},
		{"for holders of a certificate alone, which", "<p:encryptedKey", "<p:other"},
		{"wants the password hashed 10000001 times; ", `spinCount="2"`, `spinCount="10000001"`},
		{"how it is encrypted cannot be read (", "</encryption>", ""},
		{"nothing in it shows that it was not changed", "dataIntegrity", "other"},
		{length, `encryptedKeyValue="`, `encryptedKeyValue="AAAA`},
		{length, `encryptedHmacKey="`, `encryptedHmacKey="AAAA`},
		{length, `encryptedHmacValue="`, `other="" encryptedHmacValue="AAAA`},
		{length, `encryptedVerifierHashInput="`, `encryptedVerifierHashInput="AAAA`},
		{length, `encryptedVerifierHashValue="`, `encryptedVerifierHashValue="AAAA`},
		{"encrypted in the way 4.3, which", start, "\x04\x00\x03\x00"},
		{"encrypted with cipher ", start, "\x04\x00\x02\x00\x40\x00\x00\x00\x20\x00\x00\x00"},
		{"is damaged: it is cut short; ", start, "\x04\x00\x02\x00\x40\x00\x00\x00"},
	} {
		file := sealed(t, ofSize(t, 100), strongest(), c.was, c.is)
		_, _, err := Decrypt(file, "tungsten")
		assert.ErrorContains(t, err, c.says, c.was)
		assert.ErrorContains(t, err, "; ")
	}
	standard, err := excelize.Encrypt(ofSize(t, 100), &excelize.Options{Password: "tungsten"})
	require.NoError(t, err)
	for says, change := range map[string]func(map[string][]byte){
		"is damaged: it is cut short; ": func(s map[string][]byte) { s[packageStream][0] = 113 },
		"damaged: it is cut short; ":    func(s map[string][]byte) { s[packageStream] = s[packageStream][:7] },
		"cut short; ":                   func(s map[string][]byte) { s[infoStream] = s[infoStream][:10] },
		"its salt has a wrong length; ": func(s map[string][]byte) { s[infoStream][len(s[infoStream])-72] = 15 },
		`a stream called "a/b"; `:       nil,
	} {
		streams, err := readCompound(standard)
		require.NoError(t, err)
		if change == nil {
			streams["a:b"] = []byte("x")
		} else {
			change(streams)
		}
		file, err := writeCompound(streams)
		require.NoError(t, err)
		_, _, err = Decrypt(bytes.Replace(file, spell("a:b"), spell("a/b"), 1), "tungsten")
		assert.ErrorContains(t, err, says)
	}
	none, err := writeCompound(map[string][]byte{packageStream: make([]byte, 100)})
	require.NoError(t, err)
	_, _, err = Decrypt(none, "tungsten")
	assert.ErrorContains(t, err, "for certain people, not under a password")
	_, _, err = Decrypt([]byte("PK"), "tungsten")
	assert.ErrorContains(t, err, "encrypted inside its zip, which")
	_, _, err = Decrypt([]byte(signature), "tungsten")
	assert.ErrorContains(t, err, "is damaged: ")

	const another = `</keyEncryptor><keyEncryptor uri="http://schemas.microsoft.com/office/2006/keyEncryptor/certificate"/></keyEncryptors>`
	both := sealed(t, ofSize(t, 100), strongest(), "</keyEncryptor></keyEncryptors>", another)
	plain, c, err := Decrypt(both, "tungsten")
	require.NoError(t, err)
	_, err = c.Encrypt(plain, "tungsten")
	assert.ErrorContains(t, err, "opened with a certificate too, and the output could not; ")
}

// Streams that have nothing to do with encryption stay, such as a label; those
// that say how the input was encrypted do not.
func TestOtherStreamsStay(t *testing.T) {
	plain := ofSize(t, 100)
	info, data := sealAgile(plain, "tungsten", 2, strongest())
	stale := dataSpaces()
	for name := range stale {
		stale[name] = []byte("another way")
	}
	stale[infoStream], stale[packageStream] = info, data
	stale["\x05SummaryInformation"] = []byte("demo")
	stale["\x06DataSpaces/TransformInfo/LabelInfo"] = bytes.Repeat([]byte("l"), 5000)
	file, err := writeCompound(stale)
	require.NoError(t, err)
	_, c, err := Decrypt(file, "tungsten")
	require.NoError(t, err)
	out, err := c.Encrypt(plain, "tungsten")
	require.NoError(t, err)
	got, err := readCompound(out)
	require.NoError(t, err)
	want := dataSpaces()
	want["\x05SummaryInformation"] = stale["\x05SummaryInformation"]
	want["\x06DataSpaces/TransformInfo/LabelInfo"] = stale["\x06DataSpaces/TransformInfo/LabelInfo"]
	want[infoStream], want[packageStream] = got[infoStream], got[packageStream]
	assert.Equal(t, want, got)
}

// FuzzDecrypt changes bytes of an encrypted file, in the container or in what
// says how it is encrypted: no panic, and never something else than was encrypted.
func FuzzDecrypt(f *testing.F) {
	plain := bytes.Repeat([]byte("PK demo "), 700)
	agile := sealed(f, plain, strongest())
	standard, err := excelize.Encrypt(plain, &excelize.Options{Password: "tungsten"})
	require.NoError(f, err)
	f.Add(true, uint32(0x2C), []byte{0xFF, 0xFF, 0xFF, 0x7F}) // how many sectors of the table: [MS-CFB] 2.2
	f.Add(true, uint32(0x1E), []byte{0xFF, 0xFF})             // the size of a sector
	f.Add(false, uint32(0x200), []byte{0, 0, 0, 0})
	f.Add(false, uint32(len(standard)/2), []byte{})
	for at := 0; at < len(agile); at += 512 {
		f.Add(true, uint32(at), []byte("9"))
	}
	often := regexp.MustCompile(`spinCount="\d{5}`)
	f.Fuzz(func(t *testing.T, isAgile bool, at uint32, there []byte) {
		file := bytes.Clone(standard)
		if isAgile {
			file = bytes.Clone(agile)
		}
		if len(there) == 0 {
			file = file[:int(at)%len(file)]
		}
		copy(file[min(int(at), len(file)):], there)
		if often.Match(file) {
			return // seconds, and nothing else is tried
		}
		got, _, err := Decrypt(file, "tungsten")
		if err != nil {
			require.Contains(t, err.Error(), "; ", "what to do")
			return
		}
		if isAgile { // the other has no check sum
			require.True(t, bytes.Equal(plain, got))
		}
	})
}
