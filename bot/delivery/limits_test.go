package delivery

import (
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/store/catch"
)

// However long calls take, and wherever in that time they arrive, no span has more
// than allowed.
func TestWindowIsNeverPassed(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		w := NewWindow(1+random.IntN(30), time.Second)
		now := time.Unix(1e9, 0)
		var arrived []time.Time
		type call struct {
			at  time.Time
			end func(time.Time)
		}
		var running []call
		for range 300 {
			now = now.Add(time.Duration(random.IntN(40)) * time.Millisecond)
			for len(running) > 0 && (random.IntN(3) > 0 || now.Sub(running[0].at) > hung/2) {
				c := running[0]
				running = running[1:]
				arrived = append(arrived, c.at.Add(time.Duration(random.Float64()*float64(now.Sub(c.at)))))
				c.end(now)
			}
			if end, wait := w.Begin(now); end != nil {
				running = append(running, call{now, end})
			} else {
				require.Positive(t, wait)
			}
		}
		for _, from := range arrived {
			n := 0
			for _, at := range arrived {
				if d := at.Sub(from); d >= 0 && d < time.Second {
					n++
				}
			}
			require.LessOrEqual(t, n, w.most)
		}
	}
}

// A call without an answer keeps its place for seconds, not for ever.
func TestWindowDoesNotWaitForCallsThatHang(t *testing.T) {
	w := NewWindow(1, time.Second)
	now := time.Unix(1e9, 0)
	end, _ := w.Begin(now)
	require.NotNil(t, end)
	_, wait := w.Begin(now)
	assert.Equal(t, hung+time.Second, wait)
	end(now.Add(time.Second))
	_, wait = w.Begin(now.Add(time.Second))
	assert.Equal(t, time.Second, wait)
}

func TestClassesLeaveRoomForThoseBefore(t *testing.T) {
	now := time.Unix(1e9, 0)
	for class, want := range map[class]int{answers: 20, taps: 16, marks: 12, refused: 12} {
		w := NewWindow(20, time.Minute)
		n := 0
		for !w.free(now, class.leaves(20)).After(now) {
			w.take(now)
			n++
		}
		assert.Equal(t, want, n)
	}
}

func TestPaceLetsABurstGoAndThenOneASecond(t *testing.T) {
	p := newPace(3)
	now := time.Unix(1e9, 0)
	var gone []time.Duration
	for at := now; len(gone) < 5; {
		if free := p.free(at, 0); free.After(at) {
			at = free
			continue
		}
		p.take(at)
		gone = append(gone, at.Sub(now).Round(10*time.Millisecond))
	}
	assert.Equal(t, []time.Duration{0, 0, 0, time.Second, 2 * time.Second}, gone)
}

// Chats that are quiet are forgotten: a season's worth of them takes no memory.
func TestQuietChatsAreForgotten(t *testing.T) {
	q := newQueue(Limits{Second: 30, Burst: 3, GroupMinute: 20}, NewWindow(0, time.Second))
	now := time.Unix(1e9, 0)
	for chat := range catch.ChatID(5000) {
		q.chatOf(bot.Reply{Chat: chat + 1, Group: chat%2 == 0}, now)
	}
	assert.LessOrEqual(t, len(q.chats), 2*idleChats)
}

// Those that wait for the limit over all take turns, the urgent first.
func TestChatsTakeTurns(t *testing.T) {
	now := time.Unix(1e9, 0)
	q := newQueue(Limits{}, NewWindow(1, time.Second))
	add := func(id uint64, r bot.Reply) { q.add(&Job{Sending: bot.Sending{ID: id, Reply: r}}, now) }
	for i := range uint64(3) {
		add(10+i, bot.Reply{Chat: -1, Group: true, React: true, ReplyTo: 1})
		add(20+i, bot.Reply{Chat: 2, Text: "a"})
		add(30+i, bot.Reply{Chat: 3, Text: "a"})
	}
	var order []uint64
	for len(order) < 9 {
		j, end, wait := q.next(now)
		if j == nil {
			now = now.Add(wait)
			continue
		}
		order = append(order, j.ID)
		end(now)
		q.done(j, Result{}, now)
	}
	assert.Equal(t, []uint64{20, 30, 21, 31, 22, 32, 10, 11, 12}, order)
}

// A flood, to one chat or to many, costs little a reply.
func TestFloodsCostLittle(t *testing.T) {
	for _, chats := range []int{1, 20_000} {
		q := newQueue(Limits{Second: 30, Burst: 3, GroupMinute: 20}, NewWindow(30, time.Second))
		now := time.Unix(1e9, 0)
		began := time.Now()
		for i := range 20_000 {
			q.add(&Job{Sending: bot.Sending{ID: uint64(i), Reply: bot.Reply{Chat: catch.ChatID(i%chats + 1), Text: "a"}}}, now)
		}
		assert.Less(t, time.Since(began), 5*time.Second, "%d chats", chats)
	}
}
