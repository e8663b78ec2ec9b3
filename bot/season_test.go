package bot_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"

	"deepward/bot"
	"deepward/store"
	"deepward/store/catch"
	"deepward/store/export"
)

// A whole season of a club, played with a clock of its own and a plain ledger beside
// it: questions, taps, reports, corrections, places, sharing, forgetting, strangers,
// and what goes wrong between a chat and a program. At the end everything that must
// hold is checked. DEEPWARD_SEASON=full plays 200 anglers over nine months; the plain
// run plays a smaller club for six weeks.
func TestASeasonOfAClub(t *testing.T) {
	anglers, days, seeds := 30, 42, 2
	if os.Getenv("DEEPWARD_SEASON") == "full" {
		anglers, days, seeds = 200, 274, 3
	}
	others := goleak.IgnoreCurrent()
	t.Cleanup(func() { goleak.VerifyNone(t, others) })
	for seed := range seeds {
		t.Run(fmt.Sprint("seed ", seed), func(t *testing.T) {
			t.Parallel()
			w := newWater(t, uint64(seed)+1, anglers)
			for range days {
				w.day()
			}
			w.settleAll()
			w.check()
			t.Logf("%d messages, %d reports, %d undone, %d late by a day, %d people forgotten, %d restarts, %d copies put in the store's place, %d replies held up, %d to people who had blocked the bot, %d updates twice, %d replies of a stopped program sent again",
				w.ids, len(w.ledger), w.undone(), w.late, len(w.forgotten), w.restarts, w.copies, w.heldUp, w.unseen, w.twice, w.again)
		})
	}
}

// water is the club's water: people, chats, what they were sent, and the ledger of
// what must stand in the log.
type water struct {
	t   *testing.T
	rng *rand.Rand
	dir string
	now time.Time
	// path is the store that the program has open.
	path string

	store *store.Store
	desk  *bot.Desk

	anglers []bot.Person
	club    bot.Chat
	topic   int
	ids     int
	update  catch.UpdateID

	// inbox waits to be delivered; delivered is what may come a second time.
	inbox, delivered []bot.Message
	// shown are the messages that people see, newest last, by chat.
	shown map[catch.ChatID][]shownMessage
	// said are the messages of people by number; asks and logs are those in each
	// private chat whose answer has not been seen yet: answers keep their order.
	said       map[int]bot.Message
	asks, logs map[catch.ChatID][]int
	// numbers are the reports by the number that people were told.
	numbers map[string]entryKey
	// lastSent is the number of the newest sending to each chat: order is kept.
	lastSent map[catch.ChatID]uint64
	held     map[catch.ChatID]bool
	// sendings counts how often each was seen, answered is the question it was for.
	sendings map[uint64]int
	answered map[uint64]int

	ledger    map[entryKey]*entry
	forgotten map[catch.PersonID]bool
	// places are the exact positions that were shared.
	places []string

	// noSignal are messages that reach the server a day late; blocking are the people
	// who have blocked the bot for today.
	noSignal []bot.Message
	// moved is true once the group has moved, which it does once; sinceMove are the
	// messages written there since. The log has their numbers with a minus.
	moved     bool
	sinceMove map[int]bool
	blocking  map[catch.ChatID]bool

	restarts, heldUp, twice, again, late, copies, unseen int
}

// shownMessage is a reply as a person sees it, and the question that it answers.
type shownMessage struct {
	bot.Reply
	id, asked int
}

// entryKey names a report by what made it.
type entryKey struct {
	chat          catch.ChatID
	message, part int
}

// entry is a report as it must stand in the log.
type entry struct {
	person         catch.PersonID
	thread         int
	species        string
	depthM         float64
	method         string
	outcome        string
	undone, shared bool
	// day is when it was caught, "" where it is the day the message came.
	day string
}

func newWater(t *testing.T, seed uint64, anglers int) *water {
	w := &water{
		t: t, rng: rand.New(rand.NewPCG(seed, 7)), dir: t.TempDir(), now: time.Date(2031, 3, 1, 5, 0, 0, 0, time.UTC),
		club: bot.Chat{ID: -1001, Group: true, Title: "Skerrow Point Anglers"}, topic: 7, ids: 100, update: 5000,
		shown: map[catch.ChatID][]shownMessage{}, lastSent: map[catch.ChatID]uint64{}, sendings: map[uint64]int{}, answered: map[uint64]int{},
		ledger: map[entryKey]*entry{}, forgotten: map[catch.PersonID]bool{}, said: map[int]bot.Message{},
		asks: map[catch.ChatID][]int{}, logs: map[catch.ChatID][]int{}, numbers: map[string]entryKey{},
		held: map[catch.ChatID]bool{}, blocking: map[catch.ChatID]bool{}, sinceMove: map[int]bool{},
	}
	for i := range anglers {
		w.anglers = append(w.anglers, bot.Person{ID: catch.PersonID(2000 + i), Name: fmt.Sprintf("Angler%d", i), Admin: i < 2})
	}
	w.path = w.dir + "/t.db"
	w.open()
	t.Cleanup(func() { require.NoError(t, w.store.Close()) })
	setup := w.message(w.anglers[0], w.inTopic(), "/setup topic yes")
	setup.Addressed = true
	w.deliver(setup)
	w.flush()
	return w
}

// open waits for no disk: stops of the machine are for the store's own tests.
func (w *water) open() {
	s, err := store.Open(w.path, store.Options{KeyFile: w.dir + "/keys/key", Now: func() time.Time { return w.now }, Scratch: true})
	require.NoError(w.t, err)
	w.store = s
	w.desk = &bot.Desk{Store: s, Engine: bot.NewEngine(), Maker: noFiles{}, Log: quiet}
}

// day lets some of the anglers go out, and things go wrong.
func (w *water) day() {
	w.now = w.now.Truncate(24 * time.Hour).Add(29 * time.Hour)
	w.backInReach()
	away := w.blocks()
	for range 3 + w.rng.IntN(len(w.anglers)/4+1) {
		w.now = w.now.Add(time.Duration(1+w.rng.IntN(15)) * time.Minute)
		w.act()
		if w.chance(0.6) {
			w.flush()
		}
		if w.chance(0.01) {
			w.restart()
		}
	}
	w.flush()
	w.retry()
	clear(w.blocking)
	w.anglers = append(w.anglers, away...)
	if !w.moved && w.chance(0.05) {
		w.migrate()
	}
	if w.chance(0.05) {
		w.moveIntoCopy()
	}
}

func (w *water) chance(p float64) bool { return w.rng.Float64() < p }

func (w *water) angler() bot.Person { return w.anglers[w.rng.IntN(len(w.anglers))] }

func (w *water) inTopic() bot.Chat {
	c := w.club
	c.Thread = w.topic
	return c
}

// restart stops the program and starts it again on the same store.
func (w *water) restart() {
	w.restarts++
	require.NoError(w.t, w.store.Close())
	w.open()
	w.retry()
}

// moveIntoCopy goes on with a copy of the store, as after a restored backup or a
// compaction: whatever was acknowledged is in it.
func (w *water) moveIntoCopy() {
	w.copies++
	path := fmt.Sprintf("%s/copy%d.db", w.dir, w.copies)
	if w.chance(0.5) {
		require.NoError(w.t, w.store.Backup(context.Background(), path))
	} else {
		require.NoError(w.t, w.store.Compact(context.Background(), path))
	}
	require.NoError(w.t, w.store.Close())
	w.path = path
	w.open()
	w.retry()
}

// retry tries all that waits once more.
func (w *water) retry() {
	clear(w.held)
	w.send(w.pending())
}

// migrate gives the group a new number, as a server does when it becomes a supergroup.
func (w *water) migrate() {
	m := w.message(bot.Person{}, w.club, "")
	m.Event, m.MovedTo = bot.EventMoved, w.club.ID-1
	w.settleAll()
	w.deliver(m)
	w.flush()
	old := w.club.ID
	w.club.ID, w.moved = m.MovedTo, true
	for k, e := range w.ledger {
		if k.chat == old {
			delete(w.ledger, k)
			k.chat = w.club.ID
			w.ledger[k] = e
		}
	}
	for n, k := range w.numbers {
		if k.chat == old {
			k.chat = w.club.ID
			w.numbers[n] = k
		}
	}
	w.shown[w.club.ID] = append(w.shown[w.club.ID], w.shown[old]...)
	w.lastSent[w.club.ID] = max(w.lastSent[w.club.ID], w.lastSent[old])
}

// message is something that reaches the bot soon; Update numbers it.
func (w *water) message(who bot.Person, where bot.Chat, text string) bot.Message {
	w.ids++
	w.update++
	if !where.Group {
		who.Admin = true
	} else if w.moved {
		w.sinceMove[w.ids] = true
	}
	return bot.Message{
		Update: w.update, Chat: where, Sender: who, ID: w.ids, Text: text,
		SentAt: w.now, ReceivedAt: w.now.Add(time.Second), Addressed: !where.Group,
	}
}

// keyOf names what a message in a chat made.
func (w *water) keyOf(chat catch.ChatID, message int) entryKey {
	if w.sinceMove[message] {
		message = -message
	}
	return entryKey{chat, message, 0}
}

func (w *water) deliver(m ...bot.Message) {
	w.inbox = append(w.inbox, m...)
	for _, m := range m {
		if m.Text != "" {
			w.said[m.ID] = m
		}
	}
}

// flush hands the inbox in, in batches; some updates come twice, some batches again
// and late, and sometimes the program stops before it could note what it sent.
func (w *water) flush() {
	for len(w.inbox) > 0 {
		n := min(len(w.inbox), 1+w.rng.IntN(5))
		batch := slices.Clone(w.inbox[:n])
		w.inbox = w.inbox[n:]
		w.delivered = append(w.delivered, batch...)
		if w.chance(0.1) {
			batch = append(batch, w.anOldUpdate())
			w.twice++
		}
		clubs, err := w.desk.ClubsToCheck(context.Background(), batch)
		require.NoError(w.t, err)
		for i := range batch {
			batch[i].Members = map[catch.ChatID]bool{}
			for _, c := range clubs[i] {
				batch[i].Members[c] = true
			}
		}
		sendings, err := w.desk.Take(context.Background(), batch)
		require.NoError(w.t, err)
		if w.chance(0.01) {
			w.restart() // taken, but nothing was sent yet
			continue
		}
		w.send(sendings)
	}
}

// anOldUpdate is one that was delivered before; a server keeps none longer than a day.
func (w *water) anOldUpdate() bot.Message {
	w.delivered = slices.DeleteFunc(w.delivered, func(m bot.Message) bool { return w.now.Sub(m.ReceivedAt) > 24*time.Hour })
	return w.delivered[w.rng.IntN(len(w.delivered))]
}

func (w *water) pending() []bot.Sending {
	list, err := w.desk.Pending(context.Background())
	require.NoError(w.t, err)
	return list
}

// send delivers replies; one that fails holds up those behind it in its chat, until
// everything that waits is tried again.
func (w *water) send(list []bot.Sending) {
	for _, s := range list {
		if w.held[s.Reply.Chat] {
			continue
		}
		if w.blocking[s.Reply.Chat] {
			w.giveUp(s)
			continue
		}
		if w.chance(0.03) {
			w.held[s.Reply.Chat] = true
			w.heldUp++
			w.settle(bot.Settled{Sending: s, RetryAt: w.now.Add(time.Minute)})
			continue
		}
		id := w.show(s)
		if w.chance(0.003) { // sent, and then the program stopped before it noted so
			w.again++
			w.restart()
			return
		}
		w.settle(bot.Settled{Sending: s, Message: id})
	}
}

// giveUp lets go of a reply to somebody who has blocked the bot, as the transport does.
func (w *water) giveUp(s bot.Sending) {
	w.unseen++
	if s.Reply.PressID == "" && w.sendings[s.ID] == 0 {
		w.answers(s)
	}
	w.sendings[s.ID]++
	gone := w.message(bot.Person{}, bot.Chat{ID: s.Reply.Chat}, "")
	gone.Update, gone.Event = 0, bot.EventRemoved
	more, err := w.desk.Take(context.Background(), []bot.Message{gone})
	require.NoError(w.t, err)
	assert.Empty(w.t, more)
	w.settle(bot.Settled{Sending: s})
}

func (w *water) settle(s bot.Settled) {
	require.NoError(w.t, w.desk.Settle(context.Background(), []bot.Settled{s}))
}

// show lets a person see a reply, and sees to it that no chat gets one out of order.
func (w *water) show(s bot.Sending) int {
	chat := s.Reply.Chat
	assert.GreaterOrEqual(w.t, s.ID, w.lastSent[chat], "out of order in chat %d", chat)
	w.lastSent[chat] = s.ID
	id := s.Reply.Edit
	if id == 0 {
		w.ids++
		id = w.ids
	}
	if s.Reply.PressID == "" {
		if w.sendings[s.ID] == 0 {
			w.answered[s.ID] = w.answers(s)
		}
		w.shown[chat] = append(w.shown[chat], shownMessage{s.Reply, id, w.answered[s.ID]})
	}
	w.sendings[s.ID]++
	return id
}

// answers is the message of a person that a reply is for, as far as the ledger needs
// it: answers to questions, and confirmations of reports.
func (w *water) answers(s bot.Sending) (asked int) {
	chat, r := s.Reply.Chat, s.Reply
	if r.Edit != 0 {
		for _, m := range w.shown[chat] {
			if m.id == r.Edit && m.asked != 0 {
				w.numbers[r.Ref] = w.keyOf(chat, m.asked)
				return m.asked
			}
		}
		return 0
	}
	_, isAdvice := buttonData(r, "Sent down")
	switch {
	case isAdvice && chat < 0:
		return r.ReplyTo
	case isAdvice && len(w.asks[chat]) == 0, chat > 0 && strings.HasPrefix(r.Text, "Kept") && len(w.logs[chat]) == 0:
		assert.Fail(w.t, "an answer that nobody waits for", "%+v", r)
	case isAdvice:
		asked, w.asks[chat] = w.asks[chat][0], w.asks[chat][1:]
		return asked
	case chat > 0 && strings.HasPrefix(r.Text, "Kept"):
		w.numbers[r.Ref] = entryKey{chat, w.logs[chat][0], 0}
		w.logs[chat] = w.logs[chat][1:]
	}
	return 0
}

// settleAll sends what was held up until nothing waits.
func (w *water) settleAll() {
	for tries := 0; ; tries++ {
		require.Less(w.t, tries, 100, "the outbox does not empty")
		if len(w.pending()) == 0 {
			return
		}
		w.retry()
	}
}

func (w *water) undone() (n int) {
	for _, e := range w.ledger {
		if e.undone {
			n++
		}
	}
	return n
}

// check compares the store with the ledger, and what was said with what may be said.
func (w *water) check() {
	w.checkLog()
	w.checkExport()
	w.checkChats()
	require.NoError(w.t, w.store.Check(context.Background()))
	for id, n := range w.sendings {
		assert.LessOrEqual(w.t, n, 1+w.again, "sending %d", id)
	}
}

func (w *water) checkLog() {
	seen := map[entryKey]bool{}
	nobodys, gone := 0, 0
	where := map[int]catch.ChatID{} // messages have numbers of their own in all chats here
	for k := range w.ledger {
		where[k.message] = k.chat
	}
	require.NoError(w.t, w.store.View(func(tx *store.Tx) error {
		for r, err := range tx.Reports(catch.Filter{Personal: true, Undone: true}) {
			require.NoError(w.t, err)
			if r.Message == 0 { // of somebody who was forgotten: it leads to no message
				nobodys++
				assert.Zero(w.t, r.Personal)
				assert.Zero(w.t, r.Who)
				continue
			}
			k := entryKey{where[r.Message], r.Message, r.Part}
			if chat, known := tx.TransportChat(r.Chat); known || !w.forgotten[catch.PersonID(k.chat)] {
				assert.Equal(w.t, k.chat, chat, "the chat of message %d", r.Message)
			}
			require.False(w.t, seen[k], "%v twice", k)
			seen[k] = true
			want := w.ledger[k]
			if !assert.NotNil(w.t, want, "%v is in the log, nobody reported it: %q", k, r.Personal.Words) {
				continue
			}
			got := entry{
				person: r.Personal.Person, thread: r.Thread, species: r.Species, depthM: *r.DepthM,
				method: string(r.Method), outcome: string(r.Outcome), undone: r.Undone, shared: r.Club != 0,
			}
			if want.day != "" {
				assert.Equal(w.t, want.day, r.CaughtAt.Format(time.DateOnly), "%v: late, but of its day", k)
			}
			expected := *want
			expected.day = ""
			assert.False(w.t, w.forgotten[want.person], "%v leads to somebody who was forgotten", k)
			assert.Equal(w.t, expected, got, "%v %q", k, r.Personal.Words)
		}
		return nil
	}))
	for k, e := range w.ledger {
		if w.forgotten[e.person] && !seen[k] {
			nobodys--
			gone++
		}
	}
	assert.Zero(w.t, nobodys, "the reports of the forgotten stay in the counts")
	assert.Equal(w.t, len(w.ledger), len(seen)+gone, "every report that was made stands in the log")
}

// checkExport takes the season log out and counts: each report that stands, once.
func (w *water) checkExport() {
	var out bytes.Buffer
	require.NoError(w.t, w.store.View(func(tx *store.Tx) error {
		return export.Write(context.Background(), &out, tx.Reports(catch.Filter{}), export.Options{Format: export.CSV, Pseudonym: w.store.Pseudonym, MadeAt: w.now})
	}))
	for _, a := range w.anglers {
		assert.NotContains(w.t, out.String(), a.Name+",", "nobody agreed to be named")
	}
	rows, err := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(out.Bytes(), []byte("\ufeff")))).ReadAll()
	require.NoError(w.t, err)
	assert.Equal(w.t, 1+len(w.ledger)-w.undone(), len(rows), "each report that stands, once")
	w.checkSums(rows)
}

// checkSums counts fish and adds their depths by species and method, in the export
// and in the ledger.
func (w *water) checkSums(rows [][]string) {
	column := func(name string) int {
		i := slices.Index(rows[0], name)
		require.GreaterOrEqual(w.t, i, 0, name)
		return i
	}
	species, method, depth := column("species"), column("method"), column("depth_m")
	type sum struct {
		fish   int
		metres float64
	}
	exported, reported := map[string]sum{}, map[string]sum{}
	add := func(to map[string]sum, k string, metres float64) {
		to[k] = sum{to[k].fish + 1, to[k].metres + metres}
	}
	for _, row := range rows[1:] {
		metres, err := strconv.ParseFloat(row[depth], 64)
		require.NoError(w.t, err)
		add(exported, row[species]+" "+row[method], metres)
	}
	for _, e := range w.ledger {
		if !e.undone {
			add(reported, e.species+" "+e.method, e.depthM)
		}
	}
	assert.Equal(w.t, reported, exported)
}

// checkChats reads everything that was ever sent to the group: no exact place, and
// nothing to or about a stranger's wish.
func (w *water) checkChats() {
	for chat, list := range w.shown {
		for _, m := range list {
			if chat < 0 {
				for _, place := range w.places {
					assert.NotContains(w.t, m.Text, place)
				}
			}
			if m.Attach != nil && m.Attach.Kind == bot.FileExport {
				assert.NotEqual(w.t, fmt.Sprint(stranger.ID), fmt.Sprint(chat), "a stranger was given a log")
				assert.Positive(w.t, chat, "a log goes to nobody's group")
			}
		}
	}
}
