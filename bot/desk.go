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

	trouble trouble
}

// Take handles messages that arrived together, in one transaction: each
// message's mark as seen, its effects and its replies. When it returns nil they
// are all on disk, and the replies it returns are ready to be sent. A message
// that breaks the conversation is set aside, logged, and does not keep the others
// from being answered; where the store fails after that, the replies to the messages
// that it kept come with the error. ErrCommonFault means that messages break
// whatever they say: the batch must not be confirmed, and there is no use in going on.
func (d *Desk) Take(ctx context.Context, batch []Message) ([]Sending, error) {
	sendings, err := d.takeTogether(batch)
	if errors.Is(err, errBroken) {
		return d.takeApart(batch)
	}
	if err == nil && len(sendings) > 0 {
		err = d.answered()
	}
	return sendings, err
}

func (d *Desk) takeTogether(batch []Message) ([]Sending, error) {
	var sendings []Sending
	err := d.Store.Update(func(tx *store.Tx) error {
		for _, m := range batch {
			more, err := d.takeOne(tx, m)
			if err != nil {
				return err
			}
			sendings = append(sendings, more...)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return sendings, nil
}

// errBroken marks a message that the conversation could not handle, as against
// a store that could not keep it.
var errBroken = errors.New("message could not be handled")

// takeApart takes each message of a batch by itself, so that a broken one leaves
// nothing half done and the others lose nothing.
func (d *Desk) takeApart(batch []Message) (all []Sending, err error) {
	var broken []Message
	for _, m := range batch {
		sendings, err := d.takeTogether([]Message{m})
		switch {
		case errors.Is(err, errBroken):
			d.Log.Error("message set aside", "update", m.Update, "error", err)
			broken = append(broken, m)
		case err != nil:
			return all, err
		}
		all = append(all, sendings...)
	}
	// Where others were answered, the fault is in the messages that broke.
	return all, d.passOver(broken, len(all) > 0)
}

func (d *Desk) takeOne(tx *store.Tx, m Message) ([]Sending, error) {
	if at, _ := m.dated(); m.Update != 0 && tx.Seen(m.Update, at) {
		return nil, nil
	}
	if err := markSeen(tx, m); err != nil {
		return nil, err
	}
	replies, err := d.handle(tx, m)
	if err == nil {
		err = d.takeBack(tx, m)
	}
	if err != nil {
		return nil, err
	}
	sendings := make([]Sending, len(replies))
	for i, r := range replies {
		id, err := queue(tx, r, m.ReceivedAt)
		if err != nil {
			return nil, err
		}
		sendings[i] = Sending{ID: id, Reply: whereItIsNow(tx, r), Who: whoAnswered(tx, r), QueuedAt: m.ReceivedAt}
	}
	return sendings, nil
}

// handle runs the conversation and turns a panic in it into an error.
func (d *Desk) handle(tx *store.Tx, m Message) (replies []Reply, err error) {
	finished := false
	defer func() {
		if !finished {
			err = brokenBy(store.PanicOverPages(), recover())
		}
	}()
	replies, err = d.Engine.Handle(tx, m)
	if finished = true; err != nil {
		// Nothing is written to the disk before the commit, so the fault is in the
		// message or in what is kept of its chat: it must not stop the others.
		return nil, fmt.Errorf("%w: %w", errBroken, err)
	}
	return replies, nil
}

// brokenBy tells what broke the conversation, and where.
func brokenBy(damagedPages bool, panicked any) error {
	if damagedPages {
		return fmt.Errorf("%w: %w", errBroken, store.ErrNotAStore)
	}
	return fmt.Errorf("%w: panic: %v\n%s", errBroken, panicked, debug.Stack())
}

// whereItIsNow is a reply to a group that moved since, as a message of before may
// be taken after: what waits for that group from earlier goes to its new number,
// and this must not overtake it.
func whereItIsNow(tx *store.Tx, r Reply) Reply {
	if !r.Group { // only groups move
		return r
	}
	number, err := tx.ChatNumber(r.Chat)
	if err != nil {
		return r
	}
	if now, known := tx.TransportChat(number); known {
		return r.MovedTo(now)
	}
	return r
}

// whoAnswered is Sending.Who of a reply.
func whoAnswered(tx *store.Tx, r Reply) uint64 {
	if r.For == 0 {
		return 0
	}
	return tx.Who(r.For)
}

func markSeen(tx *store.Tx, m Message) error {
	if m.Update == 0 {
		return nil
	}
	at, sure := m.dated()
	return tx.MarkSeen(m.Update, at, sure)
}

func queue(tx *store.Tx, r Reply, at time.Time) (uint64, error) {
	data, err := cbor.Marshal(r)
	if err != nil {
		return 0, fmt.Errorf("packing a reply: %w", err)
	}
	return tx.Queue(store.Outgoing{Chat: r.Chat, Data: data, QueuedAt: at})
}

// Pending returns every reply that waits, in order within each chat. One whose seal
// does not open is logged and set aside; one that this program cannot unpack, as of a
// newer one, is logged and stays where it is.
func (d *Desk) Pending(ctx context.Context) ([]Sending, error) {
	damaged, err := d.Store.SetAsideDamaged()
	if err != nil {
		return nil, err
	}
	for _, number := range damaged {
		d.Log.Error("a waiting reply is damaged: its seal does not open; it was set aside and is not sent", "reply", number)
	}
	var list []Sending
	err = d.Store.View(func(tx *store.Tx) error {
		for o, err := range tx.Outbox(0) {
			if err != nil {
				return err
			}
			s := Sending{ID: o.ID, Tries: o.Tries, QueuedAt: o.QueuedAt, NotBefore: o.NotBefore, Stated: o.Stated}
			if err := cbor.Unmarshal(o.Data, &s.Reply); err != nil {
				d.Log.Error("a waiting reply cannot be read and is not sent", "reply", o.ID, "error", err)
				continue
			}
			s.Reply.Group = s.Reply.Group || o.Chat < 0 // older replies do not tell
			s.Reply = s.Reply.MovedTo(o.Chat)           // if it has moved since
			s.Who = whoAnswered(tx, s.Reply)
			list = append(list, s)
		}
		return nil
	})
	return list, err
}

// Settle notes what became of sendings, in one transaction: what was delivered
// leaves the outbox, what failed keeps its place until it is tried again.
func (d *Desk) Settle(ctx context.Context, list []Settled) error {
	return d.Store.Update(func(tx *store.Tx) error {
		for _, s := range list {
			if err := settleOne(tx, s); err != nil {
				return err
			}
		}
		return nil
	})
}

func settleOne(tx *store.Tx, s Settled) error {
	if err := noteCalls(tx, s.Reply.Chat, s.Calls); err != nil {
		return err
	}
	if !s.RetryAt.IsZero() {
		return tx.Postpone(s.Reply.Chat, s.ID, s.RetryAt, s.Stated)
	}
	if err := remember(tx, s.Reply, s.Message); err != nil {
		return err
	}
	return tx.Delivered(s.Reply.Chat, s.ID)
}

// Make makes the file that a reply carries.
func (d *Desk) Make(ctx context.Context, a Attachment) (File, error) { return d.Maker.Make(ctx, a) }
