package bot_test

import (
	"math/rand/v2"
	"os"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"

	"deepward/bot"
	"deepward/bot/understand"
	"deepward/bot/words"
)

// rubbish makes one message of nonsense: bytes, emoji, right-to-left text, SQL,
// HTML, endless words, shuffled pieces of real messages.
func rubbish(rng *rand.Rand) string {
	pieces := []string{
		"red snapper", "45m", "3kg", "'; DROP TABLE reports;--", "<script>alert(1)</script>", "<b>", "&amp;", "🐟🐟🐟", "السمك ٤٥ متر",
		"דג בעומק", "\u202e", "\x00\x01\xff", "%s%d%[1]s", "{{.}}", strings.Repeat("a", 200), "-", "1e309", "NaN", "½½½", "9999999999999999999",
		"/", "/log", "/undo", "log", "0m", "-45m", "45 45 45", "\n\n\n", "between 40 and", "to to to", "no no no no", "x9", "''\"\"", "1/0", "#", "tag", "A1",
	}
	var b strings.Builder
	for range rng.IntN(40) {
		b.WriteString(pieces[rng.IntN(len(pieces))])
		if rng.IntN(2) == 0 {
			b.WriteByte(' ')
		}
	}
	if rng.IntN(5) == 0 {
		for range rng.IntN(4096) {
			b.WriteByte(byte(rng.UintN(256)))
		}
	}
	return b.String()
}

func TestRubbishCrashesNothingAndGetsAShortAnswer(t *testing.T) {
	seed, n := uint64(time.Now().UnixNano()), 100 // other rubbish each time; all of it in the full sweep
	if os.Getenv("DEEPWARD_SWEEP") == "full" {
		seed, n = 1, 1000
	}
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 2))
	k := newTalk(t)
	reader := understand.NewReader()
	for i := range n {
		text := rubbish(rng)
		answer := bot.Respond(reader, text, understand.Setting{}, words.For("en", false))
		assert.LessOrEqual(t, strings.Count(answer.Reply, "\n"), 60, "%q", text)
		assert.NotContains(t, answer.Reply, "%!", "%q", text)
		if i%10 != 0 || !utf8.ValidString(text) {
			continue
		}
		for _, r := range k.say(ada, text) {
			assert.Less(t, len(r.Text), 9000, "%q", text)
		}
	}
}

func FuzzRespond(f *testing.F) {
	for _, seed := range []string{"red snapper 45m 3kg eyes bulging", "log gag 40 m", "\x00", "3 gag 50m 2kg, 4kg and 5kg", "½ lb 6 fm", "/x@y z", "12 Nov\ngag 40m kept\n05/06 2 gag", "27.04.2026 1/2", "hace 3 dias"} {
		f.Add(seed)
	}
	reader := understand.NewReader()
	v := words.For("en", true)
	f.Fuzz(func(t *testing.T, text string) {
		a := bot.Respond(reader, text, understand.Setting{}, v)
		q := a.Query
		if q.DepthM != nil && (*q.DepthM <= 0 || *q.DepthM > 1000) {
			t.Fatalf("depth %v from %q", *q.DepthM, text)
		}
		if q.WeightKg != nil && (*q.WeightKg <= 0 || *q.WeightKg > 300) {
			t.Fatalf("weight %v from %q", *q.WeightKg, text)
		}
		if q.Count < 1 || q.Signs == nil || q.Candidates == nil {
			t.Fatalf("query %+v from %q", q, text)
		}
	})
}
