package main

import (
	"runtime/debug"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestVersionNamesTheCommit(t *testing.T) {
	code, out, errs := command(t, "", "--version")
	assert.Equal(t, exitDone, code, errs)
	assert.True(t, strings.HasPrefix(out, "deepward "), out)
	assert.Equal(t, 1, strings.Count(out, "\n"), out)

	b := buildOf([]debug.BuildSetting{{Key: "vcs.revision", Value: "0123456789abcdef0123"}, {Key: "vcs.time", Value: "2026-05-02T10:00:00Z"}, {Key: "vcs.modified", Value: "true"}})
	assert.Equal(t, build{"0123456789ab+changes", "2026-05-02T10:00:00Z"}, b)
	assert.Equal(t, "unknown", buildOf(nil).commit)
}
