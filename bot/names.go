package bot

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"deepward/advisor"
	"deepward/bot/talk"
	"deepward/bot/understand"
	"deepward/store/catch"
)

// NameTaught is a name that a person, or a club, uses for a fish.
type NameTaught struct {
	// No is the number by which buttons tell it.
	No uint64 `cbor:"1,keyasint"`
	// Name is the name as typed, in small letters; Species the scientific name of the fish.
	Name    string    `cbor:"2,keyasint"`
	Species string    `cbor:"3,keyasint"`
	At      time.Time `cbor:"4,keyasint"`
	// Key is the name as it is looked up.
	Key string `cbor:"5,keyasint"`
}

// How many names are kept; the oldest go first.
const (
	mostOwnNames  = 100
	mostClubNames = 300
	// mostNamesAsked is how many names are remembered as asked about.
	mostNamesAsked = 60
	// likelyOffered is how many fish are offered for a name that nobody knows.
	likelyOffered = 4
)

// namesHere are the names that hold for this person in this chat: their own go before
// the club's.
func (t *turn) namesHere() understand.Taught {
	names := understand.Taught{}
	for _, list := range [][]NameTaught{t.home.Names, t.club.Names, t.profile.Names} {
		for _, n := range list {
			names[n.Key] = n.Species
		}
	}
	return names
}

// nameIn is where a list has a name, -1 if it does not.
func nameIn(list []NameTaught, name string) int {
	k := understand.TaughtKey(name)
	return slices.IndexFunc(list, func(n NameTaught) bool { return n.Key == k })
}

// newName is a name with a number of its own.
func (t *turn) newName(name, species string) (NameTaught, error) {
	no, err := t.tx.Next(kindName)
	return NameTaught{no, strings.ToLower(name), species, t.now, understand.TaughtKey(name)}, err
}

// withName is a list with a name in it, in the place of what it meant before.
func withName(list []NameTaught, n NameTaught, most int) []NameTaught {
	list = slices.Clone(list)
	if i := nameIn(list, n.Name); i >= 0 {
		list = slices.Delete(list, i, i+1)
	}
	list = append(list, n)
	return list[max(0, len(list)-most):]
}

// teach remembers a name for this person.
func (t *turn) teach(name, species string) error {
	n, err := t.newName(name, species)
	if err != nil {
		return err
	}
	p := t.profile
	p.Names = withName(p.Names, n, mostOwnNames)
	if err := t.saveProfile(p); err != nil {
		return err
	}
	t.taught = &n
	if t.m.Chat.Group { // what was said before all goes before the organisers at once
		t.proposed, err = t.propose(t.chat, n)
	}
	return err
}

// learnName remembers what a tap or an answer says that a name means, where that is worth
// it: not of the name of a whole kind, which may be another fish tomorrow.
func (t *turn) learnName(name, species string) error {
	if name == "" || understand.NamesKind(name) || understand.Teachable(name, species) != "" {
		return nil
	}
	if s := understand.Resolve(name, t.setting()); s.Sure && s.Taxa[0] == species {
		return nil
	}
	return t.teach(name, species)
}

// askName offers the likeliest fish for a name that nobody knows, once for each person
// and name.
func (t *turn) askName(a *Asked, named string) error {
	if len(a.Fish) != 1 {
		return nil
	}
	q := a.Fish[0]
	a.Named = firstOf(named, t.nameTalkedOf(q))
	likely, err := t.likely(q.Species, firstOf(a.Named, q.SpeciesName))
	if len(likely) > 0 {
		a.Named, a.Likely = firstOf(a.Named, q.SpeciesName), likely
	}
	return err
}

// nameTalkedOf is the name, as typed, of the fish that is talked of, if it is that one.
func (t *turn) nameTalkedOf(q advisor.Query) string {
	if n := len(t.talk.Fish); n > 0 && t.talk.Fish[n-1].Query.Species == q.Species {
		return strings.ToLower(t.talk.Fish[n-1].Name)
	}
	return ""
}

// likely are the fish to offer for a name that means no species, nil where it was asked
// before or is no name.
func (t *turn) likely(species, name string) ([]string, error) {
	key := understand.TaughtKey(name)
	if species != "" || key == "" || slices.Contains(t.profile.NamesAsked, key) || understand.Teachable(name, "") != "" {
		return nil, nil
	}
	list := understand.Likeliest(name, t.setting(), likelyOffered)
	if len(list) == 0 || t.m.Edited {
		return nil, nil
	}
	p := t.profile
	p.NamesAsked = append(slices.Clone(p.NamesAsked), key)
	p.NamesAsked = p.NamesAsked[max(0, len(p.NamesAsked)-mostNamesAsked):]
	return list, t.saveProfile(p)
}

// showNames adds to an answer what it asks of a name, and what was remembered of one.
func (t *turn) showNames(r *Reply, n uint64, a Asked) {
	if len(a.Likely) > 0 && a.Fish[0].Species == "" {
		r.Text += "\n" + t.voice.Say("names.ask", a.Named)
		r.Buttons = append(t.likelyButtons(pressName, n, a.Likely), r.Buttons...)
	}
	t.showTaught(r)
}

// likelyButtons offer fish by their scientific names.
func (t *turn) likelyButtons(verb string, n uint64, likely []string) [][]Button {
	return fishButtons(t.voice, likely, verb, n, func(i int) any { return likely[i] })
}

// showTaught says what was remembered by this message, with the buttons to take it back
// and to propose it to the club.
func (t *turn) showTaught(r *Reply) {
	n := t.taught
	if n == nil {
		return
	}
	r.Text += "\n" + t.voice.Say("names.kept", n.Name, t.fishBeside(n.Name, n.Species)) + t.proposed
	row := []Button{button(t.voice.Say("button.unname", n.Name), pressUnname, n.No)}
	if t.homeChat() != 0 && len(t.home.Organisers) > 0 && nameIn(t.home.Names, n.Name) < 0 {
		row = append(row, button(t.voice.Say("button.for_club"), pressPropose, n.No))
	}
	r.Buttons = append(r.Buttons, row)
}

// fishBeside is what the reader calls a fish beside a name of it.
func (t *turn) fishBeside(name, species string) string {
	return beside(name, t.fishOf(species), advisor.LookUp(species))
}

// fishOf is what the reader calls a fish inside a sentence.
func (t *turn) fishOf(species string) string {
	if s := advisor.LookUp(species); s != nil {
		return understand.InSentence(nameOf(t.voice, s))
	}
	return species
}

// pressName settles what the name of a question means, and remembers it.
func (t *turn) pressName(n uint64, species string) error {
	asked, ok := t.pressedQuestion(n)
	s := advisor.LookUp(species)
	switch {
	case !ok || asked.Named == "":
		return t.notice("press.not_yours")
	case s == nil || !slices.Contains(asked.Likely, species):
		return t.notice("press.old")
	}
	return t.settleName(n, asked, s)
}

// settleName answers a question anew for the fish that its name was said to mean, and
// remembers the name.
func (t *turn) settleName(n uint64, asked Asked, s *advisor.Species) error {
	if err := t.learnName(asked.Named, s.ScientificName); err != nil {
		return err
	}
	q := &asked.Fish[0]
	q.Species, q.SpeciesName, q.Ambiguous = s.ScientificName, s.EnglishName, false
	q.Given, q.Unfamiliar = "", false
	problems := understand.CheckSize(q)
	asked.Missing = understand.Missing(*q)
	if err := t.saveAsked(n, asked); err != nil {
		return err
	}
	if err := t.renameReports(asked); err != nil {
		return err
	}
	if n == t.session.Question {
		problems = t.openProblems(problems)
	}
	m := understand.Meaning{Query: *q, Missing: asked.Missing, Problems: problems}
	answer := t.advice(n, asked, m)
	t.heardChoice(asked.Fish)
	return t.replace(answer)
}

// askNameOf offers the likeliest fish under the confirmation of a report whose name nobody
// knows.
func (t *turn) askNameOf(r *Reply, of *catch.Report) error {
	likely, err := t.likely(of.Species, of.SpeciesGiven)
	if len(likely) == 0 || err != nil {
		return err
	}
	r.Text += "\n" + t.voice.Say("names.ask", strings.ToLower(of.SpeciesGiven))
	r.Buttons = append(t.likelyButtons(pressNameOf, of.Number, likely), r.Buttons...)
	return nil
}

// pressNameOf settles what the name in a report means, and remembers it.
func (t *turn) pressNameOf(n uint64, species string) error {
	r, err := t.ownReport(n)
	if err != nil {
		return err
	}
	s := advisor.LookUp(species)
	if r == nil || s == nil || r.Species != "" && r.Species != species {
		return t.notice("press.not_yours")
	}
	fish, err := t.fellows(r)
	if err != nil {
		return err
	}
	name := r.SpeciesGiven
	for _, f := range fish {
		if f.Species != "" || f.SpeciesGiven != name {
			continue
		}
		before := *f
		f.Species, f.SpeciesSure = species, true
		if err := t.putChanged(f, before); err != nil {
			return err
		}
	}
	if err := t.learnName(name, species); err != nil {
		return err
	}
	reply := t.confirmation(t.saved(fish), fish, nil)
	t.showTaught(&reply)
	return t.replace(reply)
}

// answersName remembers a name that was asked about where the message says in words which
// fish it is; s is the talk before it, next the talk after.
func (t *turn) answersName(r understand.Reading, s, next talk.State) error {
	if len(r.Fish) != 1 || len(next.Fish) == 0 || len(next.Fish) != len(s.Fish) {
		return nil
	}
	told, now := r.Fish[0].Query, next.Fish[len(next.Fish)-1].Query
	if told.Species == "" || told.Ambiguous || told.Species != now.Species || told.DepthM != nil || told.WeightKg != nil || told.LengthCm != nil {
		return nil
	}
	a, ok := t.lastAsked()
	if !ok || len(a.Likely) == 0 || a.Fish[0].Species != "" {
		return nil
	}
	return t.learnName(a.Named, now.Species)
}

// namesSorted are names in the order of the alphabet.
func namesSorted(list []NameTaught) []NameTaught {
	return slices.SortedFunc(slices.Values(list), func(a, b NameTaught) int { return cmp.Compare(a.Name, b.Name) })
}
