package main

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// harms are the ways in which a file is damaged; each says what it did.
var harms = []func(data []byte, rng *rand.Rand) ([]byte, string){
	func(data []byte, rng *rand.Rand) ([]byte, string) {
		at, bit := rng.IntN(len(data)), rng.IntN(8)
		data[at] ^= 1 << bit
		return data, fmt.Sprintf("bit %d of byte %d", bit, at)
	},
	func(data []byte, rng *rand.Rand) ([]byte, string) { // where bbolt keeps what it goes by
		at, bit := 4096*rng.IntN(len(data)/4096)+rng.IntN(64), rng.IntN(8)
		data[at] ^= 1 << bit
		return data, fmt.Sprintf("bit %d of byte %d, head of a page", bit, at)
	},
	func(data []byte, rng *rand.Rand) ([]byte, string) {
		n := rng.IntN(len(data))
		return data[:n], fmt.Sprintf("cut at %d", n)
	},
	func(data []byte, rng *rand.Rand) ([]byte, string) {
		page := rng.IntN(len(data) / 4096)
		for i := range 4096 {
			data[4096*page+i] = byte(rng.Uint32())
		}
		return data, fmt.Sprintf("page %d of noise", page)
	},
	func(data []byte, rng *rand.Rand) ([]byte, string) {
		page := rng.IntN(len(data) / 4096)
		clear(data[4096*page : 4096*page+4096])
		return data, fmt.Sprintf("page %d of zeros", page)
	},
}

// Whatever happens to the file, every command ends with one line that says what is wrong
// and what to do: no trace of the runtime, and no disk is called full that is not. The
// same seed does the same harm; DEEPWARD_HARM is how often.
func TestHarmToTheFileIsToldInOneLine(t *testing.T) {
	t.Parallel()
	times := 5
	if n, err := strconv.Atoi(os.Getenv("DEEPWARD_HARM")); err == nil {
		times = n
	}
	dir := t.TempDir()
	code, _, errs := command(t, "", "demo", "--dir", dir, "--reports", "150")
	require.Equal(t, exitDone, code, errs)
	good, err := os.ReadFile(filepath.Join(dir, "demo.db"))
	require.NoError(t, err)
	key := filepath.Join(dir, "demo.key")
	rng := rand.New(rand.NewPCG(20260502, 12))
	for n := range times {
		for _, harm := range harms {
			data, what := harm(bytes.Clone(good), rng)
			for _, args := range [][]string{
				{"backup", "--check"}, {"export", "--format", "csv"}, {"season"}, {"report", "--json"}, {"aside"},
				{"backup", "--out", filepath.Join(t.TempDir(), "copy.db")},
				{"backup", "--compact", filepath.Join(t.TempDir(), "compact.db")},
				{"backup", "--salvage", filepath.Join(t.TempDir(), "salvaged.db")},
			} {
				db := filepath.Join(dir, "harmed.db")
				require.NoError(t, os.WriteFile(db, data, 0o600))
				assertTold(t, fmt.Sprintf("%d: %s: %v", n, what, args), append(args, "--db", db, "--key-file", key))
				left, err := filepath.Glob(filepath.Join(dir, ".deepward-*"))
				require.NoError(t, err)
				require.Empty(t, left)
			}
			db := filepath.Join(dir, "harmed.db")
			require.NoError(t, os.WriteFile(db, data, 0o600))
			_, _, errs := command(t, "log gag 40 m 5 kg sent down\n/mine\n", "chat", "--db", db, "--key-file", key)
			assertNoTrace(t, fmt.Sprintf("%d: %s: chat", n, what), errs)
		}
	}
}

func assertTold(t *testing.T, what string, args []string) {
	t.Helper()
	code, _, errs := command(t, "", args...)
	if code == exitDone {
		assert.Empty(t, errs, what)
		return
	}
	assert.LessOrEqual(t, strings.Count(errs, "\n"), 1, "%s: %s", what, errs)
	assertNoTrace(t, what, errs)
	assert.Regexp(t, `restore|salvage|--check|name the right one|no clubs|nothing|ward season|a backup`, errs, what)
}

func assertNoTrace(t *testing.T, what, errs string) {
	t.Helper()
	for _, never := range []string{"disk is full", "goroutine", "runtime error", "panic", "nil pointer"} {
		assert.NotContains(t, errs, never, what)
	}
}
