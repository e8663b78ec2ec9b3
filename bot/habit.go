package bot

import (
	"deepward/bot/talk"
	"deepward/bot/understand"
)

// noteHabit learns from a message in which units its person tells figures.
func (t *turn) noteHabit(told understand.UnitFactors) error {
	p := t.profile
	p.Habits = p.Habits.After(told)
	if t.m.Sender.ID == 0 || p.Habits == t.profile.Habits {
		return nil
	}
	return t.saveProfile(p)
}

// habit are the units that the person mostly tells figures in, as far as they are known.
func (t *turn) habit() talk.Units { return t.profile.Habits.Units() }

// habitLine says in settings what was learnt of the person's units, "" where nothing is,
// or where they set others.
func (t *turn) habitLine() string {
	names := t.habit().Names()
	if len(names) == 0 || t.profile.Units != "" {
		return ""
	}
	for i, name := range names {
		names[i] = t.voice.Say("unit." + name)
	}
	return t.voice.Say("settings.habit", t.voice.List(names...))
}
