package telegram

import (
	"context"
	"encoding/json"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/bot/telegram/standin"
	"deepward/store/catch"
)

// The traps that the tests name are those of the library's own poll loop.

// Trap: one update that cannot be decoded stalls the bot for ever.
func TestPoisonIsSetAsideAndTheRestOfItsBatchAnswered(t *testing.T) {
	aside := map[catch.UpdateID]string{}
	inBubble(t, func(t *serving) {
		t.api.Say(7, 7, "before")
		poison := t.api.Push(`{"update_id":%d,"message":{"message_id":"not a number","text":"` + canary + `"}}`)
		t.api.Push(`{"update_id":%d,"message":[1,2]}`)
		t.api.Push(`{"update_id":%d,"never_heard_of":{"x":1}}`)
		t.api.Push(`null`)
		t.api.Say(7, 7, "after")
		t.api.Await(2, time.Minute)
		assert.Equal(t, []string{"before", "after"}, texts(t.api.Calls()))
		assert.Contains(t, aside[catch.UpdateID(poison)], "not a number", "kept as it came")
		time.Sleep(time.Minute)
		assert.Zero(t, t.api.Waiting(), "all are confirmed")
	}, func(c *Config, _ *serving) {
		c.SetAside = func(_ catch.PersonID, update catch.UpdateID, raw []byte) error {
			aside[update] = string(raw)
			return nil
		}
	})
}

// On a full disk not even what cannot be read is lost: it is confirmed once it is kept.
func TestPoisonThatCannotBeKeptIsNotConfirmed(t *testing.T) {
	var full atomic.Bool
	full.Store(true)
	inBubble(t, func(t *serving) {
		t.api.Push(`{"update_id":%d,"message":{"message_id":"not a number"}}`)
		t.api.Say(7, 7, "after")
		time.Sleep(10 * time.Minute)
		assert.Equal(t, 2, t.api.Waiting())
		full.Store(false)
		t.api.Await(1, 2*time.Minute)
		time.Sleep(time.Minute)
		assert.Zero(t, t.api.Waiting())
		assert.Equal(t, []string{"after"}, texts(t.api.Calls()))
	}, func(c *Config, _ *serving) {
		c.SetAside = func(catch.PersonID, catch.UpdateID, []byte) error {
			if full.Load() {
				return errStore
			}
			return nil
		}
	})
}

// Trap: updates are confirmed before they are handled; a crash loses them.
func TestUpdatesAreConfirmedOnlyAfterTheCommit(t *testing.T) {
	inBubble(t, func(t *serving) {
		fails := 3
		t.desk.fault = func([]bot.Message) error {
			if t.api.Waiting() != 1 {
				t.Errorf("%d updates wait at the server, want 1", t.api.Waiting())
			}
			if fails--; fails >= 0 {
				return errStore
			}
			return nil
		}
		t.api.Say(7, 7, canary)
		t.api.Await(1, time.Minute)
		assert.Len(t, t.desk.messages(), 1)
		assert.Contains(t, t.logs.String(), errStore.Error())
		time.Sleep(time.Second)
		assert.Zero(t, t.api.Waiting())
	})
}

// A batch is one commit: what arrives together is taken together.
func TestUpdatesThatArriveTogetherAreOneTransaction(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.api.Await(250, time.Minute)
		time.Sleep(time.Second)
		assert.Equal(t, []int{100, 100, 50}, t.desk.batches)
	}, func(_ *Config, t *serving) {
		for i := range 250 {
			t.api.Say(int64(i+1), int64(i+1), numbered(i))
		}
	})
}

// Trap: after a quiet week the numbers start anew, lower; a filter by "greater
// than the last" would drop them for ever, and the poll would spin.
func TestNumbersThatStartAnewAreTaken(t *testing.T) {
	inBubble(t, func(t *serving) {
		polls := countMethod(t, "getUpdates")
		t.api.NextUpdate(900000)
		t.api.Say(7, 7, "old numbers")
		t.api.Await(1, time.Minute)
		time.Sleep(8 * 24 * time.Hour)
		t.api.NextUpdate(17)
		t.api.Say(7, 7, "new numbers")
		t.api.Say(7, 7, "and on")
		t.api.Await(3, time.Minute)
		assert.Equal(t, []string{"old numbers", "new numbers", "and on"}, texts(t.api.Calls()))
		time.Sleep(time.Minute)
		assert.Zero(t, t.api.Waiting())
		week := int(8 * 24 * time.Hour / pollWait)
		assert.InDelta(t, week, len(polls.all()), 10, "no spinning: a poll each 50 s")
	})
}

func TestNumbersThatStartAnewWithinABatchAreTaken(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.api.NextUpdate(900000)
		t.api.Say(7, 7, "a")
		t.api.NextUpdate(17)
		t.api.Say(7, 7, "b")
		t.api.Await(2, time.Minute)
		t.api.Say(7, 7, "c")
		t.api.Await(3, time.Minute)
		assert.Equal(t, []string{"a", "b", "c"}, texts(t.api.Calls()))
	})
}

func TestDoubledAndReorderedUpdatesAreAnsweredOnce(t *testing.T) {
	inBubble(t, func(t *serving) {
		raws := []string{standin.Private(7, 1, "a"), standin.Private(8, 2, "b"), standin.Private(9, 3, "c")}
		for _, raw := range raws {
			id := t.api.Push(raw)
			t.api.Again(raw, id)
		}
		t.api.Shuffle()
		time.Sleep(5 * time.Minute)
		assert.ElementsMatch(t, []string{"a", "b", "c"}, texts(t.api.Calls()))
		assert.Zero(t, t.api.Waiting())
	})
}

func TestNextOffset(t *testing.T) {
	batch := func(list ...string) (raws []json.RawMessage) {
		for _, raw := range list {
			raws = append(raws, json.RawMessage(raw))
		}
		return raws
	}
	for name, c := range map[string]struct {
		raws   []json.RawMessage
		offset int
		want   int
	}{
		"after the last":               {batch(`{"update_id":5}`, `{"update_id":6}`), 5, 7},
		"the last, not the greatest":   {batch(`{"update_id":900000}`, `{"update_id":17}`), 900000, 18},
		"nothing: take whatever comes": {nil, 900001, 0},
		"without a number":             {batch(`{"update_id":5}`, `{"update_id":"x"}`), 5, 7},
		"only without a number":        {batch(`null`), 5, 6},
		"from the start":               {batch(`[]`), 0, 1},
	} {
		assert.Equal(t, c.want, nextOffset(c.raws, c.offset), name)
	}
}

// A server of another make that answers empty polls at once is not hammered.
func TestServerThatDoesNotWaitIsNotAskedWithoutEnd(t *testing.T) {
	inBubble(t, func(t *serving) {
		polls := &counter{}
		t.api.Spoil(standin.On("getUpdates", func(x *standin.Exchange) bool {
			polls.add(x.Params)
			return standin.Body(`{"ok":true,"result":[]}`)(x)
		}))
		time.Sleep(time.Minute)
		assert.Less(t, len(polls.all()), 300)
		t.api.Spoil(nil)
	})
}

// Trap: a missing list of kinds keeps whatever was set last.
func TestKindsOfUpdatesAreAlwaysListed(t *testing.T) {
	inBubble(t, func(t *serving) {
		polls := countMethod(t, "getUpdates")
		time.Sleep(2 * time.Minute)
		for _, p := range polls.all() {
			assert.JSONEq(t, `["message","edited_message","callback_query","inline_query","my_chat_member","chat_member"]`, p["allowed_updates"])
			assert.Equal(t, "100", p["limit"])
		}
		require.NotEmpty(t, polls.all())
		assert.Empty(t, polls.all()[0]["timeout"], "the first shows at once that polling works")
		assert.Equal(t, "50", polls.all()[1]["timeout"])
	})
}

// Trap: every fault is met with the same three seconds, and none can be cut short.
func TestFaultyPollsBackOffAndAStopCutsTheWaitShort(t *testing.T) {
	inBubble(t, func(t *serving) {
		polls := &counter{}
		t.api.Spoil(standin.On("getUpdates", func(x *standin.Exchange) bool {
			polls.add(x.Params)
			return standin.Says(400, "Bad Request: no", nil)(x)
		}))
		time.Sleep(10 * time.Minute)
		at := polls.times()
		require.Greater(t, len(at), 8)
		for i, want := range []time.Duration{1, 2, 4, 8, 16, 32, 60, 60} {
			assert.Equal(t, want*time.Second, at[i+1].Sub(at[i]))
		}
		began := time.Now()
		require.NoError(t, t.stop())
		assert.Less(t, time.Since(began), 100*time.Millisecond)
	})
}

func TestPollsWaitAsLongAsTheServerAsks(t *testing.T) {
	inBubble(t, func(t *serving) {
		polls := &counter{}
		t.api.Spoil(standin.On("getUpdates", func(x *standin.Exchange) bool {
			polls.add(x.Params)
			return standin.Flood(90)(x)
		}))
		time.Sleep(10 * time.Minute)
		at := polls.times()
		require.Greater(t, len(at), 3)
		for i := 1; i < len(at); i++ {
			assert.GreaterOrEqual(t, at[i].Sub(at[i-1]), 90*time.Second)
		}
	})
}

// Every kind of broken answer to a poll only delays.
func TestNoFaultOfPollsLosesAnUpdate(t *testing.T) {
	for name, fault := range map[string]standin.Spoiler{
		"500":             standin.Says(500, "Internal Server Error", nil),
		"429 without say": standin.Says(429, "Too Many Requests", nil),
		"502 with HTML":   standin.Page(502),
		"503 with HTML":   standin.Page(503),
		"redirect":        standin.Page(302),
		"cut-off JSON":    standin.Body(`{"ok":true,"result":[{"update_id":1,"mess`),
		"invalid JSON":    standin.Body(`{"ok":true,"result":[}`),
		"no list":         standin.Body(`{"ok":true,"result":{"a":1}}`),
		"empty":           standin.Body(``),
		"reset":           standin.Reset,
		"hanging":         standin.Hang,
		"409":             standin.Says(409, "Conflict: terminated by other getUpdates request", nil),
		"403":             standin.Says(403, "Forbidden", nil),
	} {
		t.Run(name, func(t *testing.T) {
			inBubble(t, func(t *serving) {
				t.api.Spoil(standin.On("getUpdates", standin.Times(3, fault)))
				t.api.Say(7, 7, canary)
				assert.Len(t, t.api.Await(1, 10*time.Minute), 1)
			})
		})
	}
}

// Trap: the default client has no time limit, a half-open connection hangs the
// poll for ever; and one limit for all would kill every poll.
func TestHangingPollEndsAndAWaitingPollIsLeftToWait(t *testing.T) {
	inBubble(t, func(t *serving) {
		polls := &counter{}
		t.api.Spoil(standin.On("getUpdates", func(x *standin.Exchange) bool {
			polls.add(x.Params)
			return len(polls.all()) == 2 && standin.Hang(x)
		}))
		time.Sleep(150 * time.Second)
		at := polls.times()
		require.Len(t, at, 4)
		assert.Equal(t, pollTimeout+time.Second, at[2].Sub(at[1]), "hanging: 60 s, and a back-off")
		assert.Equal(t, pollWait, at[3].Sub(at[2]), "waiting: the 50 s that the server takes")
	})
}

func TestSecondProgramIsToldClearlyAndWaitedFor(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.api.Spoil(standin.On("getUpdates", standin.Times(2, standin.Says(409, "Conflict: terminated by other getUpdates request; make sure that only one bot instance is running", nil))))
		began := time.Now()
		t.api.Say(7, 7, "x")
		t.api.Await(1, time.Hour)
		assert.GreaterOrEqual(t, time.Since(began), 20*time.Second)
		assert.Contains(t, t.logs.String(), "another program polls with this token")
	})
}

// Two bots on one stand-in: each throws the other's poll out, none goes mad.
func TestTwoProgramsWithOneTokenDoNotSpin(t *testing.T) {
	inBubble(t, func(t *serving) {
		polls := countMethod(t, "getUpdates")
		ctx, cancel := context.WithCancel(t.Context())
		done := make(chan error, 1)
		go func() {
			done <- Run(ctx, Config{Token: testToken(t), APIURL: t.api.URL, Transport: t.api}, &echoDesk{})
		}()
		time.Sleep(10 * time.Minute)
		assert.Less(t, len(polls.all()), 150)
		cancel()
		assert.NoError(t, <-done)
	})
}

func TestWebhookLeftOverFromBeforeIsTakenAway(t *testing.T) {
	inBubble(t, func(t *serving) {
		t.api.Spoil(standin.On("getUpdates", standin.Times(1, standin.Says(409, "Conflict: can't use getUpdates method while webhook is active; use deleteWebhook to delete the webhook first", nil))))
		began := time.Now()
		t.api.Say(7, 7, "x")
		assert.Len(t, t.api.Await(1, time.Minute), 1)
		assert.Less(t, time.Since(began), time.Second)
	})
}

// A batch of which only a part could be kept comes again, and then that part is
// known: its replies must go out the first time, or they would wait for a restart.
func TestPartOfABatchThatWasKeptIsAnsweredAtOnce(t *testing.T) {
	inBubble(t, func(t *serving) {
		time.Sleep(time.Minute)
		assert.Equal(t, []string{"a", "c"}, texts(t.api.Calls()), "each once")
		assert.Zero(t, t.desk.waiting())
		assert.Zero(t, t.api.Waiting())
	}, func(_ *Config, t *serving) {
		full := 2 // times that "c" cannot be kept
		t.desk.fault = func(batch []bot.Message) error {
			for _, m := range batch {
				switch {
				case m.Text == canary:
					panic(errStore)
				case m.Text == "c" && full > 0:
					full--
					return errStore
				}
			}
			return nil
		}
		for i, text := range []string{"a", canary, "c"} {
			t.api.Say(int64(i+7), int64(i+7), text)
		}
	})
}
