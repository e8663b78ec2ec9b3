package main

import (
	"fmt"
	"net"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot/telegram/standin"
)

// listener is where systemd would listen.
func listener(t *testing.T) (path string, next func() string) {
	t.Helper()
	dir, err := os.MkdirTemp("", "n") // a socket's name is short
	require.NoError(t, err)
	t.Cleanup(func() { os.RemoveAll(dir) })
	path = filepath.Join(dir, "s")
	conn, err := net.ListenUnixgram("unixgram", &net.UnixAddr{Name: path, Net: "unixgram"})
	require.NoError(t, err)
	t.Cleanup(func() { conn.Close() })
	return path, func() string {
		word := make([]byte, 64)
		require.NoError(t, conn.SetReadDeadline(time.Now().Add(10*time.Second)))
		n, err := conn.Read(word)
		require.NoError(t, err)
		return string(word[:n])
	}
}

// The words are those of sd_notify(3), from memory.
func TestServedProgramTellsItsSupervisor(t *testing.T) {
	t.Parallel()
	api := standin.New()
	defer api.Close()
	dir := t.TempDir()
	socket, next := listener(t)
	child := serveChild(t, api, filepath.Join(dir, "t.db"), filepath.Join(dir, "key"), "NOTIFY_SOCKET="+socket, "WATCHDOG_USEC=100000")
	assert.Equal(t, "READY=1", next())
	for range 3 {
		assert.Equal(t, "WATCHDOG=1", next())
	}
	require.NoError(t, child.Process.Signal(os.Interrupt))
	word := next()
	for word == "WATCHDOG=1" {
		word = next()
	}
	assert.Equal(t, "STOPPING=1", word)
	require.NoError(t, child.Wait(), printed(child))
}

func TestSupervisorIsReadFromTheEnvironment(t *testing.T) {
	for _, c := range []struct {
		env   map[string]string
		every time.Duration
	}{
		{nil, 0},
		{map[string]string{"NOTIFY_SOCKET": "/x"}, 0},
		{map[string]string{"NOTIFY_SOCKET": "/x", "WATCHDOG_USEC": "60000000"}, 30 * time.Second},
		{map[string]string{"NOTIFY_SOCKET": "/x", "WATCHDOG_USEC": "60000000", "WATCHDOG_PID": fmt.Sprint(os.Getpid())}, 30 * time.Second},
		{map[string]string{"NOTIFY_SOCKET": "/x", "WATCHDOG_USEC": "60000000", "WATCHDOG_PID": "1"}, 0},
		{map[string]string{"NOTIFY_SOCKET": "/x", "WATCHDOG_USEC": "soon"}, 0},
		{map[string]string{"WATCHDOG_USEC": "60000000"}, 0},
	} {
		s, every := supervisor(func(name string) string { return c.env[name] })
		assert.Equal(t, c.every, every, "%v", c.env)
		assert.Equal(t, c.env["NOTIFY_SOCKET"], s.socket)
	}
	systemd{}.Ready()
	systemd{socket: filepath.Join(t.TempDir(), "nobody listens")}.Ready()
}
