package bot_test

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/store"
	"deepward/store/catch"
)

// The words that a person on a boat types, with all that an answer needs.
const typical = "red snapper 45m 3kg eyes bulging"

// BenchmarkQuestions is what a poll of 100 questions costs the desk, with the
// commits: the answers are queued, and noted as sent together.
func BenchmarkQuestions(b *testing.B) { benchmarkDesk(b, typical) }

// BenchmarkReports is the same for 100 reports.
func BenchmarkReports(b *testing.B) { benchmarkDesk(b, "log gag 40 m 52 cm sent down 40 oz") }

func benchmarkDesk(b *testing.B, text string) {
	desk := &bot.Desk{Store: open(b), Engine: bot.NewEngine(), Maker: noFiles{}, Log: quiet}
	const batch = 100
	list := make([]bot.Message, batch)
	update := catch.UpdateID(0)
	b.ReportAllocs()
	for b.Loop() {
		for i := range list {
			update++
			who := bot.Person{ID: catch.PersonID(2000 + i), Name: "Angler"}
			at := time.Unix(1.9e9+int64(update), 0)
			list[i] = bot.Message{Update: update, Chat: private(who), Sender: who, ID: int(update), Text: text, SentAt: at, ReceivedAt: at, Addressed: true}
		}
		sendings, err := desk.Take(context.Background(), list)
		require.NoError(b, err)
		settled := make([]bot.Settled, len(sendings))
		for i, s := range sendings {
			settled[i] = bot.Settled{Sending: s, Message: i + 1}
		}
		require.NoError(b, desk.Settle(context.Background(), settled))
	}
	b.ReportMetric(float64(b.N*batch)/b.Elapsed().Seconds(), "messages/s")
}

// open opens a fresh store.
func open(tb testing.TB) *store.Store {
	tb.Helper()
	dir := tb.TempDir()
	s, err := store.Open(dir+"/t.db", store.Options{KeyFile: dir + "/keys/key"})
	require.NoError(tb, err)
	tb.Cleanup(func() { require.NoError(tb, s.Close()) })
	return s
}
