package store_test

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"deepward/store"
	"deepward/store/catch"
)

// model is what the store must do, in plain maps.
type model struct {
	reports map[uint64]catch.Report
	state   map[string]string // kind 0 key
	waiting map[catch.ClubID]map[uint64]string
	alias   map[catch.ChatID]catch.ClubID // chat on the transport → internal number
	back    map[catch.ClubID]catch.ChatID
	chats   catch.ClubID // how many internal numbers were given
	queued  uint64
}

func newModel() *model {
	return &model{
		reports: map[uint64]catch.Report{}, state: map[string]string{}, waiting: map[catch.ClubID]map[uint64]string{},
		alias: map[catch.ChatID]catch.ClubID{}, back: map[catch.ClubID]catch.ChatID{},
	}
}

func (m *model) chat(transport catch.ChatID) catch.ClubID {
	if n, ok := m.alias[transport]; ok {
		return n
	}
	m.chats++
	m.alias[transport], m.back[m.chats] = m.chats, transport
	m.waiting[m.chats] = map[uint64]string{}
	return m.chats
}

func (m *model) moveWaiting(from, to catch.ClubID) {
	if from != to {
		maps.Copy(m.waiting[to], m.waiting[from])
		clear(m.waiting[from])
	}
}

func (m *model) move(from, to catch.ChatID) {
	n := m.chat(from)
	if other, ok := m.alias[to]; ok && other != n {
		older, younger := min(n, other), max(n, other)
		for transport, number := range m.alias {
			if number == younger {
				m.alias[transport] = older
			}
		}
		m.moveWaiting(younger, older)
		m.back[younger] = to
		n = older
	}
	m.alias[from], m.alias[to], m.back[n] = n, n, to
}

func (m *model) forget(person catch.PersonID, personKey string) (reports int) {
	for n, r := range m.reports {
		if r.Personal.Person == person {
			r.Personal, r.Who, r.Message = catch.Personal{}, 0, 0
			m.reports[n] = r
			reports++
		}
	}
	maps.DeleteFunc(m.state, func(k, _ string) bool {
		_, key, _ := strings.Cut(k, "\x00")
		return strings.HasPrefix(key, personKey)
	})
	private := catch.ChatID(person)
	if old, ok := m.alias[private]; ok {
		delete(m.alias, private)
		delete(m.back, old)
		m.moveWaiting(old, m.chat(private))
	}
	return reports
}

// machine plays random operations against a store and the model.
type machine struct {
	dir   string
	store *store.Store
	model *model
}

func (m *machine) update(t *rapid.T, fn func(tx *store.Tx) error) {
	require.NoError(t, m.store.Update(fn))
}

func drawPerson(t *rapid.T) catch.PersonID {
	return catch.PersonID(rapid.Int64Range(1, 4).Draw(t, "person"))
}

func drawGroup(t *rapid.T) catch.ChatID {
	return catch.ChatID(rapid.Int64Range(-3, -1).Draw(t, "group"))
}

func (m *machine) Add(t *rapid.T) {
	r := report(drawPerson(t), noon.Add(time.Duration(rapid.IntRange(-1000, 1000).Draw(t, "minutes"))*time.Minute))
	r.Tag, r.Message = fmt.Sprint("T", rapid.IntRange(0, 3).Draw(t, "tag")), rapid.IntRange(0, 3).Draw(t, "message")
	m.update(t, func(tx *store.Tx) error { _, err := tx.AddReport(r); return err })
	m.model.reports[r.Number] = *r
}

func (m *machine) Correct(t *rapid.T) {
	if len(m.model.reports) == 0 {
		return
	}
	n := rapid.SampledFrom(slices.Sorted(maps.Keys(m.model.reports))).Draw(t, "number")
	tag, minutes := fmt.Sprint("T", rapid.IntRange(0, 3).Draw(t, "tag")), rapid.IntRange(-1000, 1000).Draw(t, "minutes")
	m.update(t, func(tx *store.Tx) error {
		r, err := tx.Report(n)
		if err != nil {
			return err
		}
		r.Tag, r.CaughtAt, r.Undone = tag, noon.Add(time.Duration(minutes)*time.Minute), !r.Undone
		m.model.reports[n] = *r
		return tx.PutReport(r)
	})
}

func (m *machine) Forget(t *rapid.T) {
	person := drawPerson(t)
	m.update(t, func(tx *store.Tx) error {
		n, err := tx.ForgetPerson(person)
		require.Equal(t, m.model.forget(person, tx.PersonKey(person)), n)
		return err
	})
}

func (m *machine) Keep(t *rapid.T) {
	kind, person := rapid.SampledFrom([]string{"a", "ab"}).Draw(t, "kind"), drawPerson(t)
	value := rapid.StringN(0, 5, -1).Draw(t, "value")
	m.update(t, func(tx *store.Tx) error {
		key := tx.PersonKey(person)
		m.model.state[kind+"\x00"+key] = value
		return tx.Put(kind, key, value)
	})
}

func (m *machine) Drop(t *rapid.T) {
	kind, person := rapid.SampledFrom([]string{"a", "ab"}).Draw(t, "kind"), drawPerson(t)
	m.update(t, func(tx *store.Tx) error {
		key := tx.PersonKey(person)
		delete(m.model.state, kind+"\x00"+key)
		return tx.Delete(kind, key)
	})
}

func (m *machine) Queue(t *rapid.T) {
	chat := rapid.SampledFrom([]catch.ChatID{1, 2, -1, -2, -3}).Draw(t, "chat")
	m.update(t, func(tx *store.Tx) error {
		m.model.queued++
		text := fmt.Sprint("reply ", m.model.queued)
		id, err := tx.Queue(store.Outgoing{Chat: chat, Data: []byte(text)})
		m.model.waiting[m.model.chat(chat)][id] = text
		return err
	})
}

func (m *machine) Deliver(t *rapid.T) {
	chat := rapid.SampledFrom([]catch.ChatID{1, 2, -1, -2, -3}).Draw(t, "chat")
	waiting := m.model.waiting[m.model.chat(chat)]
	m.update(t, func(tx *store.Tx) error {
		if _, err := tx.ChatNumber(chat); err != nil || len(waiting) == 0 {
			return err
		}
		id := slices.Min(slices.Collect(maps.Keys(waiting)))
		delete(waiting, id)
		return tx.Delivered(chat, id)
	})
}

func (m *machine) MoveChat(t *rapid.T) {
	from, to := drawGroup(t), drawGroup(t)
	if from == to {
		return
	}
	m.update(t, func(tx *store.Tx) error { m.model.move(from, to); return tx.MoveChat(from, to) })
}

// Fail does many things and takes them all back.
func (m *machine) Fail(t *rapid.T) {
	person := drawPerson(t)
	err := m.store.Update(func(tx *store.Tx) error {
		_, err1 := tx.AddReport(report(person, noon))
		_, err2 := tx.Queue(store.Outgoing{Chat: -1, Data: []byte("never")})
		_, err3 := tx.ForgetPerson(person)
		require.NoError(t, errors.Join(err1, err2, err3, tx.Put("a", "b", "c"), tx.MoveChat(-1, -2)))
		return context.Canceled
	})
	require.ErrorIs(t, err, context.Canceled)
}

func (m *machine) Reopen(t *rapid.T) {
	require.NoError(t, m.store.Close())
	m.open(t)
}

// open waits for no disk: what outlasts a stop of the machine is for the power cuts to say.
func (m *machine) open(t *rapid.T) {
	s, err := store.Open(filepath.Join(m.dir, "t.db"), store.Options{KeyFile: filepath.Join(m.dir, "key"), Now: func() time.Time { return noon }, Scratch: true})
	require.NoError(t, err)
	m.store = s
}

// Restore goes on with a compacted copy.
func (m *machine) Restore(t *rapid.T) {
	copied, path := filepath.Join(m.dir, "copy.db"), filepath.Join(m.dir, "t.db")
	require.NoError(t, os.RemoveAll(copied)) // a copy is not written over
	require.NoError(t, m.store.Compact(t.Context(), copied))
	require.NoError(t, m.store.Close())
	require.NoError(t, restore(t.Context(), copied, path, store.Options{KeyFile: filepath.Join(m.dir, "key"), Scratch: true}))
	require.NoError(t, os.Remove(path+".before"))
	m.open(t)
}

// Check compares everything.
func (m *machine) Check(t *rapid.T) {
	require.NoError(t, m.store.View(func(tx *store.Tx) error {
		m.checkReports(t, tx)
		m.checkState(t, tx)
		m.checkOutbox(t, tx)
		return nil
	}))
}

func (m *machine) checkReports(t *rapid.T, tx *store.Tx) {
	tags, messages, people := map[string]int{}, map[int]int{}, map[catch.PersonID]int{}
	n, last := 0, time.Time{}
	for r, err := range tx.Reports(catch.Filter{Personal: true, Undone: true}) {
		require.NoError(t, err)
		want := m.model.reports[r.Number]
		require.Equal(t, want.Personal, r.Personal)
		require.Equal(t, []any{want.Tag, want.Undone, want.Who, want.Message}, []any{r.Tag, r.Undone, r.Who, r.Message})
		require.True(t, r.CaughtAt.Equal(want.CaughtAt) && !r.CaughtAt.Before(last), "by time")
		last = r.CaughtAt
		n++
		if !r.Undone {
			tags[r.Tag]++
		}
		messages[r.Message]++
		people[r.Personal.Person]++
	}
	require.Equal(t, len(m.model.reports), n)
	for i := range 4 {
		tagged, err := tx.ReportsByTag(fmt.Sprint("T", i))
		require.NoError(t, err)
		require.Len(t, tagged, tags[fmt.Sprint("T", i)])
		own, err := tx.ReportsByPerson(catch.PersonID(i+1), 0)
		require.NoError(t, err)
		require.Len(t, own, people[catch.PersonID(i+1)])
		if i > 0 { // message 0 is none
			made, err := tx.ReportsByMessage(3, i)
			require.NoError(t, err)
			require.Len(t, made, messages[i])
		}
	}
}

func (m *machine) checkState(t *rapid.T, tx *store.Tx) {
	got := map[string]string{}
	for _, kind := range []string{"a", "ab"} {
		for key := range tx.Keys(kind, "") {
			var value string
			known, err := tx.Get(kind, key, &value)
			require.NoError(t, err)
			require.True(t, known)
			got[kind+"\x00"+key] = value
		}
	}
	require.Equal(t, m.model.state, got)
}

func (m *machine) checkOutbox(t *rapid.T, tx *store.Tx) {
	total := 0
	for number, waiting := range m.model.waiting {
		total += len(waiting)
		transport, known := tx.TransportChat(number)
		require.Equal(t, m.model.back[number], transport)
		if !known {
			continue
		}
		var want []string
		for _, id := range slices.Sorted(maps.Keys(waiting)) {
			want = append(want, waiting[id])
		}
		var got []string
		for o, err := range tx.Outbox(0) {
			require.NoError(t, err)
			if n, err := tx.ChatNumber(o.Chat); err == nil && n == number {
				got = append(got, string(o.Data))
			}
		}
		require.Equal(t, want, got, "chat %d", number)
	}
	require.Equal(t, total, tx.OutboxLen())
}

func TestStoreDoesWhatPlainMapsWould(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		dir, err := os.MkdirTemp("", "deepward-model-*")
		require.NoError(rt, err)
		defer os.RemoveAll(dir)
		m := &machine{dir: dir, model: newModel()}
		m.open(rt)
		defer func() { m.store.Close() }()
		rt.Repeat(rapid.StateMachineActions(m))
		require.NoError(rt, m.store.Check(context.Background()))
	})
}
