package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"

	"deepward/bot"
	"deepward/store"
	"deepward/store/catch"
)

// mergeCmd takes over the reports of another store: another club's, or this one's
// from another machine.
type mergeCmd struct {
	storeFlags
	WithKey  string       `help:"The key file of the other store; that of this store by default." type:"path"`
	Season   string       `help:"Only that season of it."`
	FromChat catch.ClubID `help:"Only that club of it, by its number there."`
	Keep     bool         `help:"Keep what was found. Without it nothing is written."`
	Other    string       `arg:"" help:"The other store or a backup of it. It is read from a copy and stays as it is." type:"existingfile"`
}

func (mergeCmd) Help() string {
	return `Example:

    deepward merge their-backup.db --with-key their.key --season "Spring 2026"

Then, when it reads right, the same with --keep. The same reports again add
nothing.`
}

func (c mergeCmd) Run(e env) (err error) {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	dir, err := os.MkdirTemp("", "deepward-merge-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	other, err := c.openOther(e, dir)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, other.Close()) }()
	s, err := c.openInto(ctx, e)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	into := s
	if !c.Keep {
		if into, err = c.rehearsal(ctx, e, s, dir); err != nil {
			return err
		}
		defer func() { err = errors.Join(err, into.Close()) }()
	}
	added, same, err := into.Merge(ctx, other, catch.Filter{Season: c.Season, Chat: c.FromChat})
	if err != nil {
		return err
	}
	if err := nameClubs(into, other); err != nil {
		return err
	}
	return c.say(e, added, same)
}

// nameClubs gives the clubs that came along the names they had.
func nameClubs(into, other *store.Store) error {
	names := map[catch.ChatID]string{} // by their number on the transport
	err := other.View(func(tx *store.Tx) error {
		titles, err := bot.ClubTitles(tx)
		for number, title := range titles {
			if on, known := tx.TransportChat(number); known && title != "" {
				names[on] = title
			}
		}
		return err
	})
	if err != nil {
		return err
	}
	numbers := map[catch.ClubID]string{}
	err = into.View(func(tx *store.Tx) error {
		for on, title := range names {
			number, err := tx.ChatNumber(on)
			if err != nil {
				return err
			}
			if number != 0 { // one that did not come along has none
				numbers[number] = title
			}
		}
		return nil
	})
	if err != nil || len(numbers) == 0 {
		return err
	}
	return into.Update(func(tx *store.Tx) error {
		for number, title := range numbers {
			if err := bot.NameClub(tx, number, title); err != nil {
				return err
			}
		}
		return nil
	})
}

// openInto opens the store to merge into, for a rehearsal only to be copied.
func (c mergeCmd) openInto(ctx context.Context, e env) (*store.Store, error) {
	if _, err := os.Stat(c.path()); err == nil && !c.Keep {
		return c.openToRead(ctx, e)
	}
	return c.openToChange(e, stopFirst)
}

func (c mergeCmd) say(e env, added, same int) error {
	if c.Keep {
		_, err := fmt.Fprintf(e.out, "%d reports added, %d were there already\n", added, same)
		return err
	}
	_, err := fmt.Fprintf(e.out, "%d reports would be added, %d are there already. Nothing was written: add --keep when that is right.\n", added, same)
	return err
}

// openOther opens a copy of the other store, so that an old one is brought up to
// date there and not in its place.
func (c mergeCmd) openOther(e env, dir string) (*store.Store, error) {
	path := filepath.Join(dir, "other.db")
	if err := copyFile(path, c.Other); err != nil {
		return nil, err
	}
	key := c.WithKey
	if key == "" {
		key = c.key()
	}
	if _, err := os.Stat(key); err != nil {
		return nil, usage("there is no key at %s; name the other store's key with --with-key", key)
	}
	s, err := store.Open(path, store.Options{KeyFile: key, Now: e.now})
	if err != nil {
		return nil, fmt.Errorf("opening %s: %w", c.Other, err)
	}
	return s, nil
}

// rehearsal is a copy of the store, to merge into and throw away.
func (c mergeCmd) rehearsal(ctx context.Context, e env, s *store.Store, dir string) (*store.Store, error) {
	path := filepath.Join(dir, "rehearsal.db")
	if err := s.Backup(ctx, path); err != nil {
		return nil, err
	}
	return store.Open(path, store.Options{KeyFile: c.key(), Now: e.now})
}

func copyFile(to, from string) error {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	return writeFile(to, forOwner, func(w io.Writer) error {
		_, err := io.Copy(w, in)
		return err
	})
}
