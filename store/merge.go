package store

import (
	"bytes"
	"context"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"
	"strconv"

	"deepward/store/catch"
)

// mergeBatch is how many reports go into one transaction of a merge.
const mergeBatch = 500

// Merge takes over the reports of another store that the filter takes, with
// their seasons, sealed anew under this store's key. Filter.Chat is the club's
// number in the other store; clubs are matched by their chat. A report that is
// here already, in whatever way it came, stays as it is here and counts as same:
// merging twice adds nothing, and a merge that was cut off can be run again.
func (s *Store) Merge(ctx context.Context, other *Store, f catch.Filter) (added, same int, err error) {
	if other == s {
		return 0, 0, errors.New("a store cannot be merged into itself")
	}
	err = other.View(func(from *Tx) error {
		m := &merger{s: s, from: from, chats: map[catch.ClubID]catch.ClubID{}}
		err := m.run(ctx, f)
		added, same = m.added, m.same
		return err
	})
	return added, same, err
}

// merger is one merge under way.
type merger struct {
	s     *Store
	from  *Tx
	batch []catch.Report
	// chats are the numbers here of the clubs there.
	chats       map[catch.ClubID]catch.ClubID
	added, same int
}

func (m *merger) run(ctx context.Context, f catch.Filter) error {
	if err := m.s.Update(m.matchImports); err != nil {
		return err
	}
	f.Personal = true
	for r, err := range m.from.Reports(f) {
		if err = errors.Join(err, ctx.Err()); err != nil {
			return err
		}
		if m.batch = append(m.batch, *r); len(m.batch) == mergeBatch {
			if err := m.flush(); err != nil {
				return err
			}
		}
	}
	if err := m.flush(); err != nil {
		return err
	}
	return m.s.Update(m.takeImports)
}

// flush merges the batch in one transaction.
func (m *merger) flush() error {
	added, same := 0, 0
	err := m.s.Update(func(t *Tx) error {
		for i := range m.batch {
			fresh, err := m.take(t, &m.batch[i])
			if err != nil {
				return err
			}
			if fresh {
				added++
			} else {
				same++
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	m.batch, m.added, m.same = m.batch[:0], m.added+added, m.same+same
	return nil
}

// take adds a report unless it is here.
func (m *merger) take(t *Tx, r *catch.Report) (fresh bool, err error) {
	origin := m.from.originOf(r)
	if here, err := t.holds(origin); here || err != nil {
		return false, err
	}
	if err := m.unname(t, r); err != nil {
		return false, err
	}
	if r.Chat, err = m.chat(t, r.Chat); err != nil {
		return false, err
	}
	if r.Club, err = m.chat(t, r.Club); err != nil {
		return false, err
	}
	if err := m.season(t, r); err != nil {
		return false, err
	}
	r.Message, r.LogNo, r.ClubNo = 0, 0, 0 // those numbers mean nothing here
	n, err := t.AddReport(r)
	if err != nil {
		return false, err
	}
	return true, t.keepOrigin(origin, n)
}

// unname takes a person out of a report of before they were forgotten here.
func (m *merger) unname(t *Tx, r *catch.Report) error {
	person := r.Personal.Person
	if person == 0 {
		return nil
	}
	at, err := t.forgottenAt(t.Who(person))
	if err != nil || at.IsZero() || r.SavedAt.After(at) {
		return err
	}
	r.Personal, r.Who, r.Named = catch.Personal{}, 0, false
	if transport, _ := m.from.TransportChat(r.Chat); catch.PersonID(transport) == person {
		m.chats[r.Chat], err = m.chatApart(t, r.Chat) // their private chat leads to nobody
	}
	return err
}

// chat is the number here of a club there, by its chat on the transport; one
// whose chat is not known is kept apart by where it came from.
func (m *merger) chat(t *Tx, number catch.ClubID) (catch.ClubID, error) {
	if number == 0 {
		return 0, nil
	}
	if here, ok := m.chats[number]; ok {
		return here, nil
	}
	here, err := m.chatHere(t, number)
	if err == nil {
		m.chats[number] = here
	}
	return here, err
}

func (m *merger) chatHere(t *Tx, number catch.ClubID) (catch.ClubID, error) {
	if transport, ok := m.from.TransportChat(number); ok {
		return t.ChatNumber(transport)
	}
	return m.chatApart(t, number)
}

// chatApart is a chat of the other store by where it came from.
func (m *merger) chatApart(t *Tx, number catch.ClubID) (catch.ClubID, error) {
	alias := t.s.sealer.digest("merged chat", string(m.from.storeID()), strconv.FormatInt(int64(number), 10))
	if number, _, known := chatOf(t.bucket(bucketChats).Get(alias)); known {
		return number, nil
	}
	n, err := t.bucket(bucketChats).NextSequence()
	if err != nil {
		return 0, err
	}
	return catch.ClubID(n), t.bucket(bucketChats).Put(alias, number64(n))
}

// season brings the season of a report along, unless there is one of that name.
func (m *merger) season(t *Tx, r *catch.Report) error {
	if _, known, err := t.Season(r.Chat, r.Season); known || r.Season == "" || err != nil {
		return err
	}
	for there, here := range m.chats {
		if here != r.Chat {
			continue
		}
		s, known, err := m.from.Season(there, r.Season)
		if known && err == nil {
			s.Chat = here
			err = t.PutSeason(s)
		}
		if known || err != nil {
			return err
		}
	}
	return nil
}

// matchImports notes which rows both stores imported: they are the same reports.
func (m *merger) matchImports(t *Tx) error {
	return m.imports(func(id string, origin []byte) error {
		here := t.bucket(bucketImported).Get(t.importKey(id))
		if here == nil || t.bucket(bucketOrigins).Get(origin) != nil {
			return nil
		}
		return t.bucket(bucketOrigins).Put(origin, bytes.Clone(here[:8]))
	})
}

// takeImports notes which rows the merge brought along.
func (m *merger) takeImports(t *Tx) error {
	return m.imports(func(id string, origin []byte) error {
		here := t.bucket(bucketOrigins).Get(origin)
		if here == nil || t.Imported(id) {
			return nil
		}
		return t.MarkImported(id, numberAt(here))
	})
}

// imports walks the imported rows of the other store and their reports' origins.
func (m *merger) imports(do func(id string, origin []byte) error) error {
	return m.from.bucket(bucketImported).ForEach(func(k, v []byte) error {
		id, number, err := m.from.importOf(k, v)
		if err != nil {
			return err
		}
		r, err := m.from.Report(number)
		if err != nil {
			return fmt.Errorf("report %d, which was imported: %w", number, err)
		}
		return do(id, m.from.originOf(r))
	})
}

// originOf says where and when a report was first kept: a store, its number
// there, and the moment, which tells two copies of one store apart that gave the
// same number to different reports. It stays the same however often the report
// is corrected and merged on.
func (t *Tx) originOf(r *catch.Report) []byte {
	if v := t.bucket(bucketOrigin).Get(number64(r.Number)); v != nil {
		return bytes.Clone(v)
	}
	return slices.Concat(t.storeID(), number64(r.Number), signed64(r.SavedAt.UnixNano()))
}

// Dataset names what is kept in this store, as no other store is named and for
// as long as it lasts: identifiers that begin with it are unique.
func (t *Tx) Dataset() string { return "deepward-" + hex.EncodeToString(t.storeID()) }

func (t *Tx) storeID() []byte { return bytes.Clone(t.bucket(bucketMeta).Get(metaStoreID)) }

// holds reports whether the report of that origin is here.
func (t *Tx) holds(origin []byte) (bool, error) {
	if t.bucket(bucketOrigins).Get(origin) != nil {
		return true, nil
	}
	id := t.storeID()
	if !bytes.HasPrefix(origin, id) {
		return false, nil
	}
	mine, err := t.Report(binary.BigEndian.Uint64(origin[len(id):]))
	if errors.Is(err, ErrNoReport) {
		return false, nil
	}
	return err == nil && bytes.Equal(t.originOf(mine), origin), err
}

func (t *Tx) keepOrigin(origin []byte, number uint64) error {
	if err := t.bucket(bucketOrigins).Put(origin, number64(number)); err != nil {
		return err
	}
	return t.bucket(bucketOrigin).Put(number64(number), origin)
}
