package markup

import "strings"

// encodingError names the encoding of a part that is not in UTF-8.
type encodingError string

func (e encodingError) Error() string {
	return "is written in " + string(e) + "; save the workbook again from a spreadsheet program, which writes UTF-8"
}

// readsASCII says whether text of ASCII characters alone reads the same in an
// encoding. In UTF-7 it does not: there a plus sign begins another alphabet (RFC 2152).
func readsASCII(charset string) bool {
	return !strings.EqualFold(charset, "UTF-7")
}

// LooksUTF16 says whether text begins as in UTF-16.
func LooksUTF16(src []byte) bool {
	if len(src) < 2 {
		return false
	}
	return src[0] == 0xFE && src[1] == 0xFF || src[0] == 0xFF && src[1] == 0xFE ||
		src[0] == 0 && src[1] == '<' || src[0] == '<' && src[1] == 0
}
