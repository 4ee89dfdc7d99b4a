package sheets_test

import (
	"encoding/xml"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/bid"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

const (
	typesPart = "[Content_Types].xml"
	relsType  = "application/vnd.openxmlformats-package.relationships+xml" // ECMA-376 part 2
)

// typesOf reads the content types of a package.
func typesOf(t testing.TB, path string) *sheetstest.Types {
	t.Helper()
	types := &sheetstest.Types{}
	require.NoError(t, xml.Unmarshal([]byte(shop.Parts(t, path)[typesPart]), types))
	return types
}

// everyPartTyped demands a content type for each part, and the right one for
// relationships.
func everyPartTyped(t testing.TB, path string) {
	t.Helper()
	types := typesOf(t, path)
	for name := range shop.Parts(t, path) {
		if name == typesPart {
			continue
		}
		kind := types.Of(name)
		assert.NotContains(t, []string{"", "text/plain"}, kind, name)
		assert.Equal(t, strings.HasSuffix(name, ".rels"), kind == relsType, "%s is %s", name, kind)
	}
}

// typedAnew gives each part of a workbook an override, and other defaults.
func typedAnew(t testing.TB, path string, defaults ...sheetstest.DefaultType) string {
	t.Helper()
	names := slices.Sorted(maps.Keys(shop.Parts(t, path)))
	return shop.Repacked(t, path, typesPart, func(s string) string {
		out, err := sheetstest.OverridesOnly(s, names, defaults...)
		require.NoError(t, err)
		return out
	})
}

// LibreOffice of some years wrote no default for relationships, and an override
// for each part of them. Defaults may also be other than is usual.
func TestEveryPartHasAContentType(t *testing.T) {
	var wrong []sheetstest.DefaultType
	for _, ext := range []string{"rels", "xml", "png", "vml"} {
		wrong = append(wrong, sheetstest.DefaultType{Extension: ext, ContentType: "text/plain"})
	}
	for name, defaults := range map[string][]sheetstest.DefaultType{
		"none":  nil,
		"xml":   {{Extension: "xml", ContentType: "application/xml"}},
		"wrong": wrong,
	} {
		t.Run(name, func(t *testing.T) {
			in := typedAnew(t, shop.Unpriced(t, "order.xlsx"), defaults...)
			with := bid.Sheets()
			if name != "none" && !shop.Thorough() { // to draw takes most of the time
				with = slices.DeleteFunc(with, func(key string) bool { return key == "range" })
			}
			out, _ := shop.PriceWith(t, in, with...)
			everyPartTyped(t, out)
			had, has := shop.Parts(t, in), shop.Parts(t, out)
			mine := 0
			for part := range has {
				if _, ok := had[part]; !ok && strings.HasSuffix(part, ".rels") {
					mine++
				}
			}
			require.Greater(t, mine, 2, "no relationships of ours to try it on")

			again, rep := shop.Price(t, out)
			assert.True(t, rep.Unchanged)
			assert.True(t, shop.Content(t, out) == shop.Content(t, again))

			back := shop.Parts(t, shop.Cleared(t, out))
			assert.Equal(t, had[typesPart], back[typesPart])

			// As an earlier version priced it: our relationships have no type.
			was := shop.Repacked(t, out, typesPart, func(s string) string {
				for part := range has {
					if _, ok := back[part]; !ok && strings.HasSuffix(part, ".rels") {
						s = strings.Replace(s, `<Override PartName="/`+part+`" ContentType="`+relsType+`"/>`, "", 1)
					}
				}
				return s
			})
			require.Len(t, typesOf(t, was).Override, len(typesOf(t, out).Override)-mine)
			mended, rep := shop.Price(t, was)
			assert.False(t, rep.Unchanged)
			everyPartTyped(t, mended)
			before := shop.Parts(t, was)
			for part, text := range shop.Parts(t, mended) {
				if part != typesPart {
					assert.True(t, text == before[part], part)
				}
			}
			assert.Equal(t, had[typesPart], shop.Parts(t, shop.Cleared(t, mended))[typesPart])
			assert.Equal(t, had[typesPart], shop.Parts(t, shop.Cleared(t, was))[typesPart])
			again, rep = shop.Price(t, mended)
			assert.True(t, rep.Unchanged)
			assert.True(t, shop.Content(t, mended) == shop.Content(t, again))
		})
	}
}
