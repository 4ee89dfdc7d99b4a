package broken_test

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"fmt"
	"maps"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"seamtally/sheets/sheetstest/shop"
)

// raised are the entries of a small workbook with a change to one of them.
func raised(whole map[string]string, part string, change func(e *zipEntry)) []byte {
	all := entriesOf(whole)
	i := slices.IndexFunc(all, func(e zipEntry) bool { return e.name == part })
	change(&all[i])
	return zipOf(all)
}

const (
	smallSheet   = "xl/worksheets/sheet1.xml"
	smallBook    = "xl/workbook.xml"
	smallStyles  = "xl/styles.xml"
	smallStrings = "xl/sharedStrings.xml"
	smallTypes   = "[Content_Types].xml"
	smallRels    = "xl/_rels/workbook.xml.rels"
	rootRels     = "_rels/.rels"
)

// brokenZips are archives that say what is not so, or hold more than they show.
func brokenZips(t *testing.T) map[string][]byte {
	t.Helper()
	whole := shop.Parts(t, shop.Small(t, shop.Butt("J-1")))
	out := map[string][]byte{}
	for part, short := range map[string]string{smallSheet: "sheet", smallBook: "workbook", smallStyles: "styles", smallTypes: "types"} {
		for how, change := range map[string]func(e *zipEntry){
			"wrong checksum":     func(e *zipEntry) { e.crc ^= 1 },
			"claims one less":    func(e *zipEntry) { e.size-- },
			"claims one more":    func(e *zipEntry) { e.size++ },
			"claims nothing":     func(e *zipEntry) { e.size = 0 },
			"claims 4 GiB":       func(e *zipEntry) { e.size = 1<<32 - 2 },
			"packed in way 99":   func(e *zipEntry) { e.way = 99 },
			"packed, it says":    func(e *zipEntry) { e.way = zip.Deflate },
			"encrypted, it says": func(e *zipEntry) { e.flags |= 1 },
			"strongly encrypted": func(e *zipEntry) { e.flags |= 1<<6 | 1 },
			"masked":             func(e *zipEntry) { e.flags |= 1 << 13 },
			"a patch":            func(e *zipEntry) { e.flags |= 1 << 5 },
		} {
			out["zip: "+short+" "+how] = raised(whole, part, change)
		}
	}
	good := zipOf(entriesOf(whole))
	record := bytes.Index(good, []byte("PK\x01\x02"))
	end := bytes.LastIndex(good, []byte("PK\x05\x06"))
	require.True(t, record > 0 && end > record)
	for how, change := range map[string]func(b []byte){
		"whole":                       func([]byte) {},
		"entries overlap":             func(b []byte) { copy(b[record+42:record+46], []byte{40, 0, 0, 0}) },
		"all entries in one place":    func(b []byte) { inOnePlace(b) },
		"an offset behind the end":    func(b []byte) { binary.LittleEndian.PutUint32(b[record+42:], 1<<31) },
		"more entries than there are": func(b []byte) { binary.LittleEndian.PutUint16(b[end+10:], 60000) },
		"fewer entries":               func(b []byte) { binary.LittleEndian.PutUint16(b[end+10:], 1) },
		"no entries":                  func(b []byte) { clear(b[end+8 : end+12]) },
		"directory elsewhere":         func(b []byte) { binary.LittleEndian.PutUint32(b[end+16:], 3) },
		"directory too long":          func(b []byte) { binary.LittleEndian.PutUint32(b[end+12:], 1<<30) },
		"of many disks":               func(b []byte) { b[end+4], b[end+6] = 7, 7 },
		"a name too long":             func(b []byte) { binary.LittleEndian.PutUint16(b[record+28:], 65535) },
		"an extra too long":           func(b []byte) { binary.LittleEndian.PutUint16(b[record+30:], 65535) },
		"a comment too long":          func(b []byte) { binary.LittleEndian.PutUint16(b[end+20:], 65535) },
		"local header gone":           func(b []byte) { clear(b[:4]) },
	} {
		b := bytes.Clone(good)
		change(b)
		out["zip: "+how] = b
	}
	out["zip: text before it"] = append([]byte("#!/bin/sh\nexit\n"), good...)
	out["zip: text behind it"] = append(bytes.Clone(good), "more"...)
	out["zip: another zip behind it"] = append(bytes.Clone(good), zipOf([]zipEntry{stored("a.txt", "x")})...)

	bomb := entriesOf(whole)
	for i := range bomb {
		if bomb[i].name == smallSheet {
			bomb[i] = zeros(t, smallSheet, 200<<20)
		}
	}
	out["zip: a sheet of 200 MB of zeros"] = zipOf(bomb)
	// Under the limits of one part and of all: it has to be read to be seen.
	under := entriesOf(whole)
	for i := range under {
		if under[i].name == smallSheet {
			under[i] = zeros(t, smallSheet, 60<<20)
		}
	}
	out["zip: a sheet of 60 MB of zeros"] = zipOf(under)
	out["zip: in it a zip of zeros"] = zipOf(append(entriesOf(whole), stored("xl/media/more.zip", string(zipOf([]zipEntry{zeros(t, "a", 60<<20)})))))
	many := maps.Clone(whole)
	for i := range 70_000 {
		many[fmt.Sprintf("x/%d", i)] = ""
	}
	out["zip: 70,000 entries"] = shop.Packed(t, many)
	wide := maps.Clone(whole)
	for i := range 60 {
		wide[fmt.Sprintf("x/%d.xml", i)] = string(make([]byte, 4<<20))
	}
	out["zip: 60 parts of 4 MB of zeros"] = shop.Packed(t, wide)
	out["zip: sizes beyond 4 GiB"] = beyond(t, whole)
	return out
}

// inOnePlace makes every record of the directory point at the first entry.
func inOnePlace(b []byte) {
	for at := bytes.Index(b, []byte("PK\x01\x02")); at >= 0; {
		clear(b[at+42 : at+46])
		next := bytes.Index(b[at+4:], []byte("PK\x01\x02"))
		if next < 0 {
			return
		}
		at += 4 + next
	}
}

// beyond is a workbook with an entry that claims sizes as only zip64 can.
func beyond(t *testing.T, whole map[string]string) []byte {
	t.Helper()
	var buf bytes.Buffer
	w := zip.NewWriter(&buf)
	for _, e := range entriesOf(whole) {
		h := &zip.FileHeader{Name: e.name, CRC32: e.crc, CompressedSize64: uint64(len(e.data)), UncompressedSize64: e.size}
		if e.name == smallSheet {
			h.UncompressedSize64 = 1 << 62
		}
		to, err := w.CreateRaw(h)
		require.NoError(t, err)
		_, err = to.Write(e.data)
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	return buf.Bytes()
}
