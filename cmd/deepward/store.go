package main

import (
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
	return store.Open(f.path(), store.Options{KeyFile: f.key(), Now: e.now})
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
	if _, err := os.Stat(f.path()); err != nil {
		return nil, usage("there is no store at %s; name it with --db, or run deepward demo to look around", f.path())
	}
	return f.open(e)
}
