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

// Call is one call to a group that counts in its limit.
type Call struct {
	At time.Time `cbor:"1,keyasint"`
	// Who is Sending.Who, Asked true for the answer to a question.
	Who   uint64 `cbor:"2,keyasint,omitempty"`
	Asked bool   `cbor:"3,keyasint,omitempty"`
}

// noteCalls keeps when a group was called and for whom, so that its limit and the share of
// each hold across a restart.
func noteCalls(tx *store.Tx, chat catch.ChatID, calls []Call) error {
	if len(calls) == 0 {
		return nil
	}
	number, err := tx.ChatNumber(chat)
	if err != nil {
		return err
	}
	known, err := load[[]Call](tx, kindCalls, key(number))
	if err != nil {
		known = nil // a limit is not worth a delivery
	}
	since := calls[len(calls)-1].At.Add(-callsKept)
	known = slices.DeleteFunc(known, func(c Call) bool { return c.At.Before(since) })
	return tx.Put(kindCalls, key(number), append(known, calls...))
}

// Calls are the calls of the last minute to groups, by their numbers on the transport.
func (d *Desk) Calls(_ context.Context, now time.Time) (map[catch.ChatID][]Call, error) {
	calls := map[catch.ChatID][]Call{}
	err := d.Store.View(func(tx *store.Tx) error {
		for k := range tx.Keys(kindCalls, "") {
			n, _ := number(k)
			chat, known := tx.TransportChat(catch.ClubID(n))
			list, err := load[[]Call](tx, kindCalls, k)
			if err != nil || !known {
				continue
			}
			if list = slices.DeleteFunc(list, func(c Call) bool { return now.Sub(c.At) > callsKept }); len(list) > 0 {
				calls[chat] = list
			}
		}
		return nil
	})
	return calls, err
}
