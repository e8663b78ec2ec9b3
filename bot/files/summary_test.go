package files_test

import (
	"bytes"
	"context"
	"fmt"
	"image/png"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot"
	"deepward/bot/files"
	"deepward/store"
	"deepward/store/demo"
)

func TestSummaryIsAPictureInTheReadersLanguage(t *testing.T) {
	dir := t.TempDir()
	s, err := store.Open(filepath.Join(dir, "t.db"), store.Options{KeyFile: filepath.Join(dir, "keys", "key")})
	require.NoError(t, err)
	defer s.Close()
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		for _, r := range demo.Reports(120, 7, 5) {
			if _, err := tx.AddReport(r); err != nil {
				return err
			}
		}
		return nil
	}))
	m := files.New(s, nil)
	seen := map[string]bool{}
	for _, language := range advisor.BaseLanguages() {
		f, err := m.Make(context.Background(), bot.Attachment{Kind: bot.FileSummary, Args: map[string]string{"chat": "7", "language": language}})
		require.NoError(t, err, language)
		picture, err := png.DecodeConfig(bytes.NewReader(f.Data))
		require.NoError(t, err)
		assert.Greater(t, picture.Width, 900)
		seen[fmt.Sprint(f.Data)] = true
	}
	assert.Len(t, seen, 4, "each language has words of its own")
	f, err := m.Make(context.Background(), bot.Attachment{Kind: bot.FileSummary, Args: map[string]string{"chat": "8"}})
	require.NoError(t, err)
	assert.Empty(t, f.Name, "words only, of nothing")
	assert.Equal(t, "No reports to sum up yet", f.Caption)
}
