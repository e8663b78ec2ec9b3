//go:build unix

package main

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot/telegram/standin"
)

// A hang-up does not end the service, and a key that all may read is warned of.
func TestHangUpDoesNotEndTheServiceAndAnOpenKeyIsWarnedOf(t *testing.T) {
	t.Parallel()
	api := standin.New()
	defer api.Close()
	dir := t.TempDir()
	db, key := filepath.Join(dir, "t.db"), filepath.Join(dir, "key")
	fill(t, db, key, 1)
	require.NoError(t, os.Chmod(key, 0o644))
	child := serveChild(t, api, db, key)
	said := func(words string) func() bool {
		return func() bool { return strings.Contains(printed(child), words) }
	}
	require.Eventually(t, said("everybody on this machine may read the key"), 20*time.Second, 10*time.Millisecond)
	require.NoError(t, child.Process.Signal(syscall.SIGHUP))
	require.Eventually(t, said("a hang-up changes nothing"), 20*time.Second, 10*time.Millisecond)
	api.Push(standin.Private(7, 1, "gag 40m 3kg"))
	assert.Len(t, api.Await(1, 20*time.Second), 1)
	require.NoError(t, child.Process.Signal(os.Interrupt))
	require.NoError(t, child.Wait())
}
