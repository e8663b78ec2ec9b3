package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"deepward/store"
)

// storeFlags name the store; every command that uses one has them. The empty
// defaults let an empty variable of the environment stand for none: a path would
// be the folder we are in.
type storeFlags struct {
	DB      string `help:"The store; by default under your data directory." type:"path" default:"" env:"DEEPWARD_DB"`
	KeyFile string `help:"The key that seals names and places; by default beside your configuration." type:"path" default:"" env:"DEEPWARD_KEY_FILE"`
}

// open opens the store for this command.
func (f storeFlags) open(e env) (*store.Store, error) {
	s, err := store.Open(f.path(), store.Options{KeyFile: f.key(), Now: e.now})
	if errors.Is(err, store.ErrKeyWrong) || errors.Is(err, store.ErrKeyLost) {
		return s, fmt.Errorf("%w, or with --key-file (it is %s now)", err, f.key())
	}
	return s, err
}

func (f storeFlags) path() string {
	if f.DB != "" {
		return f.DB
	}
	return store.DefaultPath()
}

func (f storeFlags) key() string {
	if f.KeyFile != "" {
		return f.KeyFile
	}
	return store.DefaultKeyFile()
}

// openExisting is for commands that only make sense on a store that is there.
func (f storeFlags) openExisting(e env) (*store.Store, error) {
	if _, err := os.Stat(f.path()); errors.Is(err, fs.ErrNotExist) {
		return nil, noStore(f.path())
	}
	return f.open(e)
}

func noStore(path string) error {
	return usage("there is no store at %s; name it with --db, or run deepward demo to look around", path)
}

// openToRead is for commands that only read: while another process, such as deepward
// serve, has the store open they read a copy of this moment, which is gone when it
// is closed.
func (f storeFlags) openToRead(ctx context.Context, e env) (*store.Store, error) {
	s, _, err := f.openOrCopy(ctx, e)
	return s, err
}

// openOrCopy is openToRead, and tells whether it reads a copy: what is written to one is
// gone.
func (f storeFlags) openOrCopy(ctx context.Context, e env) (s *store.Store, copied bool, err error) {
	s, err = f.openExisting(e)
	if !errors.Is(err, store.ErrInUse) {
		return s, false, err
	}
	s, err = store.OpenCopy(ctx, f.path(), store.Options{KeyFile: f.key(), Now: e.now})
	return s, true, err
}

// stopFirst is what to do when a command that writes finds the store in use.
const stopFirst = "stop it (systemctl stop deepward), do this again, and start it; what people send meanwhile waits at Telegram for a day"

// openToChange is for commands that write: while the store is in use the error says
// what to do instead.
func (f storeFlags) openToChange(e env, instead string) (*store.Store, error) {
	s, err := f.open(e)
	if errors.Is(err, store.ErrInUse) {
		return nil, fmt.Errorf("%s is in use by another deepward, such as serve: %s", f.path(), instead)
	}
	return s, err
}
