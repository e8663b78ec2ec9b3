package store_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"deepward/store"
	"deepward/store/catch"
)

// writeUntilKilled adds reports and says so after each commit.
func writeUntilKilled(dir string) {
	s, err := store.Open(filepath.Join(dir, "data", "t.db"), store.Options{KeyFile: filepath.Join(dir, "config", "key")})
	if err != nil {
		fmt.Println("error", err)
		os.Exit(1)
	}
	for {
		r := report(501, time.Now())
		err := s.Update(func(tx *store.Tx) error { _, err := tx.AddReport(r); return err })
		if err != nil {
			fmt.Println("error", err)
			os.Exit(1)
		}
		fmt.Println(r.Number)
	}
}

// kills is how often the crash test kills the writer; DEEPWARD_KILLS for the long run.
func kills() int {
	if n, err := strconv.Atoi(os.Getenv("DEEPWARD_KILLS")); err == nil {
		return n
	}
	return 10
}

func TestKilledWriterLosesNothingThatWasAcknowledged(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	acknowledged := uint64(0)
	for i := range kills() {
		acknowledged = max(acknowledged, killAfter(t, dir, time.Duration(3+17*i%90)*time.Millisecond))
		s := open(t, dir)
		require.NoError(t, s.Check(context.Background()))
		require.GreaterOrEqual(t, uint64(len(all(t, s, catch.Filter{Personal: true}))), acknowledged)
		require.NoError(t, s.Close())
	}
	t.Logf("%d kills, %d reports acknowledged, none lost", kills(), acknowledged)
}

// killAfter runs the writer for a while, kills it, and returns the last number
// it had acknowledged.
func killAfter(t *testing.T, dir string, d time.Duration) (last uint64) {
	t.Helper()
	cmd := child("writer", dir)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	timer := time.AfterFunc(d, func() { _ = cmd.Process.Kill() })
	defer timer.Stop()
	var n uint64
	for {
		if _, err := fmt.Fscan(out, &n); err != nil {
			break
		}
		last = n
	}
	_ = cmd.Wait()
	return last
}

// Trap: the first creation is the one moment at which an abrupt end can leave a
// broken file.
func TestKilledWhileTheStoreIsMadeLeavesNoBrokenOne(t *testing.T) {
	t.Parallel()
	made := 0
	for i := range 2 * kills() {
		dir := t.TempDir()
		acknowledged := killAfter(t, dir, time.Duration(1+i%20)*time.Millisecond)
		if _, err := os.Stat(filepath.Join(dir, "data", "t.db")); err == nil {
			made++
		}
		s := open(t, dir)
		require.NoError(t, s.Check(context.Background()))
		require.GreaterOrEqual(t, uint64(len(all(t, s, catch.Filter{}))), acknowledged)
		require.NoError(t, s.Close())
	}
	t.Logf("%d kills, the store was there after %d", 2*kills(), made)
}
