package sheets_test

import (
	"crypto/sha256"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/book"
	"seamtally/sheets/compare"
	"seamtally/sheets/encryption"
	"seamtally/sheets/sheetstest/shop"
)

// A workbook that is encrypted is priced with its password, and stays
// encrypted; without it, or with the wrong one, nothing is written.
func TestEncryptedWorkbook(t *testing.T) {
	plain, err := os.ReadFile(shop.Unpriced(t, "order.xlsx"))
	require.NoError(t, err)
	data, err := excelize.Encrypt(plain, &excelize.Options{Password: "tungsten"})
	require.NoError(t, err)
	in := shop.Put(t, data)
	out := filepath.Join(t.TempDir(), "out.xlsx")

	for password, says := range map[string]string{"": "is encrypted; give its password", "argon": "does not open the workbook"} {
		_, err := sheets.Price(t.Context(), sheets.PriceOptions{In: in, Out: out, Password: password})
		var locked *book.PasswordError
		require.ErrorAs(t, err, &locked)
		assert.ErrorContains(t, err, says)
		assert.NoFileExists(t, out)
	}

	rep, err := sheets.Price(t.Context(), sheets.PriceOptions{In: in, Out: out, Password: "tungsten"})
	require.NoError(t, err)
	want, _ := shop.Price(t, shop.Unpriced(t, "order.xlsx"))
	sameParts := shop.Parts(t, shop.Decrypted(t, out, "tungsten"))
	sum := func(data []byte) string { return fmt.Sprintf("%x", sha256.Sum256(data)) } // the log says of which file
	sealed := regexp.MustCompile(`>[0-9a-f]{10}<`)                                    // and the log is sealed with that
	for name, text := range sameParts {
		sameParts[name] = sealed.ReplaceAllString(strings.ReplaceAll(text, sum(data), sum(plain)), "><")
	}
	assert.Len(t, sameParts, len(shop.Parts(t, want)))
	for name, text := range shop.Parts(t, want) {
		assert.True(t, sealed.ReplaceAllString(text, "><") == sameParts[name], name)
	}
	assert.Equal(t, 65, rep.Priced)

	back := filepath.Join(t.TempDir(), "back.xlsx")
	_, err = sheets.Clear(t.Context(), sheets.ClearOptions{In: out, Out: back, Password: "tungsten"})
	require.NoError(t, err)
	shop.Decrypted(t, back, "tungsten")

	damaged := append([]byte(nil), data...)
	for i := 512; i < len(damaged); i += 97 {
		damaged[i] ^= 0x5A
	}
	_, err = sheets.Price(t.Context(), sheets.PriceOptions{In: shop.Put(t, damaged), Out: back, Password: "tungsten", Force: true})
	require.Error(t, err)
}

// An encrypted workbook comes back no weaker than it was, over itself too, and
// never weaker than programs of today encrypt.
func TestEncryptedNoWeaker(t *testing.T) {
	plain := []byte(shop.Content(t, shop.Small(t, shop.Butt("J-1"))))
	weak, err := excelize.Encrypt(plain, &excelize.Options{Password: "tungsten"})
	require.NoError(t, err)
	strong, err := encryption.Container{Spin: 123_456}.Encrypt(plain, "tungsten")
	require.NoError(t, err)
	says := func(path, spin string) {
		t.Helper()
		file := shop.Content(t, path)
		assert.Equal(t, 2, strings.Count(file, `keyBits="256" hashSize="64" cipherAlgorithm="AES" cipherChaining="ChainingModeCBC" hashAlgorithm="SHA512"`))
		assert.Contains(t, file, `spinCount="`+spin+`"`)
		shop.Decrypted(t, path, "tungsten")
	}
	for spin, data := range map[string][]byte{"100000": weak, "123456": strong} {
		in := shop.Put(t, data)
		out := filepath.Join(t.TempDir(), "out.xlsx")
		_, err := sheets.Price(t.Context(), sheets.PriceOptions{In: in, Out: out, Password: "tungsten"})
		require.NoError(t, err)
		says(out, spin)
		_, err = sheets.Price(t.Context(), sheets.PriceOptions{In: in, InPlace: true, Password: "tungsten"})
		require.NoError(t, err)
		says(in, spin)
		_, err = sheets.Clear(t.Context(), sheets.ClearOptions{In: out, InPlace: true, Password: "tungsten"})
		require.NoError(t, err)
		says(out, spin)
	}
	bridge := filepath.Join(t.TempDir(), "bridge.xlsx")
	_, err = compare.Orders(t.Context(), compare.Options{Old: shop.Put(t, weak), New: shop.Put(t, strong), Password: "tungsten", Out: bridge})
	require.NoError(t, err)
	says(bridge, "123456")
}

// An encrypted workbook in which somebody without the password has changed a bit
// is not priced.
func TestEncryptedAndChanged(t *testing.T) {
	file, err := encryption.Container{}.Encrypt([]byte(shop.Content(t, shop.Small(t, shop.Butt("J-1")))), "tungsten")
	require.NoError(t, err)
	file[len(file)/2] ^= 1
	in, out := shop.Put(t, file), filepath.Join(t.TempDir(), "out.xlsx")
	_, err = sheets.Price(t.Context(), sheets.PriceOptions{In: in, Out: out, Password: "tungsten"})
	require.EqualError(t, err, in+": the encrypted workbook is damaged: its check sum is wrong, or somebody without the password has changed it; restore it from a copy")
	assert.NoFileExists(t, out)
}
