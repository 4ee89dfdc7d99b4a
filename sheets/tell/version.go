package tell

import (
	"fmt"
	"runtime/debug"
)

// Version is the version of a build: that of the module, and the revision of
// the sources it was built from where the build recorded one.
func Version(info *debug.BuildInfo) string {
	if info == nil || info.Main.Version == "" {
		return "unknown"
	}
	var revision, modified string
	for _, s := range info.Settings {
		switch s.Key {
		case "vcs.revision":
			revision = s.Value
		case "vcs.modified":
			modified = s.Value
		}
	}
	if revision == "" {
		return info.Main.Version
	}
	text := fmt.Sprintf("%s, revision %s", info.Main.Version, revision)
	if modified == "true" {
		text += " with changes"
	}
	return text
}
