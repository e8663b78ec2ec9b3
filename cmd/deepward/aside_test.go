package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot/telegram/standin"
	"deepward/store"
	"deepward/store/catch"
)

// spoilPeople makes what is kept of people unreadable to the conversation, or takes
// it away.
func spoilPeople(t *testing.T, db, key string, spoil bool, people ...catch.PersonID) {
	t.Helper()
	s, err := store.Open(db, store.Options{KeyFile: key})
	require.NoError(t, err)
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		for _, person := range people {
			if !spoil {
				err = tx.Delete("person", tx.PersonKey(person))
			} else {
				err = tx.Put("person", tx.PersonKey(person), "no profile at all")
			}
			if err != nil {
				return err
			}
		}
		return nil
	}))
	require.NoError(t, s.Close())
}

// A fault that every message meets ends the program, with an error and nothing more
// confirmed; once it is mended all is answered, also what had been passed over.
func TestFaultOfEveryMessageEndsTheProgramAndLosesNothing(t *testing.T) {
	t.Parallel()
	api := standin.New()
	defer api.Close()
	dir := t.TempDir()
	db, key := filepath.Join(dir, "t.db"), filepath.Join(dir, "key")
	people := []catch.PersonID{501, 502, 503, 504, 505, 506}
	spoilPeople(t, db, key, true, people...)
	child := serveChild(t, api, db, key)
	for i, person := range people {
		api.Push(standin.Private(int64(person), i+1, "log gag 40 m 52 cm sent down 40 oz"))
		time.Sleep(20 * time.Millisecond)
	}
	require.Error(t, child.Wait())
	assert.Equal(t, exitFailed, child.ProcessState.ExitCode())
	lines := strings.Split(strings.TrimSpace(printed(child)), "\n")
	assert.Contains(t, lines[len(lines)-1], "bring deepward up to date")
	assert.NotContains(t, printed(child), "gag")
	assert.Positive(t, api.Waiting(), "what broke last was not confirmed")

	code, out, errs := command(t, "", "aside", "--db", db, "--key-file", key)
	require.Equal(t, exitDone, code, errs)
	assert.GreaterOrEqual(t, strings.Count(out, "it broke the conversation"), 5)
	assert.NotContains(t, out, "gag")
	file := filepath.Join(dir, "aside.jsonl")
	code, out, errs = command(t, "", "aside", "--db", db, "--key-file", key, "--out", file)
	require.Equal(t, exitDone, code, errs)
	assert.Contains(t, out, "keep it from others")
	raws, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.GreaterOrEqual(t, strings.Count(string(raws), "log gag 40 m"), 5)

	spoilPeople(t, db, key, false, people...)
	child = serveChild(t, api, db, key, "DEEPWARD_RETRY_FAILED=true")
	assert.Eventually(t, func() bool { return len(confirmations(api)) == len(people) && api.Waiting() == 0 }, time.Minute, 20*time.Millisecond)
	require.NoError(t, child.Process.Signal(os.Interrupt))
	require.NoError(t, child.Wait(), printed(child))
	chats, _ := stored(t, db, key)
	assert.Len(t, chats, len(people), "each once")
	_, out, _ = command(t, "", "aside", "--db", db, "--key-file", key)
	assert.Contains(t, out, "no failed updates")
}

// An update that nothing can be made of is kept as it came, and known by its number.
func TestUpdateThatCannotBeReadIsKept(t *testing.T) {
	t.Parallel()
	api := standin.New()
	defer api.Close()
	dir := t.TempDir()
	db, key := filepath.Join(dir, "t.db"), filepath.Join(dir, "key")
	poison := api.Push(`{"update_id":%d,"message":{"message_id":"poison","text":"hush"}}`)
	api.Push(standin.Private(501, 1, "log gag 40 m 52 cm sent down 40 oz"))
	child := serveChild(t, api, db, key)
	assert.Eventually(t, func() bool { return len(confirmations(api)) == 1 && api.Waiting() == 0 }, time.Minute, 20*time.Millisecond)
	require.NoError(t, child.Process.Signal(os.Interrupt))
	require.NoError(t, child.Wait(), printed(child))
	require.NotZero(t, poison)
	_, out, _ := command(t, "", "aside", "--db", db, "--key-file", key)
	assert.Contains(t, out, "could not be read")
	assert.NotContains(t, out, "hush")
}
