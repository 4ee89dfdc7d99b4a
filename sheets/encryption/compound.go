package encryption

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"unicode"

	"github.com/richardlehane/mscfb"
)

// readCompound gives the streams of a compound file by their paths, with
// slashes between the names.
func readCompound(file []byte) (streams map[string][]byte, err error) {
	defer func() {
		if p := recover(); p != nil { // the library may panic over a damaged file
			streams, err = nil, fmt.Errorf("%v", p)
		}
	}()
	r, err := mscfb.New(bytes.NewReader(file))
	if err != nil {
		return nil, err
	}
	streams = map[string][]byte{}
	full := map[string]string{} // paths as the library has them, without what is not printed
	left := int64(len(file))
	for f, err := r.Next(); err == nil; f, err = r.Next() {
		name := f.Name
		if !unicode.IsPrint(rune(f.Initial)) {
			name = string(rune(f.Initial)) + name
		}
		if f.Name == "" || strings.Contains(name, "/") {
			return nil, fmt.Errorf("it has a stream called %q", name)
		}
		folder := strings.Join(f.Path, "/")
		if folder != "" {
			name = full[folder] + "/" + name
			folder += "/"
		}
		full[folder+f.Name] = name
		if f.FileInfo().IsDir() {
			continue
		}
		if left -= f.Size; left < 0 {
			return nil, errors.New("its streams are longer than the file")
		}
		data := make([]byte, f.Size)
		if _, err := io.ReadFull(f, data); err != nil {
			return nil, err
		}
		streams[name] = data
	}
	return streams, nil
}

// Numbers that [MS-CFB] gives a meaning: 2.1, 2.2 and 2.6.
const (
	signature = "\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1"

	sectorSize     = 512
	miniSectorSize = 64
	miniCutoff     = 4096 // a stream from this size on has sectors of its own
	listedInHeader = 109  // sectors of the table
	mostInStream   = 1<<31 - 1

	difatSector = 0xFFFFFFFC
	fatSector   = 0xFFFFFFFD
	endOfChain  = 0xFFFFFFFE
	nothing     = 0xFFFFFFFF // a free sector, or no entry

	kindFolder, kindStream, kindRoot = 1, 2, 5
)

// compound is a file as it grows: version 3 of [MS-CFB]. The table of its
// sectors comes last, when it is known how many there are.
type compound struct {
	out     []byte
	fat     []uint32
	mini    []byte // small streams, one after another
	miniFAT []uint32
	entries []entry
}

type entry struct {
	name               []byte
	kind               byte
	red                bool
	left, right, child uint32
	start              uint32
	size               int
	kids               []uint32
}

// writeCompound makes a compound file of streams.
func writeCompound(streams map[string][]byte) ([]byte, error) {
	c := &compound{out: make([]byte, sectorSize)}
	c.add("Root Entry", kindRoot)
	at := map[string]uint32{"": 0}
	for _, path := range slices.Sorted(maps.Keys(streams)) {
		data := streams[path]
		if len(data) > mostInStream {
			return nil, errors.New("the workbook is too large to be encrypted; save it without a password")
		}
		folder := ""
		names := strings.Split(path, "/")
		for i, name := range names {
			here := strings.Join(names[:i+1], "/")
			if _, there := at[here]; !there {
				kind := byte(kindFolder)
				if i == len(names)-1 {
					kind = kindStream
				}
				at[here] = c.add(name, kind)
				c.entries[at[folder]].kids = append(c.entries[at[folder]].kids, at[here])
			}
			folder = here
		}
		start := c.place(data)
		c.entries[at[path]].start, c.entries[at[path]].size = start, len(data)
	}
	for i := range c.entries {
		c.entries[i].child = c.tree(c.entries[i].kids)
	}
	c.entries[0].start, c.entries[0].size = c.sectors(c.mini), len(c.mini)
	miniFAT := c.sectors(table(c.miniFAT))
	directory := c.sectors(c.directory())
	return c.finish(miniFAT, directory), nil
}

func (c *compound) add(name string, kind byte) uint32 {
	c.entries = append(c.entries, entry{name: spell(name), kind: kind, left: nothing, right: nothing})
	return uint32(len(c.entries) - 1)
}

// place puts a stream where one of its size belongs.
func (c *compound) place(data []byte) (start uint32) {
	if len(data) >= miniCutoff {
		return c.sectors(data)
	}
	start, c.miniFAT = chain(c.miniFAT, len(data), miniSectorSize)
	c.mini = fill(append(c.mini, data...), miniSectorSize, 0)
	return start
}

// sectors puts data into sectors that follow each other.
func (c *compound) sectors(data []byte) (start uint32) {
	start, c.fat = chain(c.fat, len(data), sectorSize)
	c.out = fill(append(c.out, data...), sectorSize, 0)
	return start
}

// chain appends what holds so many bytes to a table in which each sector names
// the next.
func chain(fat []uint32, length, size int) (start uint32, longer []uint32) {
	if length == 0 {
		return endOfChain, fat
	}
	start = uint32(len(fat))
	for n := (length + size - 1) / size; n > 1; n-- {
		fat = append(fat, uint32(len(fat)+1))
	}
	return start, append(fat, endOfChain)
}

// fill brings bytes to a whole number of units.
func fill(b []byte, unit int, with byte) []byte {
	for len(b)%unit != 0 {
		b = append(b, with)
	}
	return b
}

// table is a table of sectors as it stands in sectors itself.
func table(of []uint32) []byte {
	var b []byte
	for _, n := range of {
		b = binary.LittleEndian.AppendUint32(b, n)
	}
	return fill(b, sectorSize, 0xFF)
}

// tree makes a red-black tree of the entries of one folder: [MS-CFB] 2.6.4. Its
// levels are full but for the last one, and that is red.
func (c *compound) tree(kids []uint32) (root uint32) {
	slices.SortFunc(kids, func(a, b uint32) int { return compareNames(c.entries[a].name, c.entries[b].name) })
	levels := 0
	for 1<<levels <= len(kids) {
		levels++
	}
	var grow func(kids []uint32, level int) uint32
	grow = func(kids []uint32, level int) uint32 {
		if len(kids) == 0 {
			return nothing
		}
		middle := len(kids) / 2
		e := &c.entries[kids[middle]]
		e.red = level > 1 && level == levels
		e.left, e.right = grow(kids[:middle], level+1), grow(kids[middle+1:], level+1)
		return kids[middle]
	}
	return grow(kids, 1)
}

// compareNames orders names as readers look them up: shorter ones first, then
// by letters without regard to their case.
func compareNames(a, b []byte) int {
	if len(a) != len(b) {
		return len(a) - len(b)
	}
	for i := 0; i < len(a); i += 2 {
		if d := upper(a[i:]) - upper(b[i:]); d != 0 {
			return int(d)
		}
	}
	return 0
}

func upper(unit []byte) rune {
	return unicode.ToUpper(rune(binary.LittleEndian.Uint16(unit)))
}

// directory is the list of entries: [MS-CFB] 2.6.1.
func (c *compound) directory() []byte {
	var b []byte
	put := func(n uint32) { b = binary.LittleEndian.AppendUint32(b, n) }
	for _, e := range c.entries {
		b = append(append(b, e.name...), make([]byte, 64-len(e.name))...)
		black := byte(1)
		if e.red {
			black = 0
		}
		b = append(b, byte(len(e.name)+2), 0, e.kind, black)
		put(e.left)
		put(e.right)
		put(e.child)
		b = append(b, make([]byte, 16+4+8+8)...) // class, flags and times
		put(e.start)
		put(uint32(e.size))
		put(0)
	}
	for len(b)%sectorSize != 0 {
		b = append(b, make([]byte, 68)...)
		put(nothing)
		put(nothing)
		put(nothing)
		b = append(b, make([]byte, 48)...)
	}
	return b
}

// finish writes the table of sectors, where its own sectors are, and the
// header: [MS-CFB] 2.2 to 2.5.
func (c *compound) finish(miniFAT, directory uint32) []byte {
	const inSector = sectorSize / 4
	tables, lists := 0, 0
	for tables*inSector < len(c.fat)+tables+lists {
		tables++
		lists = (max(tables-listedInHeader, 0) + inSector - 2) / (inSector - 1)
	}
	first := len(c.fat)
	var where []uint32
	for i := range tables {
		where = append(where, uint32(first+i))
		c.fat = append(c.fat, fatSector)
	}
	for range lists {
		c.fat = append(c.fat, difatSector)
	}
	c.out = append(c.out, table(c.fat)...)
	inHeader := min(listedInHeader, tables)
	firstList := uint32(endOfChain)
	if lists > 0 {
		firstList = uint32(first + tables)
	}
	for i, rest := 1, where[inHeader:]; i <= lists; i++ {
		n := min(inSector-1, len(rest))
		list := table(rest[:n])
		next := firstList + uint32(i)
		if i == lists {
			next = endOfChain
		}
		binary.LittleEndian.PutUint32(list[sectorSize-4:], next)
		c.out, rest = append(c.out, list...), rest[n:]
	}

	head := []byte(signature)
	head = append(head, make([]byte, 16)...)
	for _, n := range []uint16{0x3E, 3, 0xFFFE, 9, 6, 0, 0, 0} { // versions, byte order, sizes
		head = binary.LittleEndian.AppendUint16(head, n)
	}
	for _, n := range []uint32{0, uint32(tables), directory, 0, miniCutoff,
		miniFAT, uint32((len(c.miniFAT) + inSector - 1) / inSector), firstList, uint32(lists)} {
		head = binary.LittleEndian.AppendUint32(head, n)
	}
	copy(c.out, append(head, table(where[:inHeader])[:sectorSize-76]...))
	return c.out
}
