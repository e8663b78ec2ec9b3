package files_test

import (
	"bytes"
	"context"
	"image/png"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/bot/draw"
	"deepward/bot/files"
)

func maker() *files.Maker {
	return files.New(nil, func() time.Time { return time.Date(2031, 5, 4, 12, 0, 0, 0, time.UTC) })
}

func TestEveryLessonIsAPictureForAPhone(t *testing.T) {
	for _, name := range draw.Lessons() {
		f, err := maker().Make(context.Background(), bot.Attachment{Kind: bot.FileLesson, Args: map[string]string{"name": name}})
		require.NoError(t, err, name)
		picture, err := png.DecodeConfig(bytes.NewReader(f.Data))
		require.NoError(t, err, name)
		// A photo may have at most 10,000 pixels around and 10 MB (Bot API, sendPhoto).
		assert.LessOrEqual(t, picture.Width+picture.Height, 10_000)
		assert.Less(t, len(f.Data), 10<<20)
		assert.Equal(t, 1080, picture.Width)
		assert.Equal(t, name+".png", f.Name)
	}
	_, err := maker().Make(context.Background(), bot.Attachment{Kind: bot.FileLesson, Args: map[string]string{"name": "knots"}})
	assert.ErrorIs(t, err, draw.ErrNoLesson)
}

func TestCardIsAPictureOrAPageWithTheWeightsAboard(t *testing.T) {
	args := map[string]string{"weights": "30 50", "language": "en"}
	f, err := maker().Make(context.Background(), bot.Attachment{Kind: bot.FileCard, Args: args})
	require.NoError(t, err)
	assert.Equal(t, "release-weights.png", f.Name)
	_, err = png.DecodeConfig(bytes.NewReader(f.Data))
	require.NoError(t, err)

	args["form"] = "html"
	f, err = maker().Make(context.Background(), bot.Attachment{Kind: bot.FileCard, Args: args})
	require.NoError(t, err)
	assert.Equal(t, "release-weights.html", f.Name)
	for _, part := range []string{"50+30", "2031-05-04", "<svg"} {
		assert.Contains(t, string(f.Data), part)
	}
}
