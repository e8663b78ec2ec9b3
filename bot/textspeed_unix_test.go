//go:build unix

package bot_test

import (
	"bufio"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot"
	talks "deepward/bot/talk"
	"deepward/bot/understand"
	"deepward/bot/words"
	"deepward/store/catch"
)

// text is a message or a talk of testdata/texts, as far as it is timed.
type text struct {
	Text, Lang, Place string
	Turns             []struct{ Say string }
}

// textsOf are the texts of the files that match, mixed: neighbours come from many sets.
func textsOf(b *testing.B, pattern string) []text {
	files, err := filepath.Glob("../testdata/texts/" + pattern)
	require.NoError(b, err)
	var all []text
	for _, file := range files {
		in, err := os.Open(file)
		require.NoError(b, err)
		lines := bufio.NewScanner(in)
		lines.Buffer(nil, 1<<20)
		for lines.Scan() {
			var x text
			require.NoError(b, json.Unmarshal(lines.Bytes(), &x))
			all = append(all, x)
		}
		require.NoError(b, in.Close())
	}
	const prime = 7919 // shares no factor with how many there are
	mixed := make([]text, len(all))
	for i := range all {
		mixed[i] = all[i*prime%len(all)]
	}
	return mixed
}

// timing are the times of single messages: by the clock, and of this program's processors.
type timing struct{ wall, processor []time.Duration }

func (t *timing) take(do func()) {
	began, spent := time.Now(), processorTime()
	do()
	t.wall, t.processor = append(t.wall, time.Since(began)), append(t.processor, processorTime()-spent)
}

func (t *timing) report(b *testing.B) {
	b.ReportMetric(0, "ns/op")
	for name, list := range map[string][]time.Duration{"wall": t.wall, "processor": t.processor} {
		slices.Sort(list)
		for of, share := range map[string]float64{"median": 0.5, "99th": 0.99} {
			b.ReportMetric(list[int(share*float64(len(list)-1))].Seconds()*1000, "ms-"+name+"-"+of)
		}
	}
}

func processorTime() time.Duration {
	var r syscall.Rusage
	_ = syscall.Getrusage(syscall.RUSAGE_SELF, &r)
	return time.Duration(r.Utime.Nano() + r.Stime.Nano())
}

// BenchmarkWrittenMessages reads, takes into a talk, advises on and words single messages of
// all sets, idle talk among them, one after another on one core.
func BenchmarkWrittenMessages(b *testing.B) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	all, reader, voice := textsOf(b, "written_*.jsonl"), understand.NewReader(), words.For("en", false)
	bot.Respond(reader, typical, understand.Setting{}, voice) // the tables are read
	var t timing
	for n := 0; b.Loop(); n++ {
		x := all[n%len(all)]
		region, _ := understand.FindRegion(x.Place)
		t.take(func() { bot.Respond(reader, x.Text, understand.Setting{Language: x.Lang, Region: region}, voice) })
	}
	t.report(b)
}

// BenchmarkTalks reads the turns of whole talks, in the light of what was said before, and
// advises on what is asked.
func BenchmarkTalks(b *testing.B) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	all, reader := textsOf(b, "talks_*.jsonl"), understand.NewReader()
	bot.Respond(reader, typical, understand.Setting{}, words.For("en", false))
	var t timing
	var state talks.State
	at := time.Date(2026, 5, 1, 6, 0, 0, 0, time.UTC)
	turn, n := 0, 0
	for b.Loop() {
		x := all[n%len(all)]
		region, _ := understand.FindRegion(x.Place)
		at = at.Add(time.Minute)
		t.take(func() {
			r := reader.Read(x.Turns[turn].Say, understand.Setting{Language: x.Lang, Region: region}, state.Context())
			var m talks.Move
			m, state = talks.Next(state, r, talks.Now{At: at})
			for _, f := range m.Fish {
				advisor.Advise(f.Query)
			}
		})
		if turn++; turn == len(x.Turns) {
			turn, n, state = 0, n+1, talks.State{}
		}
	}
	t.report(b)
}

// BenchmarkSteadyMessages is how long after it arrived a message is answered and kept, where
// 25 come in a second, one each 40 ms, on two cores.
func BenchmarkSteadyMessages(b *testing.B) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(2))
	all := textsOf(b, "written_*.jsonl")
	desk := &bot.Desk{Store: open(b), Engine: bot.NewEngine(), Maker: noFiles{}, Log: quiet}
	bot.Respond(desk.Engine.Reader, typical, understand.Setting{}, words.For("en", false))
	var t timing
	const every = time.Second / 25
	due := time.Now()
	for n := 0; b.Loop(); n++ {
		time.Sleep(time.Until(due))
		who, at := bot.Person{ID: catch.PersonID(2000 + n%200), Name: "Angler"}, time.Now()
		spent := processorTime()
		list, err := desk.Take(context.Background(), []bot.Message{{
			Update: catch.UpdateID(n + 1), Chat: private(who), Sender: who, ID: n + 1, Text: all[n%len(all)].Text, SentAt: at, ReceivedAt: at, Addressed: true,
		}})
		require.NoError(b, err)
		t.wall, t.processor = append(t.wall, time.Since(due)), append(t.processor, processorTime()-spent)
		settled := make([]bot.Settled, len(list))
		for i, s := range list {
			settled[i] = bot.Settled{Sending: s, Message: n + 1}
		}
		require.NoError(b, desk.Settle(context.Background(), settled))
		due = due.Add(every)
	}
	t.report(b)
}
