package sheetstest

import (
	"os"
	"testing"
)

const decryptAll = `
import sys, msoffcrypto, olefile
for path in sys.argv[2:]:
    olefile.OleFileIO(path, raise_defects=olefile.DEFECT_UNSURE).close()
    with open(path, "rb") as f, open(path + ".plain", "wb") as plain:
        book = msoffcrypto.OfficeFile(f)
        book.load_key(password=sys.argv[1], verify_password=True)
        book.decrypt(plain, verify_integrity=True)
`

// Msoffcrypto gives what msoffcrypto-tool decrypts files to: it verifies the
// password and the check sum, and the library that it reads the container with
// finds no defect there. What is in them must be a zip.
func Msoffcrypto(t testing.TB, password string, paths ...string) [][]byte {
	t.Helper()
	needModule(t, "msoffcrypto", "python3-msoffcrypto-tool")
	Python(t, decryptAll, append([]string{password}, paths...)...)
	var all [][]byte
	for _, path := range paths {
		plain, err := os.ReadFile(path + ".plain")
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, plain)
	}
	return all
}
