package main

import (
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/store"
	"deepward/store/catch"
)

// A restore says who stays forgotten: nobody who said so since comes back with a copy.
func TestRestoreSaysWhoStaysForgotten(t *testing.T) {
	dir := t.TempDir()
	db, key, backup := filepath.Join(dir, "t.db"), filepath.Join(dir, "k", "key"), filepath.Join(dir, "b.db")
	at := []string{"--db", db, "--key-file", key}
	forget := func(people ...catch.PersonID) {
		s, err := store.Open(db, store.Options{KeyFile: key})
		require.NoError(t, err)
		defer s.Close()
		require.NoError(t, s.Update(func(tx *store.Tx) error {
			for _, p := range people {
				if _, err := tx.ForgetPerson(p); err != nil {
					return err
				}
			}
			return nil
		}))
	}
	s, err := store.Open(db, store.Options{KeyFile: key})
	require.NoError(t, err)
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		for p := catch.PersonID(1); p < 4; p++ {
			if _, err := tx.AddReport(&catch.Report{Chat: 1, CaughtAt: time.Unix(1e9, 0), Personal: catch.Personal{Person: p, Words: "gag"}}); err != nil {
				return err
			}
		}
		return nil
	}))
	require.NoError(t, s.Close())
	code, out, errs := command(t, "", append([]string{"backup", "--out", backup}, at...)...)
	require.Equal(t, exitDone, code, out+errs)
	for _, c := range []struct {
		leave []catch.PersonID
		says  string
	}{{nil, ""}, {[]catch.PersonID{1}, "One person who said /forget since that backup is"}, {[]catch.PersonID{1, 2}, "2 people who said /forget since that backup are"}} {
		forget(c.leave...)
		code, out, errs := command(t, "", append([]string{"backup", "--restore", backup}, at...)...)
		require.Equal(t, exitDone, code, out+errs)
		assert.Contains(t, out, "restored "+db)
		assert.Contains(t, out, c.says)
		if c.says == "" {
			assert.NotContains(t, out, "/forget")
		}
	}
}
