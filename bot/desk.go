package bot

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"runtime/debug"
	"time"

	"github.com/fxamacker/cbor/v2"

	"deepward/store"
)

// Maker makes the files that replies carry.
type Maker interface {
	// Make writes the file; the caller runs File.Cleanup when it has been sent.
	Make(ctx context.Context, a Attachment) (File, error)
}

// Desk stands between a transport, the conversation and the store: what comes
// in is taken in one transaction, what goes out waits in the store until it has
// been delivered.
type Desk struct {
	Store  *store.Store
	Engine *Engine
	Maker  Maker
	Log    *slog.Logger
}

// Take handles messages that arrived together, in one transaction: each
// message's mark as seen, its effects and its replies. When it returns nil they
// are all on disk. A message that breaks the conversation is marked as seen,
// logged, and does not keep the others from being answered.
func (d *Desk) Take(ctx context.Context, batch []Message) error {
	err := d.Store.Update(func(tx *store.Tx) error {
		for _, m := range batch {
			if err := d.takeOne(tx, m); err != nil {
				return err
			}
		}
		return nil
	})
	if err == nil || !errors.Is(err, errBroken) {
		return err
	}
	return d.takeApart(batch)
}

// errBroken marks a message that the conversation could not handle, as against
// a store that could not keep it.
var errBroken = errors.New("message could not be handled")

// takeApart takes each message of a batch by itself, so that the broken one
// leaves nothing half done and the others lose nothing.
func (d *Desk) takeApart(batch []Message) error {
	for _, m := range batch {
		err := d.Store.Update(func(tx *store.Tx) error { return d.takeOne(tx, m) })
		if errors.Is(err, errBroken) {
			d.Log.Error("message set aside", "update", m.Update, "error", err)
			err = d.Store.Update(func(tx *store.Tx) error { return markSeen(tx, m) })
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func (d *Desk) takeOne(tx *store.Tx, m Message) error {
	if m.Update != 0 && tx.Seen(m.Update) {
		return nil
	}
	if err := markSeen(tx, m); err != nil {
		return err
	}
	replies, err := d.handle(tx, m)
	if err != nil {
		return err
	}
	for _, r := range replies {
		if err := queue(tx, r, m.ReceivedAt); err != nil {
			return err
		}
	}
	return nil
}

// handle runs the conversation and turns a panic in it into an error.
func (d *Desk) handle(tx *store.Tx, m Message) (replies []Reply, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("%w: panic: %v\n%s", errBroken, r, debug.Stack())
		}
	}()
	return d.Engine.Handle(tx, m)
}

func markSeen(tx *store.Tx, m Message) error {
	if m.Update == 0 {
		return nil
	}
	return tx.MarkSeen(m.Update, m.ReceivedAt)
}

func queue(tx *store.Tx, r Reply, at time.Time) error {
	data, err := cbor.Marshal(r)
	if err != nil {
		return fmt.Errorf("packing a reply: %w", err)
	}
	_, err = tx.Queue(store.Outgoing{Chat: r.Chat, Data: data, QueuedAt: at})
	return err
}

// Pending returns the replies that wait, in order within each chat; chat 0
// means all chats.
func (d *Desk) Pending(ctx context.Context, chat int64) ([]Sending, error) {
	var list []Sending
	err := d.Store.View(func(tx *store.Tx) error {
		for o, err := range tx.Outbox(chat) {
			if err != nil {
				return err
			}
			s := Sending{ID: o.ID, Tries: o.Tries, QueuedAt: o.QueuedAt, NotBefore: o.NotBefore}
			if err := cbor.Unmarshal(o.Data, &s.Reply); err != nil {
				return fmt.Errorf("unpacking reply %d: %w", o.ID, err)
			}
			s.Reply.Chat = o.Chat // the chat may have moved since
			list = append(list, s)
		}
		return nil
	})
	return list, err
}

// Sent says that a reply was delivered as that message; 0 if it has no number.
func (d *Desk) Sent(ctx context.Context, s Sending, message int) error {
	return d.Store.Update(func(tx *store.Tx) error {
		if err := remember(tx, s.Reply, message); err != nil {
			return err
		}
		return tx.Delivered(s.ID)
	})
}

// Failed says that a reply could not be delivered: try it again at that time,
// or never when the chat is gone.
func (d *Desk) Failed(ctx context.Context, s Sending, retryAt time.Time, gone bool) error {
	return d.Store.Update(func(tx *store.Tx) error {
		if gone {
			return tx.Delivered(s.ID)
		}
		return tx.Postpone(s.ID, retryAt)
	})
}

// Make makes the file that a reply carries.
func (d *Desk) Make(ctx context.Context, a Attachment) (File, error) { return d.Maker.Make(ctx, a) }
