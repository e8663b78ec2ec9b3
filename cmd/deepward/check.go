package main

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"net"
	"os"

	"deepward/bot/telegram"
	"deepward/store"
)

// finding is one line of serve --check.
type finding struct {
	what, says string
	// fault is true when serve would not work, or not safely.
	fault bool
}

// check says what serve would find, and changes nothing.
func (c serveCmd) check(ctx context.Context, e env, config telegram.Config) error {
	var list []finding
	list = append(list, c.checkServer(ctx, config)...)
	list = append(list, c.checkStore(ctx, e)...)
	list = append(list, c.checkFiles()...)
	list = append(list, c.checkAddresses()...)
	faults := 0
	for _, f := range list {
		mark := " "
		if f.fault {
			mark, faults = "!", faults+1
		}
		fmt.Fprintf(e.out, "%s %-8s %s\n", mark, f.what, f.says)
	}
	if faults > 0 {
		return fmt.Errorf("%d of %d lines begin with !: mend those, then check again", faults, len(list))
	}
	fmt.Fprintln(e.out, "all is well")
	return nil
}

// checkServer asks the Bot API who the bot is and what it may do.
func (c serveCmd) checkServer(ctx context.Context, config telegram.Config) []finding {
	f, err := telegram.Check(ctx, config)
	if err != nil {
		return []finding{{"token", err.Error(), true}}
	}
	groups := "hears commands, mentions and replies to it; the rest only where it is an admin (privacy mode is on)"
	if f.ReadsGroups {
		groups = "reads every message (privacy mode is off)"
	}
	if !f.JoinsGroups {
		groups = "cannot be added to groups: allow it with the bot's maker, unless it is for private chats only"
	}
	return []finding{
		{"token", "@" + f.Name + ", valid", false},
		{"groups", groups, false},
		{"inline", inlineSays(f.Inline), false},
		{"commands", commandsSay(f.Commands), false},
		c.checkUpdates(f.Webhook),
	}
}

func inlineSays(on bool) string {
	if on {
		return "answers in other chats when its name is typed first"
	}
	return "does not answer in other chats: /setinline with the bot's maker turns it on"
}

func commandsSay(listed int) string {
	if listed < 0 {
		return "the server does not tell which are listed; the start lists this program's"
	}
	return fmt.Sprintf("%d listed for everybody now; the start lists this program's, in each language", listed)
}

// checkUpdates says how updates come in, and what stands in the way.
func (c serveCmd) checkUpdates(w telegram.WebhookState) finding {
	says := "polled; no webhook is set"
	switch {
	case w.Unknown != nil:
		says = "the server does not tell whether a webhook is set: " + w.Unknown.Error()
	case c.WebhookURL == "" && w.Host != "":
		says = "polled; the webhook at " + w.Host + " is taken away at the start"
	case c.WebhookURL != "" && w.Host == "":
		says = "pushed to the webhook, which is set at the start"
	case c.WebhookURL != "":
		says = "pushed; a webhook is set at " + w.Host
	}
	if w.Waiting > 0 {
		says += fmt.Sprintf("; %d updates wait", w.Waiting)
	}
	if w.LastError != "" {
		says += "; the last push failed: " + w.LastError
	}
	return finding{"updates", says, false}
}

// checkStore reads the whole store, if there is one.
func (c serveCmd) checkStore(ctx context.Context, e env) []finding {
	s, err := store.Open(c.path(), store.Options{KeyFile: c.key(), Now: e.now, ReadOnly: true})
	switch {
	case errors.Is(err, store.ErrNoStore):
		return []finding{{"store", c.path() + " is not there yet: the first start makes it, and its key " + c.key(), false}}
	case errors.Is(err, store.ErrOlderSchema):
		return []finding{{"store", c.path() + " was written by an older deepward; the start brings it up to date", false}}
	case err != nil:
		return []finding{{"store", err.Error(), true}}
	}
	defer s.Close()
	list := []finding{{"store", fmt.Sprintf("%s is sound: %d reports, %d replies wait", c.path(), s.Stats().Reports, s.Stats().Waiting), false}}
	if err := s.Check(ctx); err != nil {
		list[0] = finding{"store", err.Error(), true}
	} else if err := writable(c.path()); err != nil {
		list[0] = finding{"store", c.path() + ": " + store.ErrReadOnly.Error(), true}
	}
	return append(list, c.checkKey())
}

func writable(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return f.Close()
}

// checkKey is asked once the store has opened, so the key is there and fits.
func (c serveCmd) checkKey() finding {
	if readableByAll(c.key()) {
		return finding{"key", openAdvice(c.key()), true}
	}
	return finding{"key", c.key() + " fits the store; keep a copy of it, and not beside a backup", false}
}

// checkFiles looks at the files that hold secrets and copies.
func (c serveCmd) checkFiles() (list []finding) {
	for _, file := range []string{c.TokenFile, c.WebhookSecretFile} {
		if file != "" && readableByAll(file) {
			list = append(list, finding{"secret", openAdvice(file), true})
		}
	}
	if c.WebhookURL != "" && c.WebhookCert != "" {
		if _, err := tls.LoadX509KeyPair(c.WebhookCert, c.WebhookKey); err != nil {
			list = append(list, finding{"tls", err.Error(), true})
		}
	}
	if c.BackupDir != "" {
		list = append(list, c.checkBackups())
	}
	return list
}

func (c serveCmd) checkBackups() finding {
	info, err := os.Stat(c.BackupDir)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return finding{"backups", c.BackupDir + " is made at the start", false}
	case err != nil:
		return finding{"backups", err.Error(), true}
	case !info.IsDir():
		return finding{"backups", c.BackupDir + " is no folder: name another with --backup-dir", true}
	}
	return finding{"backups", c.BackupDir + " is there", false}
}

// checkAddresses tries to open what serve would listen on.
func (c serveCmd) checkAddresses() (list []finding) {
	addresses := map[string]string{"health": c.Health}
	if c.WebhookURL != "" {
		addresses["webhook"] = c.WebhookListen
	}
	for _, what := range []string{"health", "webhook"} {
		address := addresses[what]
		if address == "" {
			continue
		}
		l, err := net.Listen("tcp", address)
		if err != nil {
			list = append(list, finding{what, err.Error() + ": choose another address, or stop what uses it", true})
			continue
		}
		l.Close()
		list = append(list, finding{what, address + " is free", false})
	}
	return list
}
