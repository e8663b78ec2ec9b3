package files_test

import (
	"context"
	"log/slog"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/bot/files"
	"deepward/store"
	"deepward/store/catch"
)

func TestMyDataHoldsReportsAndQuestionsOfThatPersonOnly(t *testing.T) {
	now := func() time.Time { return time.Date(2026, 5, 2, 9, 0, 0, 0, time.UTC) }
	s, err := store.Open(filepath.Join(t.TempDir(), "log.db"), store.Options{KeyFile: filepath.Join(t.TempDir(), "key"), Now: now})
	require.NoError(t, err)
	defer s.Close()
	desk := &bot.Desk{Store: s, Engine: bot.NewEngine(), Maker: files.New(s, now), Log: slog.New(slog.DiscardHandler)}
	say := func(update catch.UpdateID, who catch.PersonID, text string) {
		_, err := desk.Take(context.Background(), []bot.Message{{
			Update: update, Chat: bot.Chat{ID: catch.ChatID(who)}, Sender: bot.Person{ID: who, Name: "P", Admin: true}, ID: int(update),
			Text: text, SentAt: now(), ReceivedAt: now(), Addressed: true,
		}})
		require.NoError(t, err)
	}
	say(1, 501, "gag 40m 3kg by the old wreck")
	say(2, 501, "log scamp 70 m sent down 40 oz")
	say(3, 502, "red snapper 45m 2kg")
	f, err := files.New(s, now).Make(context.Background(), bot.Attachment{Kind: bot.FileMyData, Args: map[string]string{"person": "501"}})
	require.NoError(t, err)
	for _, part := range []string{"gag 40m 3kg by the old wreck", "log scamp 70 m", "settings"} {
		assert.Contains(t, string(f.Data), part)
	}
	assert.NotContains(t, string(f.Data), "red snapper")
}
