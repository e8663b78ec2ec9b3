package bot_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/store"
	"deepward/store/catch"
)

// forge taps with any data under any message, as a client of one's own can.
func (k *talk) forge(who bot.Person, where bot.Chat, under int, data string) []delivered {
	k.t.Helper()
	m := k.message(who, where, "")
	m.Press, m.PressID, m.ID = data, "press", under
	return k.take(m)
}

// refusal is the only answer to a tap that is not the person's: a note that the
// one who taps sees, and nothing in the chat.
func refusal(t *testing.T, replies []delivered, data string) {
	t.Helper()
	require.Len(t, replies, 1, data)
	assert.Equal(t, "press", replies[0].PressID, data)
	assert.NotEmpty(t, replies[0].Text, data)
	assert.Zero(t, replies[0].Edit, data)
}

// snapshot is all that is kept of reports and of what the bot remembers.
func snapshot(t testing.TB, s *store.Store) string {
	t.Helper()
	var b strings.Builder
	require.NoError(t, s.View(func(tx *store.Tx) error {
		for r, err := range tx.Reports(catch.Filter{Personal: true, Undone: true}) {
			if err != nil {
				return err
			}
			fmt.Fprintf(&b, "%d %v %s %s %s %v %v %d\n", r.Number, r.Undone, r.Species, r.Method, r.Outcome, r.LengthCm, r.Flags, r.Club)
		}
		return nil
	}))
	return b.String()
}

// What each kind of button is for: those under an advice and under a report belong
// to the person who asked or reported, in a group too, where everybody sees them.
// The agreement to an organiser is an admin's, a log is its organisers'.
func TestButtonsInAGroupAreForTheOneTheyWereMadeFor(t *testing.T) {
	k := newTalk(t)
	advice := only(t, k.tell(bruno, "snapper 45m 3kg"))
	done := only(t, k.tell(bruno, "/log gag 40 m sent down 40 oz"))
	k.tell(cleo, "/log gag 41 m sent down 40 oz") // she has things of her own
	asked := only(t, k.tell(cleo, "/organiser"))
	before := snapshot(t, k.store)
	for _, verb := range []string{"done 1 recompressed", "done 1 died", "unit 1 feet", "why 1", "how 1", "pick 1 0"} {
		refusal(t, k.forge(cleo, club, advice.id, verb), verb)
		refusal(t, k.forge(cleo, club, 0, verb), verb+" under no message")
		refusal(t, k.forge(cleo, private(cleo), 7, verb), verb+" in private")
	}
	for _, verb := range []string{"went 1 swam_down", "skip 1 went", "undo 1", "share 1", "share 1 1", "keep 1", "place 1 yes", "forget 502", "export 1 csv"} {
		refusal(t, k.forge(cleo, club, done.id, verb), verb)
		refusal(t, k.forge(cleo, private(cleo), 7, verb), verb+" in private")
	}
	agree := dataOf(t, asked, "agree")
	refusal(t, k.forge(cleo, club, asked.id, agree), "no admin agrees to herself")
	refusal(t, k.forge(cleo, private(cleo), 7, agree), "nor in private, where everybody is admin")
	refusal(t, k.forge(ada, bot.Chat{ID: -901, Group: true}, 7, agree), "nor the admin of another group")
	assert.Equal(t, before, snapshot(t, k.store))

	// Her own thing under his message: it would be written over.
	refusal(t, k.forge(cleo, club, advice.id, "undo 2"), "undo 2")
	refusal(t, k.forge(cleo, club, done.id, "undo 2"), "undo 2")
	assert.Equal(t, before, snapshot(t, k.store))

	// And those that they are for may.
	assert.NotEmpty(t, k.forge(bruno, club, advice.id, "why 1")[1].Text)
	k.forge(bruno, club, done.id, "undo 1")
	assert.NotEqual(t, before, snapshot(t, k.store))
	assert.Contains(t, k.forge(ada, club, asked.id, agree)[1].Text, "Cleo")
}

// A tap that is replayed changes nothing the second time.
func TestReplayedTapChangesNothing(t *testing.T) {
	k := newTalk(t)
	r := only(t, k.say(ada, "red snapper 45m 3kg"))
	k.tap(ada, private(ada), r, "Sent down")
	before := snapshot(t, k.store)
	refusal(t, k.tap(ada, private(ada), r, "Sent down"), "done twice")
	assert.Equal(t, before, snapshot(t, k.store))
	k.say(ada, "/undo 1")
	before = snapshot(t, k.store)
	refusal(t, k.forge(ada, private(ada), 0, "undo 1"), "undo twice")
	assert.Equal(t, before, snapshot(t, k.store))
}

// Whatever data comes with a tap of a stranger, nothing of anybody else changes,
// nothing is shown of it, and every tap is acknowledged.
func FuzzPress(f *testing.F) {
	for _, data := range []string{"done 1 recompressed", "pick 1 0", "went 1 swam_down", "undo 1", "share 1 1", "forget 502", "agree 1", "place 1 yes", "export 1 csv", "why 1", "\x00", "undo 18446744073709551615", "day 1 2026-04-12", "unit 1 metres"} {
		f.Add(data)
	}
	k := newTalk(f)
	k.tell(bruno, "snapper 45m 3kg")
	k.tell(bruno, "/log gag 40 m sent down 40 oz")
	k.tell(bruno, "/organiser")
	before := snapshot(f, k.store)
	f.Fuzz(func(t *testing.T, data string) {
		if data == "" || len(data) > 64 {
			return // no button has that
		}
		for _, where := range []bot.Chat{club, private(cleo)} {
			m := k.message(cleo, where, "")
			m.Press, m.PressID, m.ID = data, "press", 3
			sendings, err := k.desk.Take(context.Background(), []bot.Message{m})
			require.NoError(t, err)
			require.NotEmpty(t, sendings, "the button would spin")
			require.Equal(t, "press", sendings[0].Reply.PressID)
			for _, s := range sendings {
				require.NotContains(t, s.Reply.Text, "Bruno")
				require.Nil(t, s.Reply.Attach)
				require.NoError(t, k.desk.Settle(context.Background(), []bot.Settled{{Sending: s}}))
			}
		}
		require.Equal(t, before, snapshot(t, k.store))
	})
}

// thumb taps the button of that label twice, as a nervous hand does: the second tap
// falls on whatever stands in the same place then.
func (k *talk) thumb(who bot.Person, where bot.Chat, under delivered, label string) delivered {
	k.t.Helper()
	row, column := -1, -1
	for i, buttons := range under.Buttons {
		for j, b := range buttons {
			if row < 0 && strings.Contains(b.Label, label) && !strings.HasPrefix(b.Data, "idle") {
				row, column = i, j
			}
		}
	}
	require.GreaterOrEqual(k.t, row, 0, label)
	tap := func(b bot.Button) []delivered {
		m := k.message(who, where, "")
		m.Press, m.PressID, m.PressLabel, m.PressRow, m.ID = b.Data, "press", b.Label, row, under.id
		return k.take(m)
	}
	next := only(k.t, tap(under.Buttons[row][column]))
	if row < len(next.Buttons) {
		before := snapshot(k.t, k.store)
		there := next.Buttons[row]
		assert.Contains(k.t, there[0].Label, label)
		assert.Len(k.t, there, 1, "the whole row is under the thumb")
		for _, r := range tap(there[0]) {
			assert.Empty(k.t, r.Text)
		}
		assert.Equal(k.t, before, snapshot(k.t, k.store), "a second tap of %q changes nothing", label)
	}
	return next
}

// A double tap falsifies nothing, on any way through the questions.
func TestDoubleTapsMeanNothingElse(t *testing.T) {
	for _, way := range [][]string{
		{"Sent down", "Swam off down", "Skip", "Skip"}, {"Sent down", "Skip", "Skip", "Skip"}, {"Let go at the top", "Floated", "Skip", "Take back", "Put back"},
		{"Kept", "Skip"}, {"It died", "Skip"}, {"Sent down", "Take back", "Put back"},
	} {
		k := newTalk(t)
		r := only(t, k.say(ada, "red snapper 45m"))
		for _, label := range way {
			r = k.thumb(ada, private(ada), r, label)
		}
		require.Len(t, k.reports(), 1)
	}
	k := newTalk(t)
	r := only(t, k.say(ada, "snapper 45 m"))
	require.Equal(t, "pick", strings.Fields(r.Buttons[0][0].Data)[0])
	k.thumb(ada, private(ada), r, r.Buttons[0][0].Label)
	assert.Empty(t, k.reports())
}

// What was taken back can be put back, by the button and by words.
func TestWhatWasTakenBackCanBePutBack(t *testing.T) {
	k := newTalk(t)
	k.say(ada, "/log 2 gag 40 m sent down 40 oz")
	r := only(t, k.tap(ada, private(ada), only(t, k.say(ada, "/undo 1")), "Put back"))
	assert.Contains(t, r.Text, "Back in the log")
	assert.Len(t, k.reports(), 2)
	k.tap(ada, private(ada), r, "Take back")
	assert.Empty(t, k.reports())
	k.say(ada, "put it back")
	assert.Len(t, k.reports(), 2)
	refusal(t, k.forge(cleo, private(cleo), 7, "back 1"), "another's")
}

// A bare /undo, as it comes from the list of commands, asks which.
func TestBareUndoAsksWhich(t *testing.T) {
	k := newTalk(t)
	assert.Contains(t, only(t, k.say(ada, "/undo")).Text, "no report of yours")
	for _, fish := range []string{"gag", "red snapper", "cod", "red grouper"} {
		k.say(ada, "/log "+fish+" 40 m sent down 40 oz")
	}
	r := only(t, k.say(ada, "/undo"))
	require.Len(t, r.Buttons, 3, "the newest")
	assert.Len(t, k.reports(), 4, "nothing is taken back yet")
	k.tap(ada, private(ada), r, "3: ")
	var left []uint64
	for _, report := range k.reports() {
		left = append(left, report.Number)
	}
	assert.Equal(t, []uint64{1, 2, 4}, left)
}
