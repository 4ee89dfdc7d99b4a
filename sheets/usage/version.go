package usage

import (
	"fmt"
	"runtime/debug"
	"strings"
)

// Version is the version of a build: that of the module, and the revision of
// the sources it was built from where the build recorded one. Go records none
// outside a clone, in a further working tree of one, or with -buildvcs=false.
func Version(info *debug.BuildInfo) string {
	if info == nil || info.Main.Version == "" {
		return "unknown"
	}
	revision := setting(info, "vcs.revision")
	if revision == "" {
		return info.Main.Version + ", revision not recorded by this build"
	}
	text := fmt.Sprintf("%s, revision %s", info.Main.Version, revision)
	if setting(info, "vcs.modified") == "true" {
		text += " with changes"
	}
	return text
}

// BuiltFrom is the day of the revision that a build was made from, as
// 2026-11-25, "" where the build recorded none.
func BuiltFrom(info *debug.BuildInfo) string {
	if info == nil {
		return ""
	}
	day, _, _ := strings.Cut(setting(info, "vcs.time"), "T")
	return day
}

func setting(info *debug.BuildInfo, key string) string {
	for _, s := range info.Settings {
		if s.Key == key {
			return s.Value
		}
	}
	return ""
}
