package encryption

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// What a compound file was made of is read out of it again by another library,
// whatever the names, their depth and the sizes.
func TestCompoundGivesBackItsStreams(t *testing.T) {
	names := rapid.StringOfN(rapid.RuneFrom([]rune("aAbBzé\x05\x06 _9世")), 1, 31, -1)
	sizes := rapid.OneOf(
		rapid.SampledFrom([]int{0, 1, 63, 64, 65, 511, 512, 513, 4095, 4096, 4097}),
		rapid.IntRange(0, 20_000))
	rapid.Check(t, func(t *rapid.T) {
		streams, used := map[string][]byte{}, map[string]bool{}
		for range rapid.IntRange(0, 40).Draw(t, "streams") {
			path := strings.Join(rapid.SliceOfN(names, 1, 3).Draw(t, "path"), "/")
			// The library does not tell apart folders that differ by what is not
			// printed, nor any reader those that differ by case.
			key := strings.ToUpper(strings.NewReplacer("\x05", "", "\x06", "").Replace(path))
			parts := strings.Split(key, "/")
			fits := !used[key] && !strings.Contains("/"+key+"/", "//")
			for i := range parts {
				fits = fits && streams[strings.Join(parts[:i], "/")] == nil && !used[strings.Join(parts[:i+1], "/")]
			}
			if !fits {
				continue
			}
			for i := range parts {
				used[strings.Join(parts[:i+1], "/")] = true
			}
			size := sizes.Draw(t, "size")
			streams[path] = bytes.Repeat([]byte{byte(size + 1)}, size)
		}
		file, err := writeCompound(streams)
		require.NoError(t, err)
		require.Zero(t, len(file)%sectorSize)
		back, err := readCompound(file)
		require.NoError(t, err)
		require.Equal(t, streams, back)
		sound(t, file)
	})
}

// sound checks the trees of a file's directory by the rules of [MS-CFB] 2.6.4:
// a reader that looks a name up finds it, and each is a red-black tree.
func sound(t require.TestingT, file []byte) {
	number := func(at int) int { return int(binary.LittleEndian.Uint32(file[at:])) }
	entry := func(i int) int { return (number(48)+1)*sectorSize + 128*i }
	name := func(i int) []byte { return file[entry(i):][:int(file[entry(i)+64])-2] }
	red := func(i int) bool { return i != nothing && file[entry(i)+67] == 0 }
	seen := 0
	var walk func(i int, low, high []byte) (blacks int)
	walk = func(i int, low, high []byte) int {
		if i == nothing {
			return 0
		}
		seen++
		left, right := number(entry(i)+68), number(entry(i)+72)
		require.True(t, low == nil || compareNames(low, name(i)) < 0)
		require.True(t, high == nil || compareNames(name(i), high) < 0)
		require.False(t, red(i) && (red(left) || red(right)), "red below red")
		blacks := walk(left, low, name(i))
		require.Equal(t, blacks, walk(right, name(i), high), "unequal ways down")
		if child := number(entry(i) + 76); child != nothing {
			require.False(t, red(child), "red at the top")
			walk(child, nil, nil)
		}
		if red(i) {
			return blacks
		}
		return blacks + 1
	}
	walk(0, nil, nil)
	for entry(seen)%sectorSize != 0 {
		require.Zero(t, file[entry(seen)+66], "an entry that no way leads to")
		seen++
	}
}

// Names are ordered as [MS-CFB] 2.6.4 says: by length, then by letters brought to
// capitals.
func TestNamesAreOrderedAsReadersLookThemUp(t *testing.T) {
	ordered := []string{"z", "AA", "ab", "AC", "ÉA", "世A", "aaa", "EncryptionInfo", "EncryptedPackage"}
	for i, a := range ordered {
		for j, b := range ordered {
			assert.Equal(t, i < j, compareNames(spell(a), spell(b)) < 0, "%s %s", a, b)
			assert.Equal(t, i == j, compareNames(spell(a), spell(b)) == 0, "%s %s", a, b)
		}
	}
	assert.Zero(t, compareNames(spell("éa"), spell("ÉA")))
}

// The header lists 109 sectors of the table; from there on further sectors list
// them, 127 each.
func TestCompoundAboveWhatTheHeaderLists(t *testing.T) {
	for _, tables := range []int{1, 109, 109 + 127} {
		seen := map[string]bool{}
		for more := -4; more <= 4; more++ {
			data := make([]byte, (tables*sectorSize/4-tables-1-max(0, (tables-109+126)/127)+more)*sectorSize)
			for i := 0; i < len(data); i += sectorSize {
				binary.LittleEndian.PutUint32(data[i:], uint32(i))
			}
			file, err := writeCompound(map[string][]byte{"s": data})
			require.NoError(t, err)
			back, err := readCompound(file)
			require.NoError(t, err)
			require.True(t, bytes.Equal(data, back["s"]), "%d %d", tables, more)
			used, lists := binary.LittleEndian.Uint32(file[44:]), binary.LittleEndian.Uint32(file[72:])
			require.Equal(t, (max(int(used)-109, 0)+126)/127, int(lists))
			require.LessOrEqual(t, len(file)/sectorSize-1, int(used)*sectorSize/4)
			require.Greater(t, len(file)/sectorSize-1, int(used-1)*sectorSize/4)
			seen[fmt.Sprint(used, lists)] = true
		}
		assert.Greater(t, len(seen), 1, "the border of %d was not crossed", tables)
	}
}

// A stream may not be longer than version 3 can say.
func TestCompoundTooLarge(t *testing.T) {
	_, err := writeCompound(map[string][]byte{"s": make([]byte, mostInStream+1)}) // never touched, so not in memory
	assert.ErrorContains(t, err, "too large to be encrypted; ")
}
