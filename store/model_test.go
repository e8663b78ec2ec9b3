package store_test

import (
	"context"
	"os"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"deepward/store"
)

// The store against a plain map, over random operations.
func TestStoreDoesWhatAMapWould(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		dir, err := os.MkdirTemp("", "model")
		require.NoError(t, err)
		defer os.RemoveAll(dir)
		s := open(t, dir)
		defer s.Close()
		model := map[uint64]store.Report{}
		for range rapid.IntRange(1, 25).Draw(rt, "steps") {
			step(rt, t, s, model)
		}
		list := all(t, s, store.Filter{Personal: true, Undone: true})
		require.Len(rt, list, len(model))
		for i, r := range list {
			want := model[r.Number]
			require.Equal(rt, want.Tag, r.Tag)
			require.Equal(rt, want.Undone, r.Undone)
			require.Equal(rt, want.Personal.Person, r.Personal.Person)
			require.True(rt, i == 0 || !r.CaughtAt.Before(list[i-1].CaughtAt), "by time")
		}
		require.NoError(rt, s.Check(context.Background()))
	})
}

func step(rt *rapid.T, t *testing.T, s *store.Store, model map[uint64]store.Report) {
	person := rapid.Int64Range(1, 4).Draw(rt, "person")
	at := noon.Add(time.Duration(rapid.IntRange(-1000, 1000).Draw(rt, "minutes")) * time.Minute)
	tag := "T" + strconv.Itoa(rapid.IntRange(0, 3).Draw(rt, "tag"))
	require.NoError(rt, s.Update(func(tx *store.Tx) error {
		switch rapid.SampledFrom([]string{"add", "add", "change", "undo", "forget"}).Draw(rt, "op") {
		case "add":
			r := report(person, at)
			r.Tag = tag
			n, err := tx.AddReport(r)
			model[n] = *r
			return err
		case "forget":
			for n, r := range model {
				if r.Personal.Person == person {
					r.Personal = store.Personal{}
					model[n] = r
				}
			}
			_, err := tx.ForgetPerson(person)
			return err
		default:
			for n := uint64(1); n <= uint64(len(model)); n++ {
				r, err := tx.Report(n)
				if err != nil {
					return err
				}
				if r.Personal.Person != person {
					continue
				}
				r.Tag, r.CaughtAt, r.Undone = tag, at, !r.Undone
				model[n] = *r
				return tx.PutReport(r)
			}
			return nil
		}
	}))
}
