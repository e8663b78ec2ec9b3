package files_test

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot"
	"deepward/bot/files"
	"deepward/store"
	"deepward/store/catch"
)

// A reader of the store that goes on for long makes the file grow, and may hold a
// writer up. An upload goes on for long: so a file is whole when it is handed out,
// and needs no store any more. Closing a store waits for its readers.
func TestFileNeedsNoStoreOnceItIsMade(t *testing.T) {
	for name, a := range map[string]bot.Attachment{
		"export":  {Kind: bot.FileExport, Args: map[string]string{"chat": "3", "format": "csv"}},
		"summary": {Kind: bot.FileSummary, Args: map[string]string{"chat": "3"}},
		"my data": {Kind: bot.FileMyData, Args: map[string]string{"person": "501"}},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			s, err := store.Open(filepath.Join(dir, "t.db"), store.Options{KeyFile: filepath.Join(dir, "key")})
			require.NoError(t, err)
			now := time.Date(2026, 5, 2, 12, 0, 0, 0, time.UTC)
			require.NoError(t, s.Update(func(tx *store.Tx) error {
				_, err := tx.AddReport(&catch.Report{Chat: 3, CaughtAt: now, Species: "Mycteroperca microlepis", Capture: advisor.Capture{DepthM: new(40.0)}, Release: advisor.Release{Method: advisor.Recompressed}, Personal: catch.Personal{Person: 501, Words: "log gag 40 m sent down"}})
				return err
			}))
			f, err := files.New(s, func() time.Time { return now }).Make(t.Context(), a)
			require.NoError(t, err)
			defer f.Done()
			closed := make(chan error, 1)
			go func() { closed <- s.Close() }()
			select {
			case err := <-closed:
				require.NoError(t, err)
			case <-time.After(5 * time.Second):
				require.Fail(t, "the file still reads the store")
			}
			data := f.Data
			if f.Path != "" {
				data, err = os.ReadFile(f.Path)
				require.NoError(t, err)
			}
			assert.NotEmpty(t, bytes.TrimSpace(data))
		})
	}
}
