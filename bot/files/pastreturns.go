package files

import (
	"context"
	"errors"
	"io/fs"
	"slices"

	"deepward/bot"
	"deepward/bot/words"
	"deepward/store/importer"
)

// readFirst reads the table that was sent before this one for the same club, where this one
// may be of its recaptures, and joins them where it was said that it is. A table that is
// gone before that was said, or is not settled itself, joins nothing.
func (p *pastLog) readFirst(ctx context.Context, fetch func(context.Context, string) ([]byte, error)) error {
	if p.log.First == nil || p.log.First.Club != p.log.Club() || !p.mayBeReturns() {
		return nil
	}
	_, said := p.log.Settled(bot.SettingReturns)
	data, err := fetch(ctx, p.log.First.File)
	switch {
	case !said && errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return err
	}
	talk, err := p.talkOf(data, p.log.First.Name, ofTable(p.log.First.Said))
	if err != nil || talk.Next() != nil {
		return nil // it was refused, or left before it was settled
	}
	p.first = talk.Sheet()
	if said {
		p.joined = p.first
		p.known, p.unknown = p.joined.Join(p.talk.Sheet())
	}
	return nil
}

// mayBeReturns is true where the table before is needed now: to ask whether these are its
// recaptures, or to join them. It is brought and read for that alone.
func (p *pastLog) mayBeReturns() bool {
	q := p.talk.Next()
	if belong, said := p.log.Settled(bot.SettingReturns); said {
		return belong == bot.ReturnsBelong && q == nil
	}
	if q != nil {
		return slices.ContainsFunc(q.Choices, func(c importer.Choice) bool {
			return c.Answer == importer.Answer{Setting: importer.SettingRecaptures, Value: string(importer.ReturnsOnly)}
		})
	}
	return p.talk.Sheet().Tally().Reports > 0
}

// asksWhoseReturns is true while it is open whether these are the recaptures of the table
// before, and they may be: nothing in it is a release, or most of its tags were let go there.
func (p *pastLog) asksWhoseReturns() bool {
	if _, said := p.log.Settled(bot.SettingReturns); said || p.first == nil {
		return false
	}
	sheet := p.talk.Sheet()
	n := sheet.Tally()
	return p.talk.Next() != nil || n.Recaptures == n.Reports || 2*p.first.LetGoBefore(sheet) > n.Reports
}

func (p *pastLog) askReturns() (bot.File, error) {
	p.log.Own = nil
	p.log.Choices = []importer.Choice{
		{Label: p.voice.Say("pastlog.belong"), Answer: importer.Answer{Setting: bot.SettingReturns, Value: bot.ReturnsBelong}},
		{Label: p.voice.Say("pastlog.alone"), Answer: importer.Answer{Setting: bot.SettingReturns, Value: bot.ReturnsAlone}},
	}
	return p.asked(append(p.head(), words.SentenceCase(p.voice.Say("pastlog.whose_returns", p.log.First.Name))))
}

// sheet is what is kept: the table, or that before it with these recaptures.
func (p *pastLog) sheet() *importer.Sheet {
	if p.joined != nil {
		return p.joined
	}
	return p.talk.Sheet()
}
