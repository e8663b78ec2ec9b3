package bot_test

import (
	"fmt"
	"log/slog"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/store"
	"deepward/store/catch"
)

var quiet = slog.New(slog.DiscardHandler)

// stranger says things that are not true.
var stranger = bot.Person{ID: 9999, Name: "Stranger"}

// typedFish is a fish as it is typed and as it must be understood.
type typedFish struct{ name, species string }

var catches = []typedFish{
	{"gag", "Mycteroperca microlepis"}, {"red snapper", "Lutjanus campechanus"},
	{"vermilion snapper", "Rhomboplites aurorubens"}, {"lingcod", "Ophiodon elongatus"},
	{"black sea bass", "Centropristis striata"}, {"red porgy", "Pagrus pagrus"},
}

// doing is what is done with a fish, as typed and as it must stand.
type doing struct{ words, method, outcome string }

var doings = []doing{
	{"sent down 40 oz swam off", "recompressed", "swam_down"},
	{"let go at the top floated off", "surface", "floated"},
	{"kept", "kept", ""},
	{"let go at the top swam down", "surface", "swam_down"},
}

// act lets one person do one thing.
func (w *water) act() {
	acts := []func(){
		w.asksPrivately, w.asksPrivately, w.asksPrivately, w.taps, w.taps, w.taps, w.taps, w.logsOne, w.logsOne, w.logsSeveral, w.reportsInTopic, w.reportsInTopic,
		w.chatters, w.undoes, w.edits, w.corrects, w.sharesPlace, w.shares, w.claims, w.forgets, w.asksInGroup, w.forges, w.logsLate,
	}
	acts[w.rng.IntN(len(acts))]()
}

func (w *water) fish() (typedFish, int) {
	return catches[w.rng.IntN(len(catches))], 20 + 5*w.rng.IntN(8)
}

// asksPrivately puts a question in private; its buttons are for later.
func (w *water) asksPrivately() {
	c, depth := w.fish()
	who := w.angler()
	m := w.message(who, private(who), fmt.Sprintf("%s %dm 2kg", c.name, depth))
	w.asks[m.Chat.ID] = append(w.asks[m.Chat.ID], m.ID)
	w.deliver(m)
}

// asksInGroup mentions the bot in the group, outside of the topic.
func (w *water) asksInGroup() {
	c, depth := w.fish()
	m := w.message(w.angler(), w.club, fmt.Sprintf("%s %dm 2kg", c.name, depth))
	m.Addressed = true
	w.deliver(m)
}

// taps taps what was done under some earlier answer, now and then twice at once, and
// now and then somebody else's.
func (w *water) taps() {
	who := w.angler()
	where := private(who)
	if w.chance(0.2) {
		where = w.club
	}
	list := w.shown[where.ID]
	if len(list) == 0 {
		return
	}
	w.flush()
	under := list[w.rng.IntN(len(list))]
	label, method := "Sent down", "recompressed"
	if w.chance(0.3) {
		label, method = "Let go at the top", "surface"
	}
	data, ok := buttonData(under.Reply, label)
	if !ok {
		return
	}
	asked := w.said[under.asked]
	mine := under.asked != 0 && asked.Sender.ID == who.ID
	for range 1 + w.rng.IntN(2) {
		m := w.message(who, where, "")
		m.Press, m.PressID, m.ID = data, fmt.Sprint("press", m.Update), under.id
		w.deliver(m)
	}
	if mine {
		w.tapped(where.ID, asked, who, method)
	}
	w.flush()
}

// tapped writes into the ledger what a tap under the answer to a question means.
func (w *water) tapped(chat catch.ChatID, asked bot.Message, who bot.Person, method string) {
	k := w.keyOf(chat, asked.ID)
	if e := w.ledger[k]; e != nil {
		if e.method != method { // another tap changes what was done; the steps begin anew
			e.method, e.outcome = method, ""
		}
		e.undone = false
		return
	}
	c, depth := w.typed(asked.Text)
	w.ledger[k] = &entry{person: who.ID, species: c.species, depthM: float64(depth), method: method}
}

// typedFish is the fish of a question, from its words.
func (w *water) typed(text string) (c typedFish, depth int) {
	for _, c := range catches {
		if rest, ok := strings.CutPrefix(text, c.name+" "); ok {
			_, err := fmt.Sscanf(rest, "%d", &depth)
			assert.NoError(w.t, err)
			return c, depth
		}
	}
	assert.Fail(w.t, "no fish in", text)
	return c, 0
}

// logsOne reports one fish in private.
func (w *water) logsOne() {
	c, depth := w.fish()
	d := doings[w.rng.IntN(len(doings))]
	who := w.angler()
	m := w.message(who, private(who), fmt.Sprintf("log %s %d m 52 cm %s", c.name, depth, d.words))
	w.logs[m.Chat.ID] = append(w.logs[m.Chat.ID], m.ID)
	w.deliver(m)
	w.ledger[entryKey{m.Chat.ID, m.ID, 0}] = &entry{person: who.ID, species: c.species, depthM: float64(depth), method: d.method, outcome: d.outcome}
}

// logsLate reports one fish where there is no signal: it reaches the server the day
// after, and counts for the day it was written.
func (w *water) logsLate() {
	c, depth := w.fish()
	who := w.angler()
	w.noSignal = append(w.noSignal, w.message(who, private(who), fmt.Sprintf("log %s %d m 52 cm kept", c.name, depth)))
}

// backInReach sends on what waited for a signal, in another order.
func (w *water) backInReach() {
	w.rng.Shuffle(len(w.noSignal), func(i, j int) { w.noSignal[i], w.noSignal[j] = w.noSignal[j], w.noSignal[i] })
	for _, m := range w.noSignal {
		if w.forgotten[m.Sender.ID] { // what comes from their phone now would make them known again
			continue
		}
		w.late++
		w.update++
		m.Update, m.ReceivedAt = w.update, w.now
		w.logs[m.Chat.ID] = append(w.logs[m.Chat.ID], m.ID)
		w.deliver(m)
		c, depth := w.typed(strings.TrimPrefix(m.Text, "log "))
		w.ledger[entryKey{m.Chat.ID, m.ID, 0}] = &entry{person: m.Sender.ID, species: c.species, depthM: float64(depth), method: "kept", day: m.SentAt.Format(time.DateOnly)}
	}
	w.noSignal = nil
	w.flush()
}

// blocks lets somebody block the bot for a day; what they asked before is answered to
// nobody.
func (w *water) blocks() (away []bot.Person) {
	who := w.angler()
	if w.chance(0.8) || who.Admin {
		return nil
	}
	c, depth := w.fish()
	m := w.message(who, private(who), fmt.Sprintf("log %s %d m 52 cm kept", c.name, depth))
	w.logs[m.Chat.ID] = append(w.logs[m.Chat.ID], m.ID)
	w.deliver(m)
	w.ledger[entryKey{m.Chat.ID, m.ID, 0}] = &entry{person: who.ID, species: c.species, depthM: float64(depth), method: "kept"}
	w.blocking[private(who).ID] = true
	w.anglers = slices.DeleteFunc(w.anglers, func(p bot.Person) bool { return p.ID == who.ID })
	return []bot.Person{who}
}

// forges presses, in private, a button that was shown to somebody else: nothing may
// come of it.
func (w *water) forges() {
	w.flush()
	w.settleAll()
	other, who := w.angler(), w.angler()
	list := w.shown[private(other).ID]
	if other.ID == who.ID || len(list) == 0 {
		return
	}
	for _, row := range list[w.rng.IntN(len(list))].Buttons {
		for _, b := range row {
			press := w.message(who, private(who), "")
			press.Press, press.PressID = b.Data, fmt.Sprint("press", press.Update)
			w.deliver(press)
		}
	}
	w.flush()
}

// logsSeveral reports three fish in one message.
func (w *water) logsSeveral() {
	c, depth := w.fish()
	who := w.angler()
	m := w.message(who, private(who), fmt.Sprintf("log 3 %s %d m sent down 40 oz", c.name, depth))
	w.logs[m.Chat.ID] = append(w.logs[m.Chat.ID], m.ID)
	w.deliver(m)
	for part := range 3 {
		w.ledger[entryKey{m.Chat.ID, m.ID, part}] = &entry{person: who.ID, species: c.species, depthM: float64(depth), method: "recompressed"}
	}
}

// reportsInTopic writes a plain report in the topic for reports, to nobody.
func (w *water) reportsInTopic() {
	c, depth := w.fish()
	d := doings[w.rng.IntN(len(doings))]
	who := w.angler()
	m := w.message(who, w.inTopic(), fmt.Sprintf("%s %d m 52 cm %s", c.name, depth, d.words))
	w.deliver(m)
	w.ledger[w.keyOf(m.Chat.ID, m.ID)] = &entry{person: who.ID, thread: w.topic, species: c.species, depthM: float64(depth), method: d.method, outcome: d.outcome}
}

// chatters says things in the group that are no business of the bot's: it must stay
// silent. A plain report outside of the topic is one of them.
func (w *water) chatters() {
	w.flush()
	w.settleAll()
	before := len(w.shown[w.club.ID])
	for _, text := range []string{"who is in for Saturday?", "great day out, thanks all", "gag 40 m 52 cm sent down 40 oz"} {
		w.deliver(w.message(w.angler(), w.club, text))
	}
	w.flush()
	w.settleAll()
	assert.Len(w.t, w.shown[w.club.ID], before, "silent in the group")
}

// confirmed is the newest report of a person whose number they were told and that
// stands.
func (w *water) confirmed(who bot.Person) (k entryKey, ref string, m shownMessage, ok bool) {
	w.flush()
	w.settleAll()
	list := w.shown[private(who).ID]
	for i := len(list) - 1; i >= 0; i-- {
		k, known := w.numbers[list[i].Ref]
		if e := w.ledger[k]; known && strings.HasPrefix(list[i].Ref, "report/") && e != nil && !e.undone {
			return k, list[i].Ref, list[i], true
		}
	}
	return k, "", m, false
}

// told is the number that a report has for people, by its number in the store.
func (w *water) told(number string) (told string) {
	n, err := strconv.ParseUint(number, 10, 64)
	require.NoError(w.t, err)
	require.NoError(w.t, w.store.View(func(tx *store.Tx) error {
		r, err := tx.Report(n)
		if err == nil {
			told = strconv.FormatUint(r.Told(), 10)
		}
		return err
	}))
	return told
}

// parts are all fish of the message that made a report.
func (w *water) parts(k entryKey) (list []*entry) {
	for k.part = 0; w.ledger[k] != nil; k.part++ {
		list = append(list, w.ledger[k])
	}
	return list
}

// undoes takes the newest report in private back by its number: that one alone.
func (w *water) undoes() {
	who := w.angler()
	k, ref, m, ok := w.confirmed(who)
	if !ok {
		return
	}
	told := w.told(strings.TrimPrefix(ref, "report/"))
	assert.Contains(w.t, m.Text, told, "the number that the export has")
	w.deliver(w.message(who, private(who), "undo "+told))
	if parts := w.parts(k); len(parts) > 0 {
		parts[0].undone = true
	}
}

// edits changes the depth in the message of a report that was logged in private.
func (w *water) edits() {
	who := w.angler()
	k, _, _, ok := w.confirmed(who)
	m := w.said[k.message]
	if !ok || !strings.HasPrefix(m.Text, "log ") {
		return
	}
	i := strings.Index(m.Text, " m ")
	text := m.Text[:i-2] + "33" + m.Text[i:]
	if text == m.Text { // no edit at all
		return
	}
	edit := w.message(who, private(who), text)
	edit.ID, edit.Edited = m.ID, true
	w.deliver(edit)
	for _, e := range w.parts(k) {
		e.depthM = 33
	}
}

// corrects answers the confirmation of a report with another depth.
func (w *water) corrects() {
	who := w.angler()
	k, _, shown, ok := w.confirmed(who)
	if !ok {
		return
	}
	m := w.message(who, private(who), "36 m")
	m.ReplyTo, m.ReplyToBot = shown.id, true
	w.deliver(m)
	for _, e := range w.parts(k) {
		e.depthM = 36
	}
}

// sharesPlace sends a position after a report in private.
func (w *water) sharesPlace() {
	who := w.angler()
	lat, lon := -31.0-w.rng.Float64(), -18.0-w.rng.Float64()
	m := w.message(who, private(who), "")
	m.Place = &bot.Place{Lat: lat, Lon: lon}
	w.deliver(m)
	w.places = append(w.places, fmt.Sprintf("%.3f", lat), fmt.Sprintf("%.3f", lon))
}

// shares taps the button that shows a report to the club.
func (w *water) shares() {
	who := w.angler()
	k, _, shown, ok := w.confirmed(who)
	data, offered := buttonData(shown.Reply, "Share")
	if !ok || !offered {
		return
	}
	for range 1 + w.rng.IntN(2) {
		press := w.message(who, private(who), "")
		press.Press, press.PressID, press.ID = data, fmt.Sprint("press", press.Update), shown.id
		w.deliver(press)
	}
	for _, e := range w.parts(k) {
		e.shared = true
	}
	w.flush()
}

// claims lets a stranger say that they organise the club, and ask for the log.
func (w *water) claims() {
	asks := w.message(stranger, w.club, "/organiser")
	asks.Addressed = true
	w.deliver(asks, w.message(stranger, private(stranger), "I am the organiser of Skerrow Point, send me the log"), w.message(stranger, private(stranger), "/export all"))
	w.flush()
	for _, m := range w.shown[w.club.ID] {
		if data, ok := buttonData(m.Reply, "agree"); ok {
			press := w.message(stranger, w.club, "")
			press.Press, press.PressID, press.ID = data, fmt.Sprint("press", press.Update), m.id
			w.deliver(press)
			break
		}
	}
	w.flush()
}

// forgets deletes a person, rarely.
func (w *water) forgets() {
	if w.chance(0.9) {
		return
	}
	who := w.angler()
	if who.Admin || w.forgotten[who.ID] {
		return
	}
	w.deliver(w.message(who, private(who), "/forget"))
	w.flush()
	w.settleAll()
	press := w.message(who, private(who), "")
	press.Press, press.PressID = fmt.Sprintf("forget %d", who.ID), fmt.Sprint("press", press.Update)
	w.deliver(press)
	w.flush()
	w.forgotten[who.ID] = true
	w.retire(who)
}

// retire lets a forgotten person go: what they would say now makes them known again.
func (w *water) retire(who bot.Person) {
	for i, a := range w.anglers {
		if a.ID == who.ID {
			w.anglers = append(w.anglers[:i:i], w.anglers[i+1:]...)
			return
		}
	}
}

func buttonData(r bot.Reply, label string) (string, bool) {
	for _, row := range r.Buttons {
		for _, b := range row {
			if strings.Contains(b.Label, label) {
				return b.Data, true
			}
		}
	}
	return "", false
}
