package sheetstest

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
)

// stripStored copies the workbook at from to a new file at to, without the
// stored value of any formula cell, and returns how many it took out.
func stripStored(from, to string) (stripped int, err error) {
	in, err := zip.OpenReader(from)
	if err != nil {
		return 0, err
	}
	defer func() { err = errors.Join(err, in.Close()) }()
	file, err := os.Create(to)
	if err != nil {
		return 0, err
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	out := zip.NewWriter(file)
	for _, entry := range in.File {
		if !strings.HasSuffix(strings.ToLower(entry.Name), ".xml") {
			if err := out.Copy(entry); err != nil {
				return 0, fmt.Errorf("%s: %w", entry.Name, err)
			}
			continue
		}
		n, err := stripEntry(out, entry)
		if err != nil {
			return 0, fmt.Errorf("%s: %w", entry.Name, err)
		}
		stripped += n
	}
	return stripped, out.Close()
}

func stripEntry(out *zip.Writer, entry *zip.File) (int, error) {
	r, err := entry.Open()
	if err != nil {
		return 0, err
	}
	defer r.Close() // reading to the end has already told of any fault
	data, err := io.ReadAll(r)
	if err != nil {
		return 0, err
	}
	data, n, err := stripSheet(data)
	if err != nil {
		return 0, err
	}
	w, err := out.CreateHeader(&zip.FileHeader{Name: entry.Name, Method: zip.Deflate})
	if err != nil {
		return 0, err
	}
	_, err = w.Write(data)
	return n, err
}

// stripSheet takes the <v> out of every <c> that has an <f>, and the cell's
// type with it: a type without a value would be read as one. A part that is no
// worksheet comes back as it is.
func stripSheet(data []byte) ([]byte, int, error) {
	d := xml.NewDecoder(bytes.NewReader(data))
	var (
		out            bytes.Buffer
		depth, n       int
		copied         int64 // how far data has been copied to out
		cell, cellHead [2]int64
		value          [2]int64
		hasFormula     bool
	)
	for {
		from := d.InputOffset()
		token, err := d.RawToken()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, 0, err
		}
		switch tok := token.(type) {
		case xml.StartElement:
			depth++
			switch {
			case depth == 1 && tok.Name.Local != "worksheet":
				return data, 0, nil
			case depth == 4 && tok.Name.Local == "c":
				cell[0], cellHead = from, [2]int64{from, d.InputOffset()}
				value, hasFormula = [2]int64{}, false
			case depth == 5 && tok.Name.Local == "f":
				hasFormula = true
			case depth == 5 && tok.Name.Local == "v":
				value[0] = from
			}
		case xml.EndElement:
			switch {
			case depth == 5 && tok.Name.Local == "v":
				value[1] = d.InputOffset()
			case depth == 4 && tok.Name.Local == "c" && hasFormula:
				out.Write(data[copied:cell[0]])
				out.Write(withoutType(data[cellHead[0]:cellHead[1]]))
				if value[1] > value[0] {
					out.Write(data[cellHead[1]:value[0]])
					out.Write(data[value[1]:d.InputOffset()])
					n++
				} else {
					out.Write(data[cellHead[1]:d.InputOffset()])
				}
				copied = d.InputOffset()
			}
			depth--
		}
	}
	out.Write(data[copied:])
	return out.Bytes(), n, nil
}

// withoutType drops the t attribute from the text of a start tag.
func withoutType(tag []byte) []byte {
	for _, quote := range []string{`"`, `'`} {
		for _, space := range []string{" ", "\t", "\n", "\r"} {
			at := bytes.Index(tag, []byte(space+"t="+quote))
			if at < 0 {
				continue
			}
			valueAt := at + len(space+"t="+quote)
			end := bytes.IndexByte(tag[valueAt:], quote[0])
			if end < 0 {
				continue
			}
			return append(append([]byte{}, tag[:at]...), tag[valueAt+end+1:]...)
		}
	}
	return tag
}
