package files_test

import (
	"context"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/bot/files"
	"deepward/store"
	"deepward/store/demo"
)

func TestReportIsASheetOrAPageOfTheSeason(t *testing.T) {
	dir := t.TempDir()
	s, err := store.Open(filepath.Join(dir, "t.db"), store.Options{KeyFile: filepath.Join(dir, "keys", "key")})
	require.NoError(t, err)
	defer s.Close()
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		for _, r := range demo.Reports(60, 7, 5) {
			if _, err := tx.AddReport(r); err != nil {
				return err
			}
		}
		return nil
	}))
	m := files.New(s, time.Now)
	for form, name := range map[string]string{"sheet": "season-sheet.html", "page": "season.html"} {
		f, err := m.Make(context.Background(), bot.Attachment{Kind: bot.FileReport, Args: map[string]string{"chat": "7", "season": demo.SeasonName, "form": form, "language": "es"}})
		require.NoError(t, err)
		assert.Equal(t, name, f.Name)
		assert.Contains(t, string(f.Data), "Datos inventados", "made-up reports are called that")
		assert.Contains(t, string(f.Data), demo.SeasonName)
	}
}
