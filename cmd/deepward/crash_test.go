package main

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot/telegram/standin"
	"deepward/store"
)

// TestMain lets the test binary be the program itself, so that it can be killed.
func TestMain(m *testing.M) {
	if os.Getenv("DEEPWARD_TEST_CHILD") != "" {
		os.Exit(run(os.Args[1:], env{os.Stdin, os.Stdout, os.Stderr, time.Now}))
	}
	os.Exit(m.Run())
}

// serveChild starts the program against a stand-in.
func serveChild(t *testing.T, api *standin.Server, db, key string) *exec.Cmd {
	t.Helper()
	cmd := exec.Command(os.Args[0], "serve", "--db", db, "--key-file", key, "--api-url", api.URL, "--health", "", "--no-limits")
	cmd.Env = append(os.Environ(), "DEEPWARD_TEST_CHILD=1", "DEEPWARD_TOKEN="+standin.Token)
	cmd.Stderr = os.Stderr
	if !testing.Verbose() {
		cmd.Stderr = nil
	}
	require.NoError(t, cmd.Start())
	return cmd
}

// kills is how often the program is killed; DEEPWARD_KILLS for the long run.
func kills() int {
	if n, err := strconv.Atoi(os.Getenv("DEEPWARD_KILLS")); err == nil {
		return n
	}
	return 10
}

var confirmed = regexp.MustCompile(`Kept as no\. (\d+)`)

// The promise: what was acknowledged is in the store; what came in is there
// exactly once, however often the program dies; every report is confirmed.
func TestKilledAtRandomLosesNoReportAndKeepsNoneTwice(t *testing.T) {
	api := standin.New()
	defer api.Close()
	dir := t.TempDir()
	db, key := filepath.Join(dir, "d", "t.db"), filepath.Join(dir, "k", "key")
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 1))
	sent := 0
	for range kills() {
		child := serveChild(t, api, db, key)
		until := time.Now().Add(time.Duration(60+rng.IntN(120)) * time.Millisecond)
		for time.Now().Before(until) {
			sent++
			api.Push(standin.Private(int64(500+sent%7), sent, fmt.Sprintf("log gag 40 m %d cm sent down 40 oz", 30+sent%50)))
			time.Sleep(time.Duration(rng.IntN(4)) * time.Millisecond)
		}
		require.NoError(t, child.Process.Kill())
		_ = child.Wait()
	}
	last := serveChild(t, api, db, key)
	sent++ // one more, so that the last one is seen to serve
	api.Push(standin.Private(500, sent, "log gag 40 m sent down 40 oz"))
	assert.Eventually(t, func() bool { return len(confirmations(api)) == sent }, time.Minute, 250*time.Millisecond, "every report is confirmed")
	t.Logf("%d sent, %d confirmed, %d updates still wait", sent, len(confirmations(api)), api.Waiting())
	require.NoError(t, last.Process.Signal(os.Interrupt))
	require.NoError(t, last.Wait(), "a stop is clean")
	messages, numbers := stored(t, db, key)
	assert.Len(t, messages, sent, "each report once")
	for n := range confirmations(api) {
		assert.True(t, numbers[n], "confirmed no. %d is in the store", n)
	}
	t.Logf("%d kills, %d reports in, %d kept, %d confirmations (%d twice)", kills(), sent, len(messages), len(api.Calls()), len(api.Calls())-sent)
}

// confirmations are the report numbers that people were told.
func confirmations(api *standin.Server) map[uint64]bool {
	told := map[uint64]bool{}
	for _, c := range api.Calls() {
		if m := confirmed.FindStringSubmatch(c.Text); m != nil {
			n, _ := strconv.ParseUint(strings.TrimSpace(m[1]), 10, 64)
			told[n] = true
		}
	}
	return told
}

func stored(t *testing.T, db, key string) (messages map[string]int, numbers map[uint64]bool) {
	t.Helper()
	s, err := store.Open(db, store.Options{KeyFile: key})
	require.NoError(t, err)
	defer s.Close()
	require.NoError(t, s.Check(t.Context()))
	messages, numbers = map[string]int{}, map[uint64]bool{}
	require.NoError(t, s.View(func(tx *store.Tx) error {
		for r, err := range tx.Reports(store.Filter{Personal: true}) {
			if err != nil {
				return err
			}
			numbers[r.Number] = true
			messages[fmt.Sprint(r.Chat, "/", r.Message)]++
		}
		return nil
	}))
	for m, n := range messages {
		assert.Equal(t, 1, n, "message %s kept more than once", m)
	}
	return messages, numbers
}
