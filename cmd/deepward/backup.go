package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"

	"deepward/store"
)

// backupCmd copies, restores, checks and compacts a store.
type backupCmd struct {
	storeFlags
	Out     string `help:"Copy the store to this file. Names stay sealed: keep the key file too, apart." type:"path" short:"o"`
	Restore string `help:"Put this backup in the place of the store; the store that was there stays beside it as .before." type:"path"`
	Check   bool   `help:"Read the whole store and say whether it is sound."`
	Salvage string `help:"Take what can be read of a damaged store into this fresh file." type:"path"`
	Pin     string `help:"Keep this copy of the daily schedule for ever." type:"path"`
	NewKey  bool   `help:"Seal the store anew under a new key, where somebody else may have the old one."`
	Compact string `help:"Copy the store to this file without the room that deletions left." type:"path"`
}

func (backupCmd) Help() string {
	return `Example:

    deepward backup --out copy.db
    deepward backup --check

While deepward serve runs, copy with its own schedule: deepward serve --backup-dir.

The key is not in a backup: keep a copy of the key file, and not beside it.`
}

func (c backupCmd) Run(e env) error {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if c.Pin != "" {
		kept, err := store.Pin(c.Pin)
		if err == nil {
			fmt.Fprintf(e.out, "%s is never removed\n", kept)
		}
		return err
	}
	if c.Restore != "" {
		return c.restore(ctx, e)
	}
	if c.NewKey {
		return c.newKey(ctx, e)
	}
	for _, out := range []string{c.Out, c.Compact, c.Salvage} {
		if err := mayReplace(out); err != nil {
			return err
		}
	}
	if c.Salvage != "" {
		return c.salvage(ctx, e)
	}
	if c.Out == "" && !c.Check && c.Compact == "" {
		return usage("say --out FILE, --restore FILE, --check, --salvage FILE, --compact FILE, --new-key or --pin COPY")
	}
	s, err := c.openExisting(e)
	if errors.Is(err, store.ErrInUse) && c.Out != "" && !c.Check && c.Compact == "" {
		return c.copyInUse(ctx, e)
	}
	if err != nil {
		return err
	}
	defer s.Close()
	return c.care(ctx, e, s)
}

// salvage says what was taken and names what was lost, which is a failure.
func (c backupCmd) salvage(ctx context.Context, e env) error {
	saved, err := store.Salvage(ctx, c.path(), c.Salvage, store.Options{KeyFile: c.key(), Now: e.now})
	if err != nil {
		return err
	}
	fmt.Fprintf(e.out, "%d reports taken into %s; put it in the place of the store with deepward backup --restore %s\n", saved.Reports, c.Salvage, c.Salvage)
	if saved.Others > 0 {
		fmt.Fprintf(e.out, "%d other entries or parts of the file could not be read\n", saved.Others)
	}
	return damage(saved.Lost).lost()
}

func (c backupCmd) restore(ctx context.Context, e env) error {
	forgotten, err := store.Restore(ctx, c.Restore, c.path(), store.Options{KeyFile: c.key(), Now: e.now})
	if err != nil {
		return err
	}
	fmt.Fprintf(e.out, "restored %s from %s\n", c.path(), c.Restore)
	switch {
	case forgotten < 0:
		fmt.Fprintln(e.out, "Who said /forget since that backup is not known here: what it holds of them is back; ask them to say it again.")
	case forgotten == 1:
		fmt.Fprintln(e.out, "One person who said /forget since that backup is forgotten in it too.")
	case forgotten > 1:
		fmt.Fprintf(e.out, "%d people who said /forget since that backup are forgotten in it too.\n", forgotten)
	}
	return nil
}

// newKey says where the old key is, and what it is still good for.
func (c backupCmd) newKey(ctx context.Context, e env) error {
	old, err := store.NewKey(ctx, c.path(), store.Options{KeyFile: c.key(), Now: e.now})
	if errors.Is(err, store.ErrInUse) {
		return fmt.Errorf("%s is in use by another deepward, such as serve: %s", c.path(), stopFirst)
	}
	if err != nil {
		return err
	}
	fmt.Fprintf(e.out, "%s has a new key in %s; keep a copy of it, and not beside a backup\n", c.path(), c.key())
	fmt.Fprintf(e.out, "copies made until now, and other stores that had the same key, open with %s alone; make a new copy, and delete that key when nothing needs it\n", old)
	return nil
}

// copyInUse copies a store that another process, such as deepward serve, has open.
func (c backupCmd) copyInUse(ctx context.Context, e env) error {
	if err := store.BackupInUse(ctx, c.path(), c.Out, store.Options{KeyFile: c.key(), Now: e.now}); err != nil {
		return err
	}
	fmt.Fprintf(e.out, "copied to %s while it is in use; the key is %s\n", c.Out, c.key())
	return nil
}

func (c backupCmd) care(ctx context.Context, e env, s *store.Store) error {
	if c.Check {
		if err := s.Check(ctx); err != nil {
			return err
		}
		fmt.Fprintf(e.out, "%s is sound\n", c.path())
	}
	if c.Out != "" {
		if err := s.Backup(ctx, c.Out); err != nil {
			return err
		}
		fmt.Fprintf(e.out, "copied to %s; the key is %s\n", c.Out, c.key())
	}
	if c.Compact != "" {
		if err := s.Compact(ctx, c.Compact); err != nil {
			return err
		}
		fmt.Fprintf(e.out, "compacted into %s\n", c.Compact)
	}
	return nil
}
