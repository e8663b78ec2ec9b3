package bot

import (
	"context"
	"slices"
	"time"

	"deepward/store"
	"deepward/store/catch"
)

// callsKept is how long the calls to a group count: no limit looks further back.
const callsKept = time.Minute

// noteCalls keeps when a group was called, so that its limit holds across a restart.
func noteCalls(tx *store.Tx, chat catch.ChatID, calls []time.Time) error {
	if len(calls) == 0 {
		return nil
	}
	number, err := tx.ChatNumber(chat)
	if err != nil {
		return err
	}
	known, err := load[[]time.Time](tx, kindCalls, key(number))
	if err != nil {
		known = nil // a limit is not worth a delivery
	}
	since := calls[len(calls)-1].Add(-callsKept)
	known = slices.DeleteFunc(known, func(at time.Time) bool { return at.Before(since) })
	return tx.Put(kindCalls, key(number), append(known, calls...))
}

// Calls are the calls of the last minute to groups, by their numbers on the transport.
func (d *Desk) Calls(_ context.Context, now time.Time) (map[catch.ChatID][]time.Time, error) {
	calls := map[catch.ChatID][]time.Time{}
	err := d.Store.View(func(tx *store.Tx) error {
		for k := range tx.Keys(kindCalls, "") {
			n, _ := number(k)
			chat, known := tx.TransportChat(catch.ClubID(n))
			list, err := load[[]time.Time](tx, kindCalls, k)
			if err != nil || !known {
				continue
			}
			if list = slices.DeleteFunc(list, func(at time.Time) bool { return now.Sub(at) > callsKept }); len(list) > 0 {
				calls[chat] = list
			}
		}
		return nil
	})
	return calls, err
}
