package main

import (
	"context"
	"fmt"
	"log/slog"
	"math/rand/v2"
	"net/http"
	"os"
	"path/filepath"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/bot/files"
	"deepward/bot/telegram"
	"deepward/bot/telegram/standin"
	"deepward/store"
)

// The whole program but its network, from the first day of a season to the last, on a
// clock of its own: polls that wait, limits of sending and waits after faults pass in
// no time. Every report is kept once and confirmed, whatever the server does, and
// nothing is left running, for a bubble with a goroutine in it does not end.
// DEEPWARD_SEASON=full plays nine months.
func TestASeasonServedOverAFaultyServer(t *testing.T) {
	t.Parallel()
	days := 12
	if os.Getenv("DEEPWARD_SEASON") == "full" {
		days = 274
	}
	dir := t.TempDir()
	db, key := filepath.Join(dir, "d", "t.db"), filepath.Join(dir, "k", "key")
	synctest.Test(t, func(t *testing.T) {
		o := &outing{T: t, api: standin.NewDirect(), rng: rand.New(rand.NewPCG(11, 5)), db: db, key: key}
		defer o.api.Close()
		o.start()
		for range days {
			o.day()
			time.Sleep(24 * time.Hour)
		}
		o.api.Spoil(nil)
		time.Sleep(24 * time.Hour)
		o.stop()
		assert.Zero(t, o.api.Waiting(), "updates that nobody took")
		messages, kept := stored(t, db, key)
		assert.Len(t, messages, o.reports, "each report once")
		confirmed := confirmations(o.api)
		assert.Len(t, confirmed, o.reports, "each report confirmed")
		for r := range confirmed {
			assert.True(t, kept[r], "confirmed %v is in the store", r)
		}
		t.Logf("%d days, %d reports, %d updates twice, %d restarts, %d calls spoilt, %d messages seen", days, o.reports, o.twice, o.restarts, o.spoilt.Load(), len(o.api.Calls()))
	})
}

// outing is a season's traffic to one program.
type outing struct {
	*testing.T
	api     *standin.Server
	rng     *rand.Rand
	db, key string
	stop    func()

	reports, twice, restarts int
	spoilt                   atomic.Int64
}

// start runs the program until stop.
func (o *outing) start() {
	s, err := store.Open(o.db, store.Options{KeyFile: o.key})
	require.NoError(o, err)
	token, err := telegram.NewToken(standin.Token)
	require.NoError(o, err)
	log := slog.New(slog.DiscardHandler)
	desk := &bot.Desk{Store: s, Engine: bot.NewEngine(), Maker: files.New(s, time.Now), Log: log}
	config := telegram.Config{Token: token, APIURL: o.api.URL, Transport: o.api, Limits: telegram.DefaultLimits, Log: log}
	ctx, cancel := context.WithCancel(o.Context())
	done := make(chan error, 1)
	go func() { done <- telegram.Run(ctx, config, desk) }()
	o.stop = func() {
		cancel()
		require.NoError(o, <-done)
		require.NoError(o, s.Close())
	}
}

// day sends some reports, a few twice or in another order, with faults of the day, and
// now and then a restart in between.
func (o *outing) day() {
	o.api.Spoil(o.fault())
	for range 3 + o.rng.IntN(10) {
		o.reports++
		raw := standin.Private(int64(500+o.rng.IntN(9)), 10+o.reports, fmt.Sprintf("log gag 40 m %d cm sent down 40 oz", 30+o.reports%50))
		id := o.api.Push(raw)
		if o.rng.IntN(8) == 0 {
			o.twice++
			o.api.Again(raw, id)
		}
		time.Sleep(time.Duration(o.rng.IntN(400)) * time.Second)
		if o.rng.IntN(30) == 0 {
			o.restarts++
			o.stop()
			o.start()
		}
	}
}

// fault is what goes wrong on a day: a share of all calls, in one way.
func (o *outing) fault() standin.Spoiler {
	kinds := []standin.Spoiler{
		standin.Flood(7), standin.Page(http.StatusBadGateway), standin.Reset, standin.ResetAfter, standin.Body(`{"ok":true,"result":`),
		standin.Says(http.StatusInternalServerError, "Internal Server Error", nil), standin.Says(http.StatusConflict, "Conflict: terminated by other getUpdates request", nil),
	}
	kind, every := kinds[o.rng.IntN(len(kinds))], 3+o.rng.Int64N(20)
	var calls atomic.Int64
	return func(x *standin.Exchange) bool {
		if calls.Add(1)%every != 0 {
			return false
		}
		o.spoilt.Add(1)
		return kind(x)
	}
}
