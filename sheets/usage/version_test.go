package usage

import (
	"runtime/debug"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestVersion(t *testing.T) {
	build := func(version string, settings ...debug.BuildSetting) *debug.BuildInfo {
		return &debug.BuildInfo{Main: debug.Module{Version: version}, Settings: settings}
	}
	revision := debug.BuildSetting{Key: "vcs.revision", Value: "0123abcd"}
	assert.Equal(t, "unknown", Version(nil))
	assert.Equal(t, "(devel), revision not recorded by this build", Version(build("(devel)")))
	assert.Equal(t, "v1.2.3, revision 0123abcd", Version(build("v1.2.3", revision, debug.BuildSetting{Key: "vcs.modified", Value: "false"})))
	assert.Equal(t, "v1.2.3, revision 0123abcd with changes", Version(build("v1.2.3", revision, debug.BuildSetting{Key: "vcs.modified", Value: "true"})))
	assert.Equal(t, "2026-11-25", BuiltFrom(build("v1.2.3", revision, debug.BuildSetting{Key: "vcs.time", Value: "2026-11-25T21:51:35Z"})))
	assert.Empty(t, BuiltFrom(build("v1.2.3")))
	assert.Empty(t, BuiltFrom(nil))
}
