package telegram

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/bot/telegram/standin"
)

// replying makes a bot that answers "x" with the given replies.
func replying(list ...bot.Reply) func(*Config, *serving) {
	return func(_ *Config, t *serving) {
		t.desk.reply = func(m bot.Message) []bot.Reply {
			if m.Text == "x" {
				return list
			}
			return []bot.Reply{{Chat: m.Chat.ID, Text: m.Text}}
		}
	}
}

// exchange says "x" to a bot that replies so, then "after", and returns the calls
// once nothing waits any more.
func exchange(t *testing.T, fault standin.Spoiler, list ...bot.Reply) (calls []standin.Call, results []bot.Settled) {
	t.Helper()
	inBubble(t, func(t *serving) {
		if fault != nil {
			t.api.Spoil(fault)
		}
		t.api.Say(7, 7, "x")
		t.api.Say(7, 7, "after")
		time.Sleep(30 * time.Minute)
		assert.Zero(t, t.desk.waiting(), "nothing is left behind")
		calls, results = t.api.Calls(), t.desk.results()
	}, replying(list...))
	return calls, results
}

func TestPlainReply(t *testing.T) {
	calls, results := exchange(t, nil, bot.Reply{
		Chat: 7, Thread: 3, Text: "SEND IT DOWN\nto <45> m", Headline: true, ReplyTo: 5,
		Buttons: [][]bot.Button{{{Label: "why", Data: "why 1"}, {Label: "too long", Data: strings.Repeat("x", 65)}}, {{Label: " ", Data: "x"}}},
	})
	require.Len(t, calls, 2)
	c := calls[0]
	assert.Equal(t, "<b>SEND IT DOWN</b>\nto &lt;45&gt; m", c.Text)
	assert.Equal(t, "HTML", c.Params["parse_mode"])
	assert.Equal(t, "3", c.Params["message_thread_id"], "trap: the library knows no topics")
	assert.JSONEq(t, `{"message_id":5,"allow_sending_without_reply":true}`, c.Params["reply_parameters"])
	assert.JSONEq(t, `{"is_disabled":true}`, c.Params["link_preview_options"])
	assert.Empty(t, c.Params["reply_to_message_id"]+c.Params["disable_web_page_preview"], "left the specification with Bot API 7.0")
	assert.Equal(t, []string{"why 1"}, c.Buttons(), "a button that the server would refuse does not cost the message")
	assert.Equal(t, c.Message, results[0].Message)
	assert.Equal(t, "after", calls[1].Plain())
}

// The hello in a group has a link to the private chat under it.
func TestReplyWithALinkUnderItArrives(t *testing.T) {
	calls, results := exchange(t, nil, bot.Reply{Chat: -100, Group: true, Text: "Hello", Buttons: [][]bot.Button{{{Label: "Join", Start: "club-1-abc"}}}})
	require.Len(t, calls, 2)
	i := slices.IndexFunc(calls, func(c standin.Call) bool { return c.Plain() == "Hello" }) // two chats wait for one another in no order
	require.GreaterOrEqual(t, i, 0)
	assert.Contains(t, calls[i].Params["reply_markup"], "https://t.me/"+standin.Name+"?start=club-1-abc")
	for _, r := range results {
		assert.NotZero(t, r.Message)
	}
}

func TestLongReplyGoesInOrderAndOnce(t *testing.T) {
	long := strings.Repeat(strings.Repeat("a", 99)+"\n", 100)
	calls, results := exchange(t, nil, bot.Reply{Chat: 7, Text: long})
	require.Len(t, calls, 4)
	assert.Equal(t, strings.ReplaceAll(long, "\n", ""), strings.ReplaceAll(strings.Join(texts(calls[:3]), ""), "\n", ""))
	assert.Equal(t, calls[2].Message, results[0].Message, "the last carries the buttons")
}

// A long reply that breaks off in the middle goes on where it was.
func TestLongReplyIsNotBegunAnewAfterAFault(t *testing.T) {
	n := 0
	fault := standin.On("sendMessage", func(x *standin.Exchange) bool {
		n++
		return n == 2 && standin.Page(502)(x)
	})
	long := strings.Repeat(strings.Repeat("a", 99)+"\n", 100)
	calls, _ := exchange(t, fault, bot.Reply{Chat: 7, Text: long})
	assert.Len(t, calls, 4, "three parts and what comes after")
}

func TestEdits(t *testing.T) {
	ask := bot.Reply{Chat: 7, Text: "first"}
	for about, c := range map[string]struct {
		fault   standin.Spoiler
		edit    bot.Reply
		methods []string
		seen    string
	}{
		"in place":                  {nil, bot.Reply{Chat: 7, Edit: 1003, Text: "second"}, []string{"sendMessage", "editMessageText"}, "second"},
		"not modified is a success": {nil, bot.Reply{Chat: 7, Edit: 1003, Text: "first"}, []string{"sendMessage"}, "first"},
		"not found: a new message":  {nil, bot.Reply{Chat: 7, Edit: 5, Text: "second"}, []string{"sendMessage", "sendMessage"}, "second"},
		"too old: a new message": {standin.On("editMessageText", standin.Says(400, "Bad Request: message can't be edited", nil)),
			bot.Reply{Chat: 7, Edit: 1003, Text: "second"}, []string{"sendMessage", "sendMessage"}, "second"},
		"long: the first replaces": {nil, bot.Reply{Chat: 7, Edit: 1003, Text: strings.Repeat("b\n", 3000)}, []string{"sendMessage", "editMessageText", "sendMessage"}, ""},
	} {
		t.Run(about, func(t *testing.T) {
			calls, _ := exchange(t, c.fault, ask, c.edit)
			calls = calls[:len(calls)-1]
			var methods []string
			for _, call := range calls {
				methods = append(methods, call.Method)
			}
			assert.Equal(t, c.methods, methods)
			if c.seen != "" {
				assert.Equal(t, c.seen, calls[len(calls)-1].Plain())
			}
		})
	}
}

// A card is pinned in silence when it is put up, and again when it has to be put up anew;
// not when it is written in place, and a bot that may not pin leaves it as it is.
func TestCardIsPinnedWhereverItIsNew(t *testing.T) {
	for about, c := range map[string]struct {
		edit   int
		fault  standin.Spoiler
		pinned []string
	}{
		"written in place": {1003, nil, []string{"1003"}},
		"deleted meantime": {5, nil, []string{"1003", "1004"}},
		"may not pin":      {1003, standin.Says(400, "Bad Request: not enough rights to manage pinned messages in the chat", nil), []string{"1003"}},
	} {
		t.Run(about, func(t *testing.T) {
			var pins counter
			calls, results := exchange(t, func(x *standin.Exchange) bool {
				if x.Method != "pinChatMessage" {
					return false
				}
				pins.add(x.Params)
				return c.fault != nil && c.fault(x)
			}, bot.Reply{Chat: 7, Text: "first", Pin: true}, bot.Reply{Chat: 7, Text: "second", Pin: true, Edit: c.edit})
			require.Len(t, calls, 3)
			var pinned []string
			for _, p := range pins.all() {
				assert.Equal(t, "true", p["disable_notification"])
				pinned = append(pinned, p["message_id"])
			}
			assert.Equal(t, c.pinned, pinned)
			assert.Len(t, results, 3, "it counts as delivered")
		})
	}
}

func TestTextThatTheServerCannotParseGoesPlain(t *testing.T) {
	fault := func(x *standin.Exchange) bool {
		return x.Params["parse_mode"] == "HTML" && x.Params["text"] != "after" && standin.Says(400, "Bad Request: can't parse entities: odd", nil)(x)
	}
	calls, _ := exchange(t, fault, bot.Reply{Chat: 7, Text: "a <b>", Headline: true})
	assert.Equal(t, "a <b>", calls[0].Text)
	assert.Empty(t, calls[0].Params["parse_mode"])
}

func TestReactions(t *testing.T) {
	mark := bot.Reply{Chat: 7, React: true, ReplyTo: 5, Text: "kept"}
	calls, _ := exchange(t, nil, mark)
	assert.Equal(t, "setMessageReaction", calls[0].Method)
	assert.Equal(t, "5", calls[0].Params["message_id"])

	for about, fault := range map[string]standin.Spoiler{
		"not allowed here":         standin.Says(400, "Bad Request: REACTION_INVALID", nil),
		"server knows none":        standin.Says(404, "Not Found", nil),
		"message is there no more": standin.Says(400, "Bad Request: message to react not found", nil),
	} {
		t.Run(about, func(t *testing.T) {
			calls, _ := exchange(t, standin.On("setMessageReaction", fault), mark)
			assert.Equal(t, []string{"kept", "after"}, texts(calls))
			if about == "server knows none" { // of before Bot API 7.0
				assert.Equal(t, "5", calls[0].Params["reply_to_message_id"])
				assert.Equal(t, "true", calls[0].Params["disable_web_page_preview"])
				return
			}
			assert.Contains(t, calls[0].Params["reply_parameters"], `"message_id":5`)
		})
	}
	t.Run("a fault of the server is tried again, not said in words", func(t *testing.T) {
		calls, _ := exchange(t, standin.On("setMessageReaction", standin.Times(2, standin.Page(502))), mark)
		assert.Len(t, ofMethod(calls, "setMessageReaction"), 1)
		assert.Equal(t, []string{"after"}, texts(calls))
	})
	t.Run("no words, no message", func(t *testing.T) {
		calls, _ := exchange(t, standin.On("setMessageReaction", standin.Says(400, "Bad Request: REACTION_INVALID", nil)), bot.Reply{Chat: 7, React: true, ReplyTo: 5})
		assert.Equal(t, []string{"after"}, texts(calls))
	})
}

func TestTaps(t *testing.T) {
	calls, _ := exchange(t, nil, bot.Reply{Chat: 7, PressID: "77", Text: strings.Repeat("é", 300)})
	acks := ofMethod(calls, "answerCallbackQuery")
	require.Len(t, acks, 1)
	assert.Equal(t, "77", acks[0].Params["callback_query_id"])
	assert.Equal(t, maxNotice, utf16Len(acks[0].Text))

	t.Run("too old is no fault", func(t *testing.T) {
		inBubble(t, func(t *serving) {
			t.api.Spoil(standin.On("answerCallbackQuery", standin.Says(400, "Bad Request: query is too old and response timeout expired or query ID is invalid", nil)))
			t.api.Say(7, 7, "x")
			time.Sleep(time.Minute)
			assert.Zero(t, t.desk.waiting())
			assert.NotContains(t, t.logs.String(), "given up")
		}, replying(bot.Reply{Chat: 7, PressID: "77"}))
	})
	t.Run("not tried for longer than anybody waits", func(t *testing.T) {
		inBubble(t, func(t *serving) {
			t.api.Spoil(standin.On("answerCallbackQuery", standin.Page(502)))
			t.api.Say(7, 7, "x")
			time.Sleep(5 * time.Minute)
			assert.Zero(t, t.desk.waiting())
		}, replying(bot.Reply{Chat: 7, PressID: "77"}))
	})
	t.Run("not behind messages that wait", func(t *testing.T) {
		inBubble(t, func(t *serving) {
			t.api.Spoil(standin.On("sendMessage", standin.Flood(1000)))
			t.api.Say(7, 7, "first")
			time.Sleep(time.Second)
			t.api.Say(7, 7, "x")
			began := time.Now()
			require.Len(t, t.api.Await(1, time.Minute), 1)
			assert.Less(t, time.Since(began), time.Second)
		}, replying(bot.Reply{Chat: 7, PressID: "77"}))
	})
	t.Run("one that concerns nobody is acknowledged all the same", func(t *testing.T) {
		inBubble(t, func(t *serving) {
			t.api.Push(`{"update_id":%d,"callback_query":{"id":"99","from":{"id":7,"first_name":"A"},"inline_message_id":"x","data":"y"}}`)
			acks := ofMethod(t.api.Await(1, time.Minute), "answerCallbackQuery")
			require.Len(t, acks, 1)
			assert.Equal(t, "99", acks[0].Params["callback_query_id"])
		})
	})
}

// Trap: the library leaves zeros away, and the server keeps the answer for minutes.
func TestInlineAnswerIsNotKeptForOthers(t *testing.T) {
	calls, _ := exchange(t, nil, bot.Reply{InlineID: "88", Title: "Send it down", Text: "SEND IT DOWN\n<b>"}, bot.Reply{InlineID: "89"}, bot.Reply{InlineID: "90", Text: "no title\nx"})
	answers := map[string]map[string]string{}
	for _, c := range ofMethod(calls, "answerInlineQuery") {
		answers[c.Params["inline_query_id"]] = c.Params
	}
	require.Len(t, answers, 3)
	assert.Equal(t, "0", answers["88"]["cache_time"])
	assert.Equal(t, "true", answers["88"]["is_personal"])
	assert.Contains(t, answers["88"]["results"], `"title":"Send it down"`)
	assert.Contains(t, answers["88"]["results"], `\u0026lt;b\u0026gt;`)
	assert.JSONEq(t, `[]`, answers["89"]["results"])
	assert.Contains(t, answers["90"]["results"], `"title":"no title"`)
}

func TestFiles(t *testing.T) {
	attach := bot.Reply{Chat: 7, Thread: 3, Text: "words", Attach: &bot.Attachment{Kind: "export"}}
	withFile := func(f bot.File, err error, test func(t *serving), replies ...bot.Reply) func(*testing.T) {
		return func(t *testing.T) {
			inBubble(t, test, replying(replies...), func(_ *Config, t *serving) {
				t.desk.file = func(bot.Attachment) (bot.File, error) { return f, err }
			})
		}
	}
	path := filepath.Join(t.TempDir(), "secret-folder.tmp")
	require.NoError(t, os.WriteFile(path, []byte("a,b\r\n"), 0o600))
	var cleaned atomic.Int32

	t.Run("document", withFile(bot.File{Name: "log.csv", Path: path, Caption: "The <log>", Cleanup: func() { cleaned.Add(1) }}, nil, func(t *serving) {
		t.api.Say(7, 7, "x")
		c := t.api.Await(1, time.Minute)[0]
		assert.Equal(t, "sendDocument", c.Method)
		assert.Equal(t, "log.csv", c.File, "trap: the path would be its name")
		assert.Equal(t, "a,b\r\n", string(c.Data))
		assert.Equal(t, "The &lt;log&gt;", c.Text)
		assert.Equal(t, "3", c.Params["message_thread_id"])
		time.Sleep(time.Second)
		assert.EqualValues(t, 1, cleaned.Load())
	}, attach))

	t.Run("picture", withFile(bot.File{Name: "../../etc/card.png", Data: []byte("png")}, nil, func(t *serving) {
		t.api.Say(7, 7, "x")
		c := t.api.Await(1, time.Minute)[0]
		assert.Equal(t, "sendPhoto", c.Method)
		assert.Equal(t, "card.png", c.File)
	}, bot.Reply{Chat: 7, Attach: &bot.Attachment{Kind: "card", Photo: true}}))

	t.Run("picture that is refused goes as a document", withFile(bot.File{Name: "card.png", Data: []byte("png")}, nil, func(t *serving) {
		t.api.Spoil(standin.On("sendPhoto", standin.Says(400, "Bad Request: PHOTO_INVALID_DIMENSIONS", nil)))
		t.api.Say(7, 7, "x")
		c := t.api.Await(1, time.Minute)[0]
		assert.Equal(t, "sendDocument", c.Method)
	}, bot.Reply{Chat: 7, Attach: &bot.Attachment{Kind: "card", Photo: true}}))

	t.Run("long caption follows as words", withFile(bot.File{Name: "a", Data: []byte("a"), Caption: strings.Repeat("c", 1025)}, nil, func(t *serving) {
		t.api.Say(7, 7, "x")
		calls := t.api.Await(2, time.Minute)
		require.Len(t, calls, 2)
		assert.Empty(t, calls[0].Text)
		assert.Len(t, calls[1].Text, 1025)
	}, attach))

	t.Run("fault is tried again, and the caption is not doubled", withFile(bot.File{Name: "a", Data: []byte("a")}, nil, func(t *serving) {
		t.api.Spoil(standin.On("sendDocument", standin.Times(2, standin.Reset)))
		t.api.Say(7, 7, "x")
		require.Len(t, t.api.Await(1, time.Minute), 1)
		time.Sleep(time.Minute)
		assert.Len(t, t.api.Calls(), 1)
	}, attach))

	t.Run("cannot be made: told in words, without the reason", withFile(bot.File{}, os.ErrNotExist, func(t *serving) {
		t.api.Say(7, 7, "x")
		c := t.api.Await(1, time.Minute)[0]
		assert.Contains(t, c.Plain(), "words")
		assert.Contains(t, c.Plain(), "could not be made")
		assert.NotContains(t, c.Plain(), "exist")
	}, attach))

	t.Run("is not there any more", withFile(bot.File{Name: "a", Path: path + ".gone"}, nil, func(t *serving) {
		t.api.Say(7, 7, "x")
		c := t.api.Await(1, time.Minute)[0]
		assert.Contains(t, c.Plain(), "could not be sent")
		assert.NotContains(t, c.Plain(), "secret-folder")
	}, attach))

	t.Run("refused (trap: uploads lose the code)", withFile(bot.File{Name: "a", Data: []byte("a")}, nil, func(t *serving) {
		t.api.Spoil(standin.On("sendDocument", standin.Says(400, "Bad Request: not enough rights to send documents to the chat", nil)))
		t.api.Say(7, 7, "x")
		c := t.api.Await(1, time.Minute)[0]
		assert.Contains(t, c.Plain(), "could not be sent")
	}, attach))

	t.Run("nothing but words came of it", withFile(bot.File{Caption: "No reports yet"}, nil, func(t *serving) {
		t.api.Say(7, 7, "x")
		c := t.api.Await(1, time.Minute)[0]
		assert.Equal(t, "sendMessage", c.Method)
		assert.Equal(t, "No reports yet", c.Plain())
		time.Sleep(time.Minute)
		assert.Len(t, t.api.Calls(), 1)
	}, bot.Reply{Chat: 7, Attach: &bot.Attachment{Kind: "summary", Photo: true}}))

	t.Run("maker that panics", func(t *testing.T) {
		inBubble(t, func(t *serving) {
			t.api.Say(7, 7, "x")
			t.api.Say(7, 7, "after")
			t.api.Await(1, time.Minute)
			assert.Equal(t, []string{"after"}, texts(t.api.Calls()))
			time.Sleep(time.Second)
			assert.Zero(t, t.desk.waiting())
		}, replying(attach), func(_ *Config, t *serving) {
			t.desk.file = func(bot.Attachment) (bot.File, error) { panic(canary) }
		})
	})
}

func TestFileThatIsTooLargeIsNotUploaded(t *testing.T) {
	path := filepath.Join(t.TempDir(), "big")
	f, err := os.Create(path)
	require.NoError(t, err)
	require.NoError(t, f.Truncate(maxFile+1)) // sparse: takes no room
	require.NoError(t, f.Close())
	inBubble(t, func(t *serving) {
		uploads := countMethod(t, "sendDocument")
		t.api.Say(7, 7, "x")
		assert.Contains(t, t.api.Await(1, time.Minute)[0].Plain(), "could not be sent")
		assert.Empty(t, uploads.all())
	}, replying(bot.Reply{Chat: 7, Attach: &bot.Attachment{Kind: "export"}}), func(_ *Config, t *serving) {
		t.desk.file = func(bot.Attachment) (bot.File, error) { return bot.File{Name: "big", Path: path}, nil }
	})
}

func TestBlockedChatIsGivenUpAndTheDeskIsTold(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.api.Block(7)
		t.api.Say(7, 7, "a")
		t.api.Say(8, 8, "b")
		time.Sleep(time.Minute)
		assert.Equal(t, []string{"b"}, texts(t.api.Calls()))
		assert.Zero(t, t.desk.waiting())
		assert.True(t, slices.ContainsFunc(t.desk.messages(), func(m bot.Message) bool { // before or after the other's words
			return m.Event == bot.EventRemoved && m.Chat.ID == 7
		}))
	})
}

func TestTopicThatWasDeletedDoesNotLoseTheReply(t *testing.T) {
	fault := func(x *standin.Exchange) bool {
		return x.Params["message_thread_id"] != "" && standin.Says(400, "Bad Request: message thread not found", nil)(x)
	}
	calls, _ := exchange(t, fault, bot.Reply{Chat: 7, Thread: 3, Text: "a"})
	assert.Equal(t, []string{"a", "after"}, texts(calls))
}

// The same again changes nothing: it must not hold up its chat.
func TestRefusedReplyIsGivenUp(t *testing.T) {
	calls, _ := exchange(t, func(x *standin.Exchange) bool {
		return x.Params["text"] == "a" && standin.Says(400, "Bad Request: something new", nil)(x)
	}, bot.Reply{Chat: 7, Text: "a"})
	assert.Equal(t, []string{"after"}, texts(calls))
}

// A reply that the server keeps refusing holds no other and is dropped after minutes,
// whatever the refusal looks like; it is logged. What others wait for goes at once.
func TestReplyThatTheServerKeepsRefusingHoldsNoOther(t *testing.T) {
	for about, refusal := range map[string]standin.Spoiler{
		"page of a proxy": standin.Page(500), "500 in JSON": standin.Says(500, "Internal Server Error", nil),
		"unknown method": standin.Says(404, "Not Found: method not found", nil), "cut": standin.Reset, "no answer": standin.Hang,
		"half an answer": standin.Body(`{"ok":true,"result":{"mess`),
	} {
		t.Run(about, func(t *testing.T) {
			inBubble(t, func(t *serving) {
				t.api.Spoil(standin.On("sendMessage", func(x *standin.Exchange) bool {
					return strings.HasPrefix(x.Params["text"], "poison") && refusal(x)
				}))
				t.api.Say(-100, 7, "poison")
				t.api.Say(-100, 7, "poison too")
				for i := range 30 {
					asked := time.Now()
					t.api.Say(-100, int64(7+i%2), numbered(i))
					require.Len(t, t.api.Await(i+1, time.Minute), i+1)
					assert.LessOrEqual(t, time.Since(asked), 2*time.Second, "answer %d", i)
					time.Sleep(20 * time.Second)
				}
				assert.Zero(t, t.desk.waiting())
				assert.Contains(t, t.logs.String(), "kept refusing")
			}, limited, answering)
		})
	}
}

// A network that is down for days is no reason to give a reply up, and the order stays.
func TestReplyOutlastsALongOutage(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.api.Spoil(standin.On("sendMessage", standin.Reset))
		t.api.Say(7, 7, "a")
		t.api.Say(7, 7, "b")
		time.Sleep(500 * time.Millisecond)
		t.api.Spoil(standin.Reset)
		time.Sleep(72 * time.Hour)
		t.api.Spoil(nil)
		time.Sleep(2 * time.Minute)
		assert.Equal(t, []string{"a", "b"}, texts(t.api.Calls()))
	})
}

// The one case that cannot be helped: the server took the message, its answer was
// lost. The reply goes twice, never not at all.
func TestAnswerLostAfterAcceptanceSendsTwiceAtMost(t *testing.T) {
	calls, _ := exchange(t, standin.On("sendMessage", standin.Times(1, standin.ResetAfter)), bot.Reply{Chat: 7, Text: "a"})
	assert.ElementsMatch(t, []string{"a", "a", "after"}, texts(calls))
}

func ofMethod(calls []standin.Call, method string) (list []standin.Call) {
	for _, c := range calls {
		if c.Method == method {
			list = append(list, c)
		}
	}
	return list
}
