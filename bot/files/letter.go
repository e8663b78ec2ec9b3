package files

import (
	"fmt"

	"deepward/bot"
	"deepward/store"
	"deepward/store/catch"
	"deepward/store/season"
)

// letter thanks a person for a year, from their own reports alone.
func (m *Maker) letter(args map[string]string) (bot.File, error) {
	person, err := personIn(args)
	if err != nil {
		return bot.File{}, fmt.Errorf("whose letter: %w", err)
	}
	voice := voiceIn(args)
	var mine []*catch.Report
	var year, tagged, again int
	var name string
	err = m.store.View(func(tx *store.Tx) error {
		all, err := tx.ReportsByPerson(person, 0)
		if err != nil {
			return err
		}
		year, mine = bot.LetterYear(all, args["year"])
		for _, r := range mine {
			name = r.Personal.Name
			if r.Tag == "" || r.Recapture {
				continue
			}
			tagged++
			of, err := tx.ReportsByTag(r.Tag)
			if err != nil {
				return err
			}
			if h := season.HistoryOf(of); h.First != nil && h.First.Number == r.Number && len(h.Sightings) > 0 {
				again++
			}
		}
		return nil
	})
	if err != nil {
		return bot.File{}, err
	}
	if len(mine) == 0 {
		return bot.File{Caption: voice.Say("letter.nothing")}, nil
	}
	found, err := season.Find(catch.Listed(mine), season.Options{})
	return bot.File{Caption: bot.LetterText(voice, name, year, found, tagged, again)}, err
}
