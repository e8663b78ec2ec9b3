package bot

import (
	"errors"
	"slices"
	"sync"

	"deepward/store"
	"deepward/store/catch"
)

// commonFault is how many chats' messages may break in a row, with none answered
// between: then the fault is hardly in the messages.
const commonFault = 5

// ErrCommonFault: going on would only pass over what everybody writes.
var ErrCommonFault = errors.New("the messages of five chats in a row could not be handled, so the fault is not in one of them: they are kept and come again; " +
	"bring deepward up to date, or restore a backup, and start it again")

// kindBroken keeps the chats of a row of messages that broke, so that a restart
// does not begin to count anew.
const kindBroken = "broken"

// trouble watches for a fault that all messages meet. Its lock is taken inside a
// transaction, never around one.
type trouble struct {
	mu     sync.Mutex
	loaded bool
	// row is the chats whose messages broke since one was last answered.
	row []catch.ChatID
	// aside is true while the store may hold messages that were set aside.
	aside bool
}

// look reads what the store knows, once.
func (t *trouble) look(tx *store.Tx) error {
	if t.loaded {
		return nil
	}
	if _, err := tx.Get(kindBroken, "row", &t.row); err != nil {
		return err
	}
	t.loaded, t.aside = true, tx.AnySetAside()
	return nil
}

// answered ends the row; with none, as nearly always, nothing is written.
func (d *Desk) answered() error {
	t := &d.trouble
	t.mu.Lock()
	quiet := t.loaded && len(t.row) == 0
	t.mu.Unlock()
	if quiet {
		return nil
	}
	return d.Store.Update(func(tx *store.Tx) error {
		t.mu.Lock()
		defer t.mu.Unlock()
		t.row = nil
		return tx.Delete(kindBroken, "row")
	})
}

// takeBack drops a message that was set aside before, now that it was handled.
func (d *Desk) takeBack(tx *store.Tx, m Message) error {
	t := &d.trouble
	t.mu.Lock()
	defer t.mu.Unlock()
	if err := t.look(tx); err != nil || !t.aside || m.Update == 0 {
		return err
	}
	return tx.TakeBack(m.Sender.ID, m.Update)
}

// passOver sets the messages of a batch that broke aside and marks them as seen, so
// that they hold nobody up. Where too many chats' messages broke in a row, and no
// other of this batch was answered, it only keeps them: they are not to be confirmed,
// and ErrCommonFault says so.
func (d *Desk) passOver(broken []Message, answered bool) error {
	common := false
	err := d.Store.Update(func(tx *store.Tx) error {
		row, err := d.trouble.add(tx, broken, answered)
		if err != nil {
			return err
		}
		common = len(row) >= commonFault
		return errors.Join(tx.Put(kindBroken, "row", row), setAside(tx, broken, !common))
	})
	if err == nil && common {
		err = ErrCommonFault
	}
	return err
}

// add puts the chats of messages that broke into the row.
func (t *trouble) add(tx *store.Tx, broken []Message, answered bool) ([]catch.ChatID, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if err := t.look(tx); err != nil {
		return nil, err
	}
	t.aside = true
	if answered {
		t.row = nil
		return nil, nil
	}
	for _, m := range broken {
		if m.Update != 0 && !slices.Contains(t.row, m.Chat.ID) && len(t.row) < commonFault {
			t.row = append(t.row, m.Chat.ID)
		}
	}
	return t.row, nil
}

func setAside(tx *store.Tx, broken []Message, seen bool) error {
	for _, m := range broken {
		if m.Raw != nil {
			if err := tx.SetAside(m.Sender.ID, store.Aside{Number: int64(m.Update), Why: "it broke the conversation", Raw: m.Raw}); err != nil {
				return err
			}
		}
		if seen {
			if err := markSeen(tx, m); err != nil {
				return err
			}
		}
	}
	return nil
}

// SetAside keeps an update of which the transport could not make a message; person
// is 0 if it is not known whose it is.
func (d *Desk) SetAside(person catch.PersonID, update catch.UpdateID, raw []byte) error {
	return d.Store.Update(func(tx *store.Tx) error {
		d.trouble.mu.Lock()
		defer d.trouble.mu.Unlock()
		d.trouble.aside = true
		return tx.SetAside(person, store.Aside{Number: int64(update), Why: "it could not be read", Raw: raw})
	})
}
