package entry

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestNear(t *testing.T) {
	known := []string{"arc_time", "arc_tame", "line_arc", "wall", "od", "Coupe Demo-A", "Coupe Demo-B"}
	assert.Equal(t, []string{"arc_time", "arc_tame"}, Near("arc_tmie", known), "a swap is one slip, a swap and a wrong letter two")
	assert.Equal(t, []string{"Coupe Demo-A", "Coupe Demo-B"}, Near("coupe demo-c", known), "capitals make no difference")
	assert.Equal(t, []string{"arc_time", "arc_tame", "line_arc"}, Near("arc", known), "what has it in it")
	assert.Equal(t, []string{"wall"}, Near("wall thickness", known), "what is in it; two letters are in too much")
	assert.Empty(t, Near("qqq", known))
	assert.Empty(t, Near(" ", known))
}
