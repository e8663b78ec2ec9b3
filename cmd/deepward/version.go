package main

import (
	"fmt"
	"runtime"
	"runtime/debug"
)

// build is what this program was built from.
type build struct {
	// commit is that of the source, "unknown" where the build did not see one; it ends in
	// "+changes" where the source was not all committed.
	commit string
	// date is when the commit was made, "" if unknown.
	date string
}

// commit and date are set by .ci/build, for builds in which Go notes neither.
var commit, date string

// thisBuild reads what the Go toolchain noted when it built the program.
func thisBuild() build {
	info, ok := debug.ReadBuildInfo()
	switch {
	case commit != "":
		return build{commit, date}
	case !ok:
		return build{commit: "unknown"}
	}
	return buildOf(info.Settings)
}

func buildOf(settings []debug.BuildSetting) build {
	b := build{commit: "unknown"}
	changed := ""
	for _, s := range settings {
		switch s.Key {
		case "vcs.revision":
			b.commit = s.Value[:min(12, len(s.Value))]
		case "vcs.time":
			b.date = s.Value
		case "vcs.modified":
			if s.Value == "true" {
				changed = "+changes"
			}
		}
	}
	b.commit += changed
	return b
}

// String is one line for --version.
func (b build) String() string {
	return fmt.Sprintf("deepward %s %s %s %s/%s", b.commit, b.date, runtime.Version(), runtime.GOOS, runtime.GOARCH)
}
