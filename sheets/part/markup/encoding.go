package markup

import "io"

// encodingError names the encoding of a part that is not in UTF-8.
type encodingError string

func (e encodingError) Error() string {
	return "it is written in " + string(e) + "; save the workbook again from a spreadsheet program, which writes UTF-8"
}

// onlyUTF8 refuses every other encoding that a part says it is written in, also where its
// own text is ASCII and reads the same: what is put in may not be.
func onlyUTF8(charset string, _ io.Reader) (io.Reader, error) {
	return nil, encodingError(charset)
}

// LooksUTF16 says whether text begins as in UTF-16.
func LooksUTF16(src []byte) bool {
	if len(src) < 2 {
		return false
	}
	return src[0] == 0xFE && src[1] == 0xFF || src[0] == 0xFF && src[1] == 0xFE ||
		src[0] == 0 && src[1] == '<' || src[0] == '<' && src[1] == 0
}
