// Package files makes the pictures and documents that replies carry: the season
// log, the summary, the pocket card, the drawings of the lessons, and what is
// kept of a person.
package files

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"strconv"
	"time"

	"deepward/bot"
	"deepward/store"
)

// Maker makes files from one store.
type Maker struct {
	store *store.Store
	now   func() time.Time
}

// New returns a maker for a store; now is the clock.
func New(s *store.Store, now func() time.Time) *Maker { return &Maker{s, now} }

// Make makes the file that an attachment names.
func (m *Maker) Make(ctx context.Context, a bot.Attachment) (bot.File, error) {
	switch a.Kind {
	case bot.FileMyData:
		return m.myData(a.Args["person"])
	default:
		return bot.File{}, fmt.Errorf("I cannot make a %q here", a.Kind)
	}
}

// myData is all that is kept of a person, as JSON.
func (m *Maker) myData(person string) (bot.File, error) {
	id, err := strconv.ParseInt(person, 10, 64)
	if err != nil {
		return bot.File{}, fmt.Errorf("whose data: %w", err)
	}
	var kept struct {
		Profile bot.Profile     `json:"settings"`
		Reports []*store.Report `json:"reports"`
	}
	err = m.store.View(func(tx *store.Tx) error {
		if kept.Profile, err = bot.ProfileOf(tx, id); err != nil {
			return err
		}
		kept.Reports, err = tx.ReportsByPerson(id, 0)
		return err
	})
	if err != nil {
		return bot.File{}, err
	}
	data, err := json.MarshalIndent(kept, "", "  ")
	return bot.File{Name: "my-data.json", Data: data}, err
}

// temp makes an empty temporary file and returns its path and how to remove it.
func temp(pattern string) (*os.File, func(), error) {
	f, err := os.CreateTemp("", pattern)
	if err != nil {
		return nil, nil, err
	}
	return f, func() { os.Remove(f.Name()) }, nil
}
