package terminal_test

import (
	"bytes"
	"log/slog"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/bot/files"
	"deepward/bot/terminal"
	"deepward/store"
)

// sitting is one sitting at the terminal after another, with one store.
func sitting(t *testing.T, s *store.Store, at time.Time, lines ...string) string {
	t.Helper()
	now := func() time.Time { return at }
	var out bytes.Buffer
	desk := &bot.Desk{Store: s, Engine: bot.NewEngine(), Maker: files.New(s, now), Log: slog.New(slog.DiscardHandler)}
	term := &terminal.Terminal{Desk: desk, In: strings.NewReader(strings.Join(lines, "\n")), Out: &out, Now: now, Language: "en", SaveDir: t.TempDir()}
	require.NoError(t, term.Run(t.Context()))
	return out.String()
}

func newStore(t *testing.T) *store.Store {
	t.Helper()
	dir := t.TempDir()
	s, err := store.Open(filepath.Join(dir, "t.db"), store.Options{KeyFile: filepath.Join(dir, "keys", "key")})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, s.Close()) })
	return s
}

var noon = time.Date(2026, 5, 2, 12, 0, 0, 0, time.UTC)

func TestEditChangesTheLastMessageOnly(t *testing.T) {
	s := newStore(t)
	out := sitting(t, s, noon, "log gag 40 m sent down 40 oz", "edit log gag 48 m sent down 40 oz", "mine")
	assert.Contains(t, out, "Corrected no. 1")
	assert.Contains(t, out, "48 m")
}

// The messages of another day have numbers of their own: undo takes back one fish, not
// that of the first message of every sitting.
func TestASittingTouchesNoReportOfAnother(t *testing.T) {
	s := newStore(t)
	sitting(t, s, noon, "log gag 40 m sent down 40 oz")
	sitting(t, s, noon.Add(time.Hour), "log red grouper 30 m kept", "undo")
	out := sitting(t, s, noon.Add(2*time.Hour), "mine")
	assert.Regexp(t, `2 · .*Red grouper.*\(taken back\)`, out)
	assert.Regexp(t, `(?m)1 · .*Gag grouper[^(]*$`, out)
}
