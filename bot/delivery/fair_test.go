package delivery

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/store/catch"
)

const (
	group   catch.ChatID = -100
	moved   catch.ChatID = -1009
	flooder uint64       = 7
)

// asked is the answer to somebody's question in a group.
func asked(id uint64, chat catch.ChatID, who uint64) *Job {
	return &Job{Sending: bot.Sending{ID: id, Who: who, Reply: bot.Reply{Chat: chat, Group: true, For: catch.PersonID(who)}}}
}

func limitedQueue() *queue {
	return newQueue(Limits{GroupMinute: 20}, NewWindow(0, time.Second))
}

// goAll lets everything go that may now.
func goAll(q *queue, now time.Time) (ids []uint64) {
	for id, end := goes(q, now); id != 0; id, end = goes(q, now) {
		end(Result{}, now)
		ids = append(ids, id)
	}
	return ids
}

func flood(q *queue, chat catch.ChatID, from uint64, n int, now time.Time) {
	for i := range n {
		q.add(asked(from+uint64(i), chat, flooder), now)
	}
}

// Half of what a group may get stays for the others, whatever one person asks.
func TestTenOthersAreAnsweredInAFloodedMinute(t *testing.T) {
	q := limitedQueue()
	flood(q, group, 1, 40, began)
	assert.Len(t, goAll(q, began), 10)
	for i := range uint64(10) {
		q.add(asked(100+i, group, 20+i), began)
		assert.Equal(t, []uint64{100 + i}, goAll(q, began))
	}
	q.add(asked(200, group, 30), began)
	assert.Empty(t, goAll(q, began), "that is all that the limit allows")
	assert.Equal(t, uint64(200), goAll(q, began.Add(time.Minute))[0])
}

// Two who flood leave some room as well.
func TestOthersAreAnsweredWhileTwoFlood(t *testing.T) {
	q := limitedQueue()
	for i := range uint64(40) {
		q.add(asked(1+i, group, flooder+i%2), began)
	}
	assert.Len(t, goAll(q, began), 16)
	for i := range uint64(4) {
		q.add(asked(100+i, group, 20+i), began)
		assert.Equal(t, []uint64{100 + i}, goAll(q, began))
	}
}

// A good day told by taps is no flood: the one who tells it still may ask.
func TestWhoTapsMuchMayStillAsk(t *testing.T) {
	q := limitedQueue()
	for i := range uint64(12) {
		j := asked(1+i, group, flooder)
		j.Reply.Edit = int(1 + i)
		q.add(j, began)
	}
	assert.Len(t, goAll(q, began), 12)
	q.add(asked(100, group, flooder), began)
	assert.Equal(t, []uint64{100}, goAll(q, began))
}

// Who had how many is known across a restart, and where the group went.
func TestShareOfAPersonOutlivesRestartsAndMoves(t *testing.T) {
	calls := make([]bot.Call, 10)
	for i := range calls {
		calls[i] = bot.Call{At: began.Add(-time.Second), Who: flooder, Asked: true}
	}
	s := &Sender{Now: func() time.Time { return began }}
	s.Start(Limits{GroupMinute: 20}, NewWindow(0, time.Second))
	s.Before(map[catch.ChatID][]bot.Call{group: calls})
	q := s.queue
	flood(q, group, 1, 5, began)
	require.Empty(t, goAll(q, began))
	q.moved(group, moved, began)
	require.Empty(t, goAll(q, began))
	for i := range uint64(12) {
		q.add(asked(100+i, moved, 20+i), began)
	}
	assert.Len(t, goAll(q, began), 10, "the limit goes on too")
	assert.Len(t, goAll(q, began.Add(time.Minute)), 7, "and ends with its minute")
}

// What a call was made for is noted with it, once.
func TestCallsAreNotedWithWhomTheyAnswered(t *testing.T) {
	q := limitedQueue()
	q.add(asked(1, group, flooder), began)
	j, _, _ := q.next(began)
	q.done(j, Result{Verdict: Later, Again: time.Second}, began)
	later := began.Add(time.Second)
	q.next(later)
	assert.Equal(t, []bot.Call{{At: began, Who: flooder, Asked: true}, {At: later}}, j.Calls)
}

// Newer words for a message of before hold after the move too, and message numbers of the
// old group mean nothing in the new one.
func TestWordsInPlaceOfOthersSurviveAMove(t *testing.T) {
	edit := func(id uint64, chat catch.ChatID, message int) *Job {
		return &Job{Sending: bot.Sending{ID: id, Reply: bot.Reply{Chat: chat, Group: true, Edit: message, Text: "a"}}}
	}
	q := queueOf(edit(1, group, 5))
	id, end := goes(q, began)
	require.EqualValues(t, 1, id)
	q.add(edit(2, group, 5), began)
	q.add(edit(3, group, 6), began)
	q.moved(group, moved, began)
	q.add(edit(4, moved, 6), began)
	end(Result{Verdict: Moved, More: true}, began)
	var went []bot.Sending
	for j, done, _ := q.next(began.Add(time.Second)); j != nil; j, done, _ = q.next(began.Add(time.Second)) {
		done(began)
		went = append(went, j.Sending)
		q.done(j, Result{}, began)
	}
	require.Len(t, went, 3, "the words of 1 were out of date")
	for i, message := range []int{0, 0, 6} {
		assert.EqualValues(t, i+2, went[i].ID)
		assert.Equal(t, moved, went[i].Reply.Chat)
		assert.Equal(t, message, went[i].Reply.Edit)
	}
}
