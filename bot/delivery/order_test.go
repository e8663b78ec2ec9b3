package delivery

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot"
	"deepward/store/catch"
)

var began = time.Unix(1e9, 0)

const angler catch.ChatID = 7

// confirmation is the message that tells that a report was kept, answer one that does not.
func confirmation(id uint64) *Job {
	return &Job{Sending: bot.Sending{ID: id, Reply: bot.Reply{Chat: angler, Ref: "report/1"}}}
}

func answer(id uint64) *Job {
	return &Job{Sending: bot.Sending{ID: id, Reply: bot.Reply{Chat: angler, Ref: "question/1"}}}
}

func queueOf(jobs ...*Job) *queue {
	q := newQueue(Limits{}, NewWindow(1000, time.Second))
	for _, j := range jobs {
		q.add(j, began)
	}
	return q
}

// goes is the number of what goes next, 0 for nothing.
func goes(q *queue, now time.Time) (id uint64, end func(Result, time.Time)) {
	j, done, _ := q.next(now)
	if j == nil {
		return 0, nil
	}
	return j.ID, func(r Result, at time.Time) { done(at); q.done(j, r, at) }
}

func TestRefusedConfirmationIsNotOvertakenByANewerOne(t *testing.T) {
	q := queueOf(confirmation(1), confirmation(2), answer(3))
	id, end := goes(q, began)
	require.EqualValues(t, 1, id)
	end(Result{Verdict: Later, Again: time.Minute}, began)
	id, end = goes(q, began)
	require.EqualValues(t, 3, id, "an answer does not wait for it")
	end(Result{}, began)
	id, _ = goes(q, began.Add(time.Second))
	assert.Zero(t, id, "the newer confirmation does")
	for _, want := range []uint64{1, 2} {
		id, end = goes(q, began.Add(time.Minute))
		require.Equal(t, want, id)
		end(Result{}, began.Add(time.Minute))
	}
}

func TestConfirmationWaitsForOneUnderWay(t *testing.T) {
	q := queueOf(confirmation(1), confirmation(2), answer(3))
	_, end := goes(q, began)
	late := began.Add(10 * time.Second)
	id, answered := goes(q, late)
	require.EqualValues(t, 3, id, "a call that lasts lets an answer begin")
	answered(Result{}, late)
	id, _ = goes(q, late)
	assert.Zero(t, id, "but no confirmation")
	end(Result{}, late)
	id, _ = goes(q, late)
	assert.EqualValues(t, 2, id)
}

func TestConfirmationGivenUpHoldsNobody(t *testing.T) {
	q := queueOf(confirmation(1), confirmation(2))
	_, end := goes(q, began)
	end(Result{Verdict: Never, Dropped: true}, began)
	id, _ := goes(q, began)
	assert.EqualValues(t, 2, id)
}

// After a restart one that was refused before comes with its tries.
func TestConfirmationsKeepTheirOrderAcrossARestart(t *testing.T) {
	old := confirmation(1)
	old.Tries, old.NotBefore = 1, began.Add(time.Minute)
	q := queueOf(old, confirmation(2))
	id, _ := goes(q, began)
	assert.Zero(t, id)
	id, _ = goes(q, began.Add(time.Minute))
	assert.EqualValues(t, 1, id)
}

// What is put off at a stop takes the confirmations behind it along.
func TestStopLeavesConfirmationsInTheirOrder(t *testing.T) {
	q := queueOf(confirmation(1), confirmation(2), answer(3))
	_, end := goes(q, began)
	end(Result{Verdict: Later, Again: time.Minute}, began)
	q.shelve(began)
	require.Len(t, q.shelved, 2)
	id, _ := goes(q, began)
	assert.EqualValues(t, 3, id)
}

// The server tells of a move in its answer to a call, or in an update while one lasts: what
// is under way comes back and goes again, before the others.
func TestConfirmationUnderWayToTheOldNumberIsNotOvertakenAtTheNewOne(t *testing.T) {
	const newNumber catch.ChatID = -1009
	for name, word := range map[string]Result{
		"it moved":      {Verdict: Moved, More: true},
		"out of reach":  {Verdict: Later, Again: time.Second},
		"asked to wait": {Verdict: Later, Again: time.Second, Wait: time.Second},
	} {
		t.Run(name, func(t *testing.T) {
			q := queueOf(confirmation(1), confirmation(2), answer(3))
			_, end := goes(q, began)
			q.moved(angler, newNumber, began)
			now := began.Add(holdsSame)
			id, answered := goes(q, now)
			require.EqualValues(t, 3, id, "an answer does not wait for it")
			answered(Result{}, now)
			id, _ = goes(q, now)
			require.Zero(t, id, "the newer confirmation does")
			end(word, now)
			for _, want := range []uint64{1, 2} {
				id, end = goes(q, now.Add(time.Second))
				require.Equal(t, want, id)
				end(Result{}, now.Add(time.Second))
			}
			n, _ := q.backlog()
			assert.Zero(t, n)
			assert.Len(t, q.chats, 1)
		})
	}
}
