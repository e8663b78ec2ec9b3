package telegram

import (
	"fmt"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/bot/telegram/standin"
	"deepward/store/catch"
)

func limited(c *Config, _ *serving) { c.Limits = DefaultLimits }

// mostWithin is the greatest number of calls in any span of time.
func mostWithin(calls []standin.Call, span time.Duration) (most int) {
	for i := range calls {
		n := 0
		for _, c := range calls[i:] {
			if c.At.Sub(calls[i].At) < span {
				n++
			}
		}
		most = max(most, n)
	}
	return most
}

// The limits are those of Telegram's FAQ for bots: about 30 messages a second in
// all, 20 a minute in a group, one a second in a chat apart from short bursts.
func TestLimitsOfAGroup(t *testing.T) {
	inBubble(t, func(t *serving) {
		for i := range 100 {
			t.api.Say(-100, 7, numbered(i))
		}
		time.Sleep(10 * time.Minute)
		calls := t.api.Calls()
		require.Len(t, calls, 100)
		assert.LessOrEqual(t, mostWithin(calls, time.Minute), 20)
		assert.Equal(t, 20, mostWithin(calls[:20], time.Second), "what is allowed goes at once")
		assert.Less(t, calls[99].At.Sub(calls[0].At), 4*time.Minute+10*time.Second, "and no slower than allowed")
		for i, c := range calls {
			assert.Equal(t, numbered(i), c.Text, "in order")
		}
	}, limited)
}

func TestLimitsOfAPrivateChat(t *testing.T) {
	inBubble(t, func(t *serving) {
		for i := range 30 {
			t.api.Say(7, 7, numbered(i))
		}
		time.Sleep(time.Minute)
		calls := t.api.Calls()
		require.Len(t, calls, 30)
		assert.LessOrEqual(t, mostWithin(calls, time.Second), DefaultLimits.Burst)
		assert.LessOrEqual(t, mostWithin(calls, 10*time.Second), 10+DefaultLimits.Burst)
	}, limited)
}

func TestLimitsOverAll(t *testing.T) {
	inBubble(t, func(t *serving) {
		for i := range 300 {
			t.api.Say(int64(i+1), int64(i+1), "x")
		}
		time.Sleep(time.Minute)
		calls := t.api.Calls()
		require.Len(t, calls, 300)
		assert.LessOrEqual(t, mostWithin(calls, time.Second), 30)
		assert.Less(t, calls[299].At.Sub(calls[0].At), 13*time.Second)
	}, limited)
}

// A person who floods is slowed, not the others.
func TestFloodOfOneChatDoesNotSlowOthers(t *testing.T) {
	inBubble(t, func(t *serving) {
		for i := range 500 {
			t.api.Say(7, 7, numbered(i))
		}
		time.Sleep(time.Second)
		began := time.Now()
		t.api.Say(8, 8, "hello")
		for len(t.api.Sent(8)) == 0 {
			time.Sleep(time.Millisecond)
		}
		assert.Less(t, time.Since(began), time.Second)
		assert.Less(t, len(t.api.Sent(7)), 10)
	}, limited)
}

// A chat that is told to wait waits as long as the server asks; others do not.
// answering lets replies say whom they answer, as the conversation's do.
func answering(_ *Config, t *serving) {
	t.desk.reply = func(m bot.Message) []bot.Reply {
		return []bot.Reply{{Chat: m.Chat.ID, Group: m.Chat.Group, Text: m.Text, For: m.Sender.ID}}
	}
}

// A person who floods a group is slowed, not the others of the group; the replies to
// each stay in their order, and none is lost.
func TestFloodOfOnePersonDoesNotSlowTheirGroup(t *testing.T) {
	inBubble(t, func(t *serving) {
		for i := range 60 {
			t.api.Say(-100, 7, fmt.Sprint("flood ", i))
		}
		time.Sleep(time.Second)
		asked := time.Now()
		for i := range 3 {
			t.api.Say(-100, 8, fmt.Sprint("other ", i))
			t.api.Say(-100, 9, fmt.Sprint("third ", i))
			t.api.Say(-100, 7, fmt.Sprint("flood ", 60+i))
		}
		time.Sleep(10 * time.Minute)
		calls := t.api.Calls()
		require.Len(t, calls, 69)
		next := map[string]int{}
		for _, c := range calls {
			who, n, _ := strings.Cut(c.Text, " ")
			assert.Equal(t, numbered(next[who]), n, "the order of each stays")
			next[who]++
			if who != "flood" {
				assert.Less(t, c.At.Sub(asked), time.Minute, c.Text)
			}
		}
		assert.Greater(t, calls[len(calls)-1].At.Sub(asked), 2*time.Minute, "the flood is slowed")
	}, limited, answering)
}

// Where many write, or one writes to a quiet group, what waits goes in its order.
func TestLivelyGroupKeepsItsOrder(t *testing.T) {
	for people := range 4 {
		inBubble(t, func(t *serving) {
			for i := range 60 {
				t.api.Say(-100, int64(i%(people+1)+1), numbered(i))
			}
			time.Sleep(10 * time.Minute)
			for i, c := range t.api.Calls() {
				assert.Equal(t, numbered(i), c.Text)
			}
		}, limited, answering)
	}
}

func TestFloodWaitPausesOnlyItsChat(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.api.Spoil(standin.On("sendMessage", standin.Times(1, standin.Flood(300))))
		t.api.Say(7, 7, "a")
		time.Sleep(time.Second)
		t.api.Say(7, 7, "b")
		t.api.Say(8, 8, "c")
		time.Sleep(4 * time.Minute)
		assert.Equal(t, []string{"c"}, texts(t.api.Calls()))
		time.Sleep(2 * time.Minute)
		assert.Equal(t, []string{"c", "a", "b"}, texts(t.api.Calls()))
	})
}

// A wait that overflows the clock is not taken for none: the reply would count as
// delivered.
func TestAbsurdWaitDoesNotLoseTheReply(t *testing.T) {
	for _, wait := range []int{1 << 62, 1<<63 - 1, -1} {
		inBubble(t, func(t *serving) {
			t.api.Spoil(standin.On("sendMessage", standin.Times(1, standin.Flood(wait))))
			t.api.Say(7, 7, "a")
			time.Sleep(25 * time.Hour)
			assert.Equal(t, []string{"a"}, texts(t.api.Calls()))
			assert.Zero(t, t.desk.waiting())
		})
	}
}

// What was put off waits also after a restart, and the order stays.
func TestRestartKeepsTheWaitOfAReply(t *testing.T) {
	inBubble(t, func(t *serving) {
		time.Sleep(50 * time.Minute)
		assert.Empty(t, t.api.Calls())
		time.Sleep(20 * time.Minute)
		assert.Equal(t, []string{"a", "b"}, texts(t.api.Calls()))
	}, func(_ *Config, t *serving) {
		t.desk.put(bot.Reply{Chat: 7, Text: "a"}, bot.Reply{Chat: 7, Text: "b"})
		t.desk.outbox[0].NotBefore, t.desk.outbox[0].Stated = time.Now().Add(time.Hour), true
	})
}

// A stop does not wait for what is put off, and sends what is not.
func TestStopSendsWhatItCanWithinTenSeconds(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.api.Spoil(func(x *standin.Exchange) bool {
			if x.Params["chat_id"] == "8" {
				return standin.Flood(3600)(x)
			}
			if x.Method == "sendMessage" {
				time.Sleep(3 * time.Second)
			}
			return x.Params["chat_id"] == "9" && standin.Hang(x)
		})
		t.api.Say(7, 7, "a")
		t.api.Say(8, 8, "b")
		t.api.Say(9, 9, "c")
		time.Sleep(time.Second)
		began := time.Now()
		require.NoError(t, t.stop())
		assert.Less(t, time.Since(began), 10*time.Second)
		assert.Equal(t, []string{"a"}, texts(t.api.Calls()))
		assert.Equal(t, 2, t.desk.waiting(), "the others stay in the store")
	})
}

func TestStopDoesNotWaitForWhatIsPutOff(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.api.Spoil(standin.On("sendMessage", standin.Flood(3600)))
		t.api.Say(7, 7, "a")
		time.Sleep(time.Second)
		began := time.Now()
		require.NoError(t, t.stop())
		assert.Less(t, time.Since(began), time.Second)
		assert.Equal(t, 1, t.desk.waiting())
	})
}

// A call that runs when the time is over is not broken off at once: the server may
// have taken it, and the reply would go twice.
func TestStopLetsARunningCallEnd(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.api.Spoil(standin.On("sendMessage", func(*standin.Exchange) bool {
			time.Sleep(drainTime + time.Second/2)
			return false
		}))
		t.api.Say(7, 7, "a")
		time.Sleep(time.Millisecond)
		require.NoError(t, t.stop())
		assert.Equal(t, []string{"a"}, texts(t.api.Calls()))
		assert.Zero(t, t.desk.waiting())
	})
}

// After a stop with a full outbox nothing may hang or panic either.
func TestStopInTheMiddleOfAFlood(t *testing.T) {
	inBubble(t, func(t *serving) {
		for i := range 300 {
			t.api.Say(int64(i%5+1), int64(i%5+1), numbered(i))
		}
		time.Sleep(2 * time.Second)
		began := time.Now()
		require.NoError(t, t.stop())
		assert.Less(t, time.Since(began), 10*time.Second)
		assert.Equal(t, 300, t.desk.waiting()+len(t.api.Calls()), "each is sent or kept")
	}, limited)
}

// Group to supergroup, learnt from the answer to a call: the reply and all that
// wait behind it go to the new number, in order, and the desk is told once.
func TestGroupThatMovedTakesItsRepliesAlong(t *testing.T) {
	for name, move := range map[string]func(t *serving){
		"learnt from a call":     func(t *serving) { t.api.MovedSilently(-100, -1009) },
		"learnt from an update":  func(t *serving) { t.api.Move(-100, -1009) },
		"learnt from both ways":  func(t *serving) { t.api.MovedSilently(-100, -1009); t.api.Move(-100, -1009) },
		"moved twice":            func(t *serving) { t.api.MovedSilently(-100, -555); t.api.MovedSilently(-555, -1009) },
		"told before it happens": func(t *serving) { t.api.Move(-100, -1009); time.Sleep(time.Second) },
	} {
		t.Run(name, func(t *testing.T) {
			inBubble(t, func(t *serving) {
				for i := range 23 {
					t.api.Say(-100, 7, numbered(i))
				}
				time.Sleep(100 * time.Millisecond) // some are sent, some wait for the limit
				move(t)
				for i := 23; i < 26; i++ {
					t.api.Say(-100, 7, numbered(i))
				}
				time.Sleep(5 * time.Minute)
				var got []string
				for _, c := range t.api.Calls() {
					got = append(got, c.Text)
				}
				require.Len(t, got, 26)
				for i, text := range got {
					assert.Equal(t, numbered(i), text, "once each and in order")
				}
				assert.Len(t, t.api.Sent(-1009), 6)
				assert.Zero(t, t.desk.waiting())
				for _, done := range t.desk.results() {
					assert.Contains(t, []catch.ChatID{-100, -1009}, done.Reply.Chat)
				}
			}, limited)
		})
	}
}

// Learnt from a refusal: the words for a message of before are a message of their own
// there, with their keyboard, and a mark is told in words.
func TestSilentMoveTakesKeyboardsAndMarksAlong(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.api.Say(-100, 7, "old")
		old := t.api.Await(1, time.Minute)[0].Message
		t.api.MovedSilently(-100, -1009)
		t.api.Tap(-100, 7, old, "x")
		t.api.Say(-100, 7, "mark")
		time.Sleep(time.Minute)
		got := t.api.Sent(-1009)
		require.Len(t, got, 2)
		for i, words := range []string{"tapped", "kept"} {
			assert.Equal(t, "sendMessage", got[i].Method)
			assert.Equal(t, words, got[i].Plain())
			assert.Empty(t, got[i].Params["reply_parameters"], "messages have other numbers there")
		}
		assert.Equal(t, []string{"y"}, got[0].Buttons())
		assert.Zero(t, t.desk.waiting())
	}, limited, func(_ *Config, t *serving) {
		t.desk.reply = func(m bot.Message) []bot.Reply {
			switch {
			case m.PressID != "":
				return []bot.Reply{{Chat: -100, Group: true, Edit: m.ID, Text: "tapped", Buttons: [][]bot.Button{{{Label: "y", Data: "y"}}}}}
			case m.Text == "mark":
				return []bot.Reply{{Chat: -100, Group: true, React: true, ReplyTo: m.ID, Text: "kept"}}
			case m.Event != "":
				return nil
			}
			return []bot.Reply{{Chat: -100, Group: true, Text: m.Text, Buttons: [][]bot.Button{{{Label: "x", Data: "x"}}}}}
		}
	})
}

// Once an update has told the new number, nothing more is sent to the old one.
func TestMoveThatAnUpdateToldNeedsNoRefusal(t *testing.T) {
	inBubble(t, func(t *serving) {
		for i := range 27 {
			t.api.Say(-100, 7, numbered(i))
		}
		time.Sleep(time.Second)
		sends := countMethod(t, "sendMessage")
		t.api.Move(-100, -1009)
		time.Sleep(5 * time.Minute)
		require.Len(t, sends.all(), 7)
		for _, p := range sends.all() {
			assert.Equal(t, "-1009", p["chat_id"])
		}
	}, limited)
}

// Messages of the new group may be taken before anybody told of the move. From
// then on that it is told there is one queue, in the order of taking in.
func TestMoveToldLateMakesOneQueueOfTwo(t *testing.T) {
	inBubble(t, func(t *serving) {
		for i := range 23 {
			t.api.Say(-100, 7, numbered(i))
			t.api.Say(-1009, 7, numbered(i+100))
		}
		time.Sleep(2 * time.Second) // 20 of each is sent, the others wait
		t.api.Move(-100, -1009)
		time.Sleep(5 * time.Minute)
		assert.Equal(t, []string{"20", "120", "21", "121", "22", "122"}, texts(t.api.Sent(-1009))[20:])
		assert.Len(t, t.api.Sent(-100), 20)
		assert.Zero(t, t.desk.waiting())
	}, limited)
}

// Also what one of the two queues is just delivering, and fails at, keeps its place.
func TestMoveToldLateWhileBothQueuesAreCalling(t *testing.T) {
	for name, slow := range map[string]string{"the old one fails": "-100", "the new one fails": "-1009"} {
		t.Run(name, func(t *testing.T) {
			inBubble(t, func(t *serving) {
				var failed atomic.Bool
				t.api.Spoil(standin.On("sendMessage", func(x *standin.Exchange) bool {
					time.Sleep(time.Second)
					return x.Params["chat_id"] == slow && failed.CompareAndSwap(false, true) && standin.Flood(20)(x)
				}))
				for i := range 2 {
					t.api.Say(-100, 7, numbered(i))
					t.api.Say(-1009, 7, numbered(i+10))
				}
				time.Sleep(100 * time.Millisecond)
				t.api.Move(-100, -1009)
				time.Sleep(5 * time.Minute)
				got := texts(t.api.Calls())
				assert.ElementsMatch(t, []string{"0", "10", "1", "11"}, got)
				assert.Less(t, slices.Index(got, "1"), slices.Index(got, "11"), "what waited is one queue, in the order of taking in")
				assert.Zero(t, t.desk.waiting())
			})
		})
	}
}

// As long as the new number cannot be kept, the reply waits.
func TestMoveThatCannotBeKeptIsTriedAgain(t *testing.T) {
	inBubble(t, func(t *serving) {
		fails := 10
		t.desk.fault = func(batch []bot.Message) error {
			if batch[0].Event == bot.EventMoved {
				if fails--; fails >= 0 {
					return errStore
				}
			}
			return nil
		}
		t.api.MovedSilently(-100, -1009)
		t.api.Say(-100, 7, "a")
		time.Sleep(time.Hour)
		assert.Equal(t, []string{"a"}, texts(t.api.Sent(-1009)))
		assert.Zero(t, t.desk.waiting())
	})
}

// A server that sends a reply from number to number is not followed for ever.
func TestMovesInACircleEnd(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.api.MovedSilently(-1, -2)
		t.api.MovedSilently(-2, -1)
		t.api.Say(-1, 7, "a")
		time.Sleep(time.Hour)
		assert.Zero(t, t.desk.waiting())
		assert.Contains(t, t.logs.String(), "given up")
	})
}

// What the store cannot note is not forgotten, and meanwhile no flood of replies
// goes out that a restart would send again.
func TestResultsAreNotedOnceTheStoreTakesThem(t *testing.T) {
	inBubble(t, func(t *serving) {
		full := true
		t.desk.refuse = func([]bot.Settled) error {
			if full {
				return errStore
			}
			return nil
		}
		t.api.Say(7, 7, "a")
		time.Sleep(20 * time.Second)
		assert.Equal(t, 1, t.desk.waiting())
		t.desk.change(func(*echoDesk) { full = false })
		time.Sleep(time.Minute)
		assert.Zero(t, t.desk.waiting())
		assert.Len(t, t.api.Calls(), 1, "sent once")
	})
}

func TestResultThatCannotBeNotedDoesNotHoldTheOthers(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.desk.refuse = func(list []bot.Settled) error {
			for _, done := range list {
				if done.Reply.Text == "bad" {
					return errStore
				}
			}
			return nil
		}
		t.api.Say(7, 7, "bad")
		for i := range 20 {
			t.api.Say(int64(i+10), int64(i+10), "good")
		}
		time.Sleep(10 * time.Minute)
		assert.Equal(t, 1, t.desk.waiting())
		t.api.Say(8, 8, "later")
		time.Sleep(time.Second)
		assert.Equal(t, 1, t.desk.waiting(), "the next one is noted")
	})
}

// Chats side by side: a slow one holds nobody.
func TestSlowChatHoldsNobody(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.api.Spoil(func(x *standin.Exchange) bool {
			return x.Params["chat_id"] == "7" && standin.Hang(x)
		})
		t.api.Say(7, 7, "stuck")
		for i := range 30 {
			t.api.Say(int64(i+10), int64(i+10), "x")
		}
		began := time.Now()
		assert.Len(t, t.api.Await(30, time.Minute), 30)
		assert.Less(t, time.Since(began), time.Second)
		t.api.Spoil(nil)
		time.Sleep(time.Minute)
		assert.Equal(t, []string{"stuck"}, texts(t.api.Sent(7)))
	})
}

func TestBackoffGrowsToAMinuteAndDiffersByChance(t *testing.T) {
	for _, c := range []struct {
		tries int
		rand  float64
		want  string
	}{
		{0, 0.5, "1s"}, {1, 0.5, "2s"}, {5, 0.5, "32s"}, {6, 0.5, "1m0s"}, {60, 0.5, "1m0s"}, {1 << 40, 0.5, "1m0s"}, {-1, 0.5, "1s"},
		{0, 0, "750ms"}, {0, 1, "1.25s"},
	} {
		s := &service{config: Config{Rand: func() float64 { return c.rand }}}
		assert.Equal(t, c.want, fmt.Sprint(s.backoff(c.tries)))
	}
}
