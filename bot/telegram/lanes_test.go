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

// conversing answers as the conversation does: a question with an answer, "log" with the
// words that it was kept, "mark" with a mark, "file" with a document, "lesson" with a
// picture that has words.
func conversing(_ *Config, t *serving) {
	t.desk.reply = func(m bot.Message) []bot.Reply {
		r := bot.Reply{Chat: m.Chat.ID, Group: m.Chat.Group, Text: m.Text, For: m.Sender.ID, ReplyTo: m.ID}
		switch word, _, _ := strings.Cut(m.Text, " "); {
		case m.PressID != "":
			r.Edit, r.Text = m.ID, "tapped"
		case word == "log":
			r.Ref = "report/1"
		case word == "mark":
			r.React = true
		case word == "file":
			r.Attach = &bot.Attachment{Kind: "export"}
		case word == "lesson":
			r.Attach = &bot.Attachment{Kind: "lesson", Photo: true}
		}
		return []bot.Reply{r}
	}
	t.desk.file = func(bot.Attachment) (bot.File, error) { return bot.File{Name: "f", Data: []byte("f")}, nil }
}

// Twenty reports, in words or by marks, leave room for what is urgent.
func TestReportsDoNotHoldAnUrgentQuestion(t *testing.T) {
	for _, word := range []string{"log", "mark"} {
		inBubble(t, func(t *serving) {
			for i := range 20 {
				t.api.Say(-100, 7, fmt.Sprint(word, " ", i))
			}
			time.Sleep(time.Second)
			asked := time.Now()
			t.api.Say(-100, 8, "/ask red snapper 45 m")
			for !slices.Contains(texts(t.api.Calls()), "/ask red snapper 45 m") {
				time.Sleep(time.Millisecond)
				require.Less(t, time.Since(asked), 2*time.Second)
			}
			time.Sleep(5 * time.Minute)
			assert.Len(t, t.api.Calls(), 21, "and no report is left without")
			assert.LessOrEqual(t, mostWithin(t.api.Calls(), time.Minute), 20)
		}, limited, conversing)
	}
}

// Ten who ask together, of a server that takes its time.
func TestTenWhoAskTogetherAreAnsweredAtOnce(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.api.Spoil(standin.On("sendMessage", func(*standin.Exchange) bool { time.Sleep(800 * time.Millisecond); return false }))
		for i := range 10 {
			t.api.Say(-100, int64(i+1), numbered(i))
		}
		asked := time.Now()
		require.Len(t, t.api.Await(10, time.Minute), 10)
		assert.Less(t, time.Since(asked), 3*time.Second)
	}, limited, conversing)
}

func TestAnswersGoBeforeTapsBeforeMarks(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.api.Say(-100, 7, "old")
		old := t.api.Await(1, time.Minute)[0].Message
		t.api.Spoil(standin.On("sendMessage", standin.Times(1, standin.Flood(5))))
		t.api.Say(-100, 7, "first")
		time.Sleep(time.Second)
		t.api.Say(-100, 7, "mark")
		t.api.Tap(-100, 7, old, "x")
		t.api.Say(-100, 7, "second")
		time.Sleep(time.Minute)
		var order []string
		for _, c := range t.api.Calls() {
			order = append(order, c.Method)
		}
		assert.Equal(t, []string{"sendMessage", "sendMessage", "editMessageText", "setMessageReaction"}, order[1:])
	}, limited, conversing)
}

// Whatever is called counts in the limit over all: lookups, lists of commands, taps.
func TestNoSecondHasMoreCallsThanAllowed(t *testing.T) {
	inBubble(t, func(t *serving) {
		var all counter
		var calls atomic.Int64
		t.api.Spoil(func(x *standin.Exchange) bool {
			if x.Method == "getUpdates" {
				return false
			}
			n := calls.Add(1)
			time.Sleep(time.Duration(n*37%211) * time.Millisecond) // each arrives some time after it was sent
			all.add(x.Params)
			return x.Params["parse_mode"] == "HTML" && n%7 == 0 && standin.Says(400, "Bad Request: can't parse entities", nil)(x)
		})
		for i := range 150 {
			chat := int64(i + 1)
			switch i % 3 {
			case 0:
				t.api.Say(chat, chat, numbered(i))
			case 1:
				t.api.Say(-chat, chat, "/setup")
			default:
				t.api.Tap(chat, chat, 5, "x")
			}
		}
		time.Sleep(5 * time.Minute)
		assert.Zero(t, t.desk.waiting())
		times := all.times()
		most := 0
		for i := range times {
			in := 0
			for _, at := range times {
				if d := at.Sub(times[i]); d >= 0 && d < time.Second {
					in++
				}
			}
			most = max(most, in)
		}
		assert.LessOrEqual(t, most, 30)
		assert.Greater(t, most, 20, "and what is allowed is used")
		assert.Greater(t, len(times), 200)
	}, limited, func(c *Config, _ *serving) { c.Commands = bot.Commands })
}

// What the server was sent before a restart counts after it.
func TestLimitsHoldAcrossARestart(t *testing.T) {
	began := func(c *Config, t *serving) {
		calls := make([]bot.Call, 18)
		for i := range calls {
			calls[i].At = time.Now().Add(-30 * time.Second)
		}
		t.desk.settled = []bot.Settled{{Sending: bot.Sending{Reply: bot.Reply{Chat: -100}}, Calls: calls}}
	}
	inBubble(t, func(t *serving) {
		for i := range 5 {
			t.api.Say(-100, 7, numbered(i))
		}
		time.Sleep(29 * time.Second)
		assert.Len(t, t.api.Calls(), 2)
		time.Sleep(2 * time.Second)
		assert.Len(t, t.api.Calls(), 5)
		t.stop()
		assert.Len(t, t.desk.results()[5].Calls, 1, "and each call is noted")
	}, limited, began)
}

// A file that the server keeps refusing holds no words, also not of its own chat.
func TestFilesHoldNoWords(t *testing.T) {
	for about, refusal := range map[string]standin.Spoiler{"500": standin.Page(500), "404": standin.Says(404, "Not Found", nil), "no answer": standin.Hang, "cut": standin.Reset} {
		t.Run(about, func(t *testing.T) {
			inBubble(t, func(t *serving) {
				t.api.Spoil(standin.On("sendDocument", refusal))
				t.api.Say(7, 7, "file")
				time.Sleep(time.Second)
				for i := range 20 {
					asked, before := time.Now(), t.api.Count()
					t.api.Say(7, 7, numbered(i))
					require.Len(t, t.api.Await(before+1, time.Minute), before+1)
					assert.Less(t, time.Since(asked), time.Second)
					time.Sleep(30 * time.Second)
				}
				assert.Zero(t, t.desk.waiting(), "it is given up after minutes")
				assert.Contains(t, t.logs.String(), "could not be made or sent")
				assert.Contains(t, texts(t.api.Calls()), "file\n\nThe file could not be sent. Please ask again later.", "who waits for it is told")
			}, limited, conversing)
		})
	}
}

// However many wait for files that the server does not take, words of all chats find room.
func TestFilesOfManyHoldNoWordsOfOthers(t *testing.T) {
	for kind, method := range map[string]string{"lesson": "sendPhoto", "file": "sendDocument"} {
		t.Run(kind, func(t *testing.T) {
			inBubble(t, func(t *serving) {
				t.api.Spoil(standin.On(method, standin.Hang))
				for i := range 200 {
					t.api.Say(int64(i+1), int64(i+1), kind)
				}
				for i := range 30 {
					time.Sleep(time.Second)
					chat := int64(1000 + i)
					asked := time.Now()
					t.api.Say(chat, chat, numbered(i))
					for len(t.api.Sent(chat)) == 0 {
						time.Sleep(time.Millisecond)
						require.Less(t, time.Since(asked), time.Second)
					}
				}
				time.Sleep(time.Hour)
				assert.Zero(t, t.desk.waiting())
				assert.Len(t, texts(t.api.Calls()), 230, "each file is told in words")
			}, limited, conversing)
		})
	}
}

// The words of a lesson are what matters: they go at once where its picture does not.
func TestWordsOfALessonGoWithoutItsPicture(t *testing.T) {
	for about, within := range map[string]time.Duration{"refused": time.Second, "silent": photoTimeout + time.Second} {
		refusal := standin.Spoiler(standin.Hang)
		if about == "refused" {
			refusal = standin.Page(500)
		}
		wordsOfALesson(t, refusal, within)
	}
}

func wordsOfALesson(t *testing.T, refusal standin.Spoiler, within time.Duration) {
	inBubble(t, func(t *serving) {
		t.api.Spoil(standin.On("sendPhoto", refusal))
		asked := time.Now()
		t.api.Say(7, 7, "lesson of the day")
		c := t.api.Await(1, time.Minute)[0]
		assert.Equal(t, "lesson of the day", c.Plain())
		assert.Less(t, time.Since(asked), within)
		time.Sleep(10 * time.Minute)
		assert.Len(t, t.api.Calls(), 1)
		assert.Zero(t, t.desk.waiting())
	}, limited, conversing)
}

// An answer that leaves long after its question says so, whatever kept it.
func TestAnswerThatLeavesLateSaysSo(t *testing.T) {
	late := func(_ *Config, t *serving) {
		t.desk.reply = func(m bot.Message) []bot.Reply {
			return []bot.Reply{{Chat: m.Chat.ID, Text: "SEND IT DOWN", Language: "es", AskedAt: m.SentAt}}
		}
	}
	for about, c := range map[string]struct {
		cause standin.Spoiler
		wait  time.Duration
		late  bool
	}{
		"a stated wait":           {standin.On("sendMessage", standin.Times(1, standin.Flood(660))), 12 * time.Minute, true},
		"a network that was down": {standin.Reset, 11 * time.Minute, true},
		"no long wait":            {standin.On("sendMessage", standin.Times(1, standin.Flood(540))), 12 * time.Minute, false},
	} {
		t.Run(about, func(t *testing.T) {
			inBubble(t, func(t *serving) {
				t.api.Spoil(standin.On("sendMessage", c.cause))
				t.api.Say(7, 7, "x")
				time.Sleep(100 * time.Millisecond)
				t.api.Spoil(c.cause)
				time.Sleep(c.wait)
				t.api.Spoil(nil)
				time.Sleep(2 * time.Minute)
				got := texts(t.api.Calls())
				require.Len(t, got, 1)
				assert.Equal(t, c.late, strings.HasPrefix(got[0], "Esto"), got[0])
			}, limited, late)
		})
	}
}

// After an outage all go at once that waited for it.
func TestRepliesLeaveAsSoonAsTheNetworkIsBack(t *testing.T) {
	inBubble(t, func(t *serving) {
		time.Sleep(time.Second)
		t.api.Spoil(standin.Reset)
		time.Sleep(time.Minute)
		t.bot.sender.Enqueue([]bot.Sending{{ID: 1, Reply: bot.Reply{Chat: catch.ChatID(7), Text: "a"}, QueuedAt: time.Now()}})
		time.Sleep(time.Hour)
		t.api.Spoil(nil)
		back := time.Now()
		require.Len(t, t.api.Await(1, time.Minute), 1)
		assert.LessOrEqual(t, time.Since(back), 10*time.Second, "and the first poll came as soon")
	}, limited)
}

// A tap that comes the moment after the keyboard changed was meant for the one before.
func TestTapJustAfterTheKeyboardChangedIsIgnored(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.api.Say(7, 7, "x")
		id := t.api.Await(1, time.Minute)[0].Message
		tap := func(after time.Duration) int {
			time.Sleep(after)
			before := len(ofMethod(t.api.Calls(), "editMessageText"))
			t.api.Tap(7, 7, id, "done 1")
			time.Sleep(100 * time.Millisecond)
			return len(ofMethod(t.api.Calls(), "editMessageText")) - before
		}
		assert.Equal(t, 1, tap(time.Second))
		assert.Equal(t, 0, tap(0))
		assert.Equal(t, 1, tap(settling))
		m := t.desk.messages()[1]
		assert.Equal(t, "Sent down", m.PressLabel)
		assert.Equal(t, 1, m.PressRow)
		assert.Len(t, ofMethod(t.api.Calls(), "answerCallbackQuery"), 3, "each is acknowledged all the same")
	}, func(_ *Config, t *serving) {
		n := 0
		rows := [][]bot.Button{{{Label: "a", Data: "a"}}, {{Label: "b", Data: "b"}, {Label: "Sent down", Data: "done 1"}}}
		t.desk.reply = func(m bot.Message) []bot.Reply {
			if m.PressID == "" {
				return []bot.Reply{{Chat: 7, Text: "x", Buttons: rows}}
			}
			n++
			return []bot.Reply{{Chat: 7, PressID: m.PressID}, {Chat: 7, Edit: m.ID, Text: numbered(n), Buttons: rows}}
		}
	})
}

// outages are the ways in which no server that works is in reach.
var outages = map[string]standin.Spoiler{
	"no network": standin.Reset, "a proxy's page": standin.Page(502), "a fault of the server": standin.Says(500, "Internal Server Error", nil),
}

// A start during an outage polls as soon as it is over, and so does a bot that runs.
func TestEndOfAnOutageIsHeardOfSoon(t *testing.T) {
	for name, outage := range outages {
		t.Run(name, func(t *testing.T) {
			inBubble(t, func(t *serving) {
				for range 3 {
					time.Sleep(time.Hour)
					t.api.Spoil(nil)
					back, before := time.Now(), t.api.Count()
					t.api.Say(7, 7, "a")
					require.Len(t, t.api.Await(before+1, time.Minute), before+1)
					assert.LessOrEqual(t, time.Since(back), 10*time.Second)
					t.api.Spoil(outage)
				}
			}, func(_ *Config, t *serving) { t.api.Spoil(outage) })
		})
	}
}

// What is refused once must not come back over newer words in the same place.
func TestOlderWordsDoNotReplaceNewerOnes(t *testing.T) {
	for about, refusal := range map[string]standin.Spoiler{"refused": standin.Page(502), "stated": standin.Flood(5)} {
		t.Run(about, func(t *testing.T) {
			inBubble(t, func(t *serving) {
				t.api.Say(7, 7, "x")
				id := t.api.Await(1, time.Minute)[0].Message
				t.api.Spoil(standin.On("editMessageText", standin.Times(1, refusal)))
				for range 3 {
					t.api.Tap(7, 7, id, "done 1")
					time.Sleep(50 * time.Millisecond)
				}
				time.Sleep(10 * time.Minute)
				edits := ofMethod(t.api.Calls(), "editMessageText")
				assert.Equal(t, "3", edits[len(edits)-1].Plain())
				assert.Zero(t, t.desk.waiting())
			}, func(_ *Config, t *serving) {
				n := 0
				t.desk.reply = func(m bot.Message) []bot.Reply {
					if m.PressID == "" {
						return []bot.Reply{{Chat: 7, Text: "x"}}
					}
					n++
					return []bot.Reply{{Chat: 7, Edit: m.ID, Text: numbered(n)}}
				}
			})
		})
	}
}
