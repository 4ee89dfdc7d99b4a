package sayings_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"seamtally/sheets/sayings"
)

func TestNames(t *testing.T) {
	for text, want := range map[string][]string{"Coupe": {"Coupe"}, "Coupe, Spyder": {"Coupe", "Spyder"}, "Coupe and Spyder/": {"Coupe", "Spyder"}, " ": nil} {
		assert.Equal(t, want, sayings.SeveralNames(text), text)
	}
	for _, same := range [][2]string{{"Coupe", "coupe"}, {"DX-2", "DX 2"}, {"Spyder", "Spider"}, {"Spyder", "Spydr"}, {"Coupe long", "Coupe lnog"}} {
		assert.True(t, sayings.SameName(same[0], same[1]), same)
	}
	for _, other := range [][2]string{{"DX-2", "DX-3"}, {"GT", "GS"}, {"Spyder", "Spydexy"}, {"Coupe", "Coupe long"}, {"Red one", "Rod two"}} {
		assert.False(t, sayings.SameName(other[0], other[1]), other)
	}
	known := map[string]bool{"coupe": true, "dx-2": true}
	name, rest := sayings.NameIn("for the Coupe x2", known)
	assert.Equal(t, [2]string{"coupe", "for the   x2"}, [2]string{name, rest})
	for _, text := range []string{"coupes", "DX-22", "Spyder"} {
		name, _ = sayings.NameIn(text, known)
		assert.Empty(t, name, text)
	}
}
