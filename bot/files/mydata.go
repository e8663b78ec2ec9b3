package files

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"deepward/advisor"
	"deepward/bot"
	"deepward/bot/talk"
	"deepward/bot/words"
	"deepward/store"
	"deepward/store/catch"
)

// myData is all that is kept of a person, in words of their language, a line for each
// thing; what is not known or not set has none.
func (m *Maker) myData(args map[string]string) (bot.File, error) {
	person, err := personIn(args)
	if err != nil {
		return bot.File{}, fmt.Errorf("whose data: %w", err)
	}
	d := &dataSheet{voice: voiceIn(args)}
	err = m.store.View(func(tx *store.Tx) error {
		kept, err := bot.KeptOf(tx, person)
		if err != nil {
			return err
		}
		d.chat = chatTitles(tx)
		d.all(person, kept, m.now())
		return nil
	})
	return bot.File{Name: "my-data.txt", Data: []byte(d.text.String())}, err
}

// chatTitles names a chat by its number in the store, "" for a private one.
func chatTitles(tx *store.Tx) func(catch.ClubID) string {
	names := bot.ChatNames(tx)
	return func(n catch.ClubID) string {
		name, private := names(n)
		if private {
			return ""
		}
		return name
	}
}

// dataSheet is what is written for one person.
type dataSheet struct {
	voice words.Voice
	chat  func(catch.ClubID) string
	text  strings.Builder
}

func (d *dataSheet) all(person catch.PersonID, k bot.Kept, now time.Time) {
	d.line("head", d.moment(now))
	d.line("account", strconv.FormatInt(int64(person), 10))
	d.profile(k.Profile)
	d.told("organises", d.voice.List(d.titles(k.Organises)...))
	d.told("wishes", d.voice.List(d.titles(k.Wishes)...))
	d.line("reports", len(k.Reports))
	for _, r := range k.Reports {
		d.report(r)
	}
	d.line("questions", len(k.Questions))
	for _, q := range k.Questions {
		d.question(q)
	}
	for _, s := range k.Sessions {
		d.session(s)
	}
	for _, p := range k.Places {
		d.line("waits", exact(p.Lat, p.Lon))
	}
	if k.PastLog.Number != 0 {
		d.pastLog(k.PastLog)
	}
	for _, p := range k.Puzzles {
		d.line("puzzle", d.moment(p.At), p.Piece, p.Text)
	}
	for _, a := range k.Aside {
		d.line("aside", d.moment(a.At), string(a.Raw))
	}
}

// line writes a sentence of the data sheet.
func (d *dataSheet) line(key string, args ...any) {
	for i, a := range args {
		args[i] = fmt.Sprint(a) // a number of messages or reports is set without marks
	}
	d.text.WriteString(d.voice.Say("mydata."+key, args...) + "\n")
}

// told writes it unless the text is empty.
func (d *dataSheet) told(key, text string) {
	if text != "" {
		d.line(key, text)
	}
}

// number writes it unless there is none.
func (d *dataSheet) number(key string, n int) {
	if n != 0 {
		d.line(key, n)
	}
}

// figure writes it unless the figure is missing.
func (d *dataSheet) figure(key string, x *float64, write func(float64) string) {
	if x != nil {
		d.line(key, write(*x))
	}
}

// yes writes it where it is so.
func (d *dataSheet) yes(key string, so bool) {
	if so {
		d.line(key, d.voice.Say("word.yes"))
	}
}

func (d *dataSheet) moment(t time.Time) string { return t.Format("2006-01-02 15:04 MST") }

func (d *dataSheet) profile(p bot.Profile) {
	v := d.voice
	d.text.WriteString("\n" + v.Say("settings.head") + "\n")
	set := func(key, text string) {
		if text != "" {
			d.text.WriteString(v.Say(key, text) + "\n")
		}
	}
	answer := func(yes bool) string {
		if yes {
			return v.Say("word.yes")
		}
		return v.Say("word.no")
	}
	if len(p.WeightsOz) > 0 {
		set("settings.weights", bot.Weighing(v, p.WeightUnit, p.WeightsOz).ListOunces(p.WeightsOz))
	}
	set("settings.region", v.Region(p.Region))
	if p.Units != "" {
		set("settings.units", v.Say("units."+p.Units))
	}
	set("settings.language", p.Language)
	set("settings.practice", p.Practice)
	set("settings.name", answer(p.Named))
	set("settings.place", answer(p.KeepPlace))
	set("settings.recaptures", answer(p.TellRecapture))
	d.yes("place_asked", p.PlaceAsked)
	d.told("weight_unit", p.WeightUnit)
	d.told("program", p.Seen)
	d.told("spoken", p.Spoken)
	if p.Private != 0 {
		d.line("private", strconv.FormatInt(int64(p.Private), 10))
	}
	d.told("groups", v.List(d.titles(p.Clubs)...))
	d.told("counts_for", d.where(p.CountFor))
	for _, n := range p.Names {
		d.line("name_taught", n.Name, d.fish(n.Species, ""), d.moment(n.At))
	}
	d.told("names_asked", strings.Join(p.NamesAsked, ", "))
	d.habits(p)
}

// habits tells the units that were learnt, and from how many messages.
func (d *dataSheet) habits(p bot.Profile) {
	h := p.Habits
	for _, one := range []struct {
		what, field string
		habit       talk.Habit
	}{{"depth", "depth_m", h.Depth}, {"weight", "weight_kg", h.Weight}, {"length", "length_cm", h.Length}} {
		if one.habit.Times > 0 {
			d.line("habit."+one.what, d.unit(one.field, one.habit.Factor), one.habit.Times)
		}
	}
}

// unit is the name of a unit; of one that has none it is told how much it is.
func (d *dataSheet) unit(field string, factor float64) string {
	if name := talk.UnitName(field, factor); name != "" {
		return d.voice.Say("unit." + name)
	}
	_, base, _ := strings.Cut(field, "_")
	return d.voice.Number(factor, 4) + " " + base
}

func (d *dataSheet) titles(clubs []catch.ClubID) (list []string) {
	for _, n := range clubs {
		list = append(list, d.where(n))
	}
	return list
}

// where is the name of a chat, "" for none.
func (d *dataSheet) where(n catch.ClubID) string {
	if n == 0 {
		return ""
	}
	if title := d.chat(n); title != "" {
		return title
	}
	return d.voice.Say("mydata.in_private")
}

// fish is what the reader calls a fish, else the name that was given.
func (d *dataSheet) fish(species, given string) string {
	s := advisor.LookUp(species)
	if s == nil {
		return given
	}
	return s.NameIn(d.voice.Language()) + " (" + s.ScientificName + ")"
}

func (d *dataSheet) report(r *catch.Report) {
	d.text.WriteString("\n")
	d.line("report", strconv.FormatUint(r.Told(), 10), d.moment(r.SavedAt))
	if !r.ChangedAt.IsZero() {
		d.line("changed", d.moment(r.ChangedAt))
	}
	d.yes("undone", r.Undone)
	d.line("in", d.where(r.Chat), strconv.FormatUint(r.LogNo, 10))
	if r.Club != 0 {
		d.line("shared", d.where(r.Club), strconv.FormatUint(r.ClubNo, 10))
	}
	d.number("message", r.Message)
	d.number("part", r.Part)
	d.number("topic", r.Thread)
	d.told("season", r.Season)
	if r.DateOnly {
		d.line("caught", r.CaughtAt.Format(time.DateOnly))
	} else {
		d.line("caught", d.moment(r.CaughtAt))
	}
	d.catch(r)
	d.told("advised", r.Advised)
	if len(r.Flags) > 0 {
		d.line("doubts", len(r.Flags), strings.ReplaceAll(strings.Join(r.Flags, ", "), "_", " "))
	}
	d.told("origin", r.Origin)
	if r.Cell != nil {
		d.line("cell", fmt.Sprintf("%.1f, %.1f", float64(r.Cell.Lat)/10, float64(r.Cell.Lon)/10))
	}
	d.personal(r.Personal, r.Named)
}

// catch tells the fish and what was done with it.
func (d *dataSheet) catch(r *catch.Report) {
	v := d.voice
	d.told("fish", d.fish(r.Species, ""))
	d.yes("fits_several", r.Species != "" && !r.SpeciesSure)
	d.told("called", r.SpeciesGiven)
	d.figure("depth_from", r.DepthMinM, v.Depth)
	d.figure("depth", r.DepthM, v.Depth)
	d.figure("weight", r.WeightKg, v.Mass)
	if r.LengthCm != nil {
		d.line("length", strings.TrimSpace(v.Length(*r.LengthCm)+" "+string(r.LengthType)))
	}
	if r.Method != "" {
		d.line("how", v.Say("method."+string(r.Method)))
	}
	if len(r.WeightsOz) > 0 {
		d.line("weights_used", v.OuncesTogether(r.WeightsOz))
	}
	d.figure("freed_at", r.ReleaseDepthM, v.Depth)
	d.signs(r.Signs, r.SignsLooked)
	if r.Hook != "" {
		d.text.WriteString(words.SentenceCase(v.Say("hook."+string(r.Hook))) + "\n")
	}
	d.yes("bleeding", r.Bleeding)
	d.figure("minutes", r.MinutesOnDeck, v.Minutes)
	if r.Behaviour != "" {
		d.line("behaviour", v.Say("behaviour."+string(r.Behaviour)))
	}
	if r.Outcome != "" {
		d.line("outcome", v.Say("outcome."+string(r.Outcome)))
	}
	d.yes("predators", r.Predators)
	d.figure("water", r.SurfaceTempC, v.Temperature)
	d.told("tag", r.Tag)
	d.yes("recapture", r.Recapture)
}

func (d *dataSheet) signs(signs []advisor.Sign, looked bool) {
	var said []string
	for _, s := range signs {
		said = append(said, d.voice.Say("sign."+string(s)))
	}
	switch {
	case len(said) > 0:
		d.line("signs", strings.Join(said, ", "))
	case looked:
		d.line("signs", d.voice.Say("mydata.no_signs"))
	}
}

func (d *dataSheet) personal(p catch.Personal, named bool) {
	d.told("name", p.Name)
	d.yes("named", named)
	if p.Lat != nil && p.Lon != nil {
		d.line("exact", exact(*p.Lat, *p.Lon))
	}
	d.told("words", p.Words)
	if p.Told != nil {
		d.line("day_told", p.Told.Words)
	}
	d.told("note", p.Note)
}

// exact is a place in degrees.
func exact(lat, lon float64) string { return fmt.Sprintf("%.5f, %.5f", lat, lon) }

func (d *dataSheet) question(q bot.Asked) {
	d.text.WriteString("\n")
	d.line("question", d.moment(q.At), strconv.FormatInt(int64(q.Chat), 10))
	d.number("answered", q.Message)
	d.number("topic", q.Thread)
	d.told("words", q.Text)
	for _, f := range q.Fish {
		d.told("understood", d.query(f))
	}
	if len(q.Reports) > 0 {
		d.line("made", strings.Trim(fmt.Sprint(q.Reports), "[]"))
	}
}

// query tells in one line what was understood of a fish.
func (d *dataSheet) query(q advisor.Query) string {
	v := d.voice
	parts := []string{}
	add := func(text string) {
		if text != "" {
			parts = append(parts, text)
		}
	}
	add(d.fish(q.Species, q.SpeciesName))
	for _, one := range []struct {
		figure *float64
		write  func(float64) string
	}{{q.DepthM, v.Depth}, {q.WeightKg, v.Mass}, {q.LengthCm, v.Length}, {q.MinutesOnDeck, v.Minutes}, {q.SurfaceTempC, v.Temperature}} {
		if one.figure != nil {
			add(one.write(*one.figure))
		}
	}
	for _, s := range q.Signs {
		add(v.Say("sign." + string(s)))
	}
	return strings.Join(parts, ", ")
}

// session tells what is remembered of a talk: for the next words in it.
func (d *dataSheet) session(s bot.Session) {
	d.text.WriteString("\n")
	d.line("talk", d.moment(s.At))
	for _, f := range s.Talk.Fish {
		q := f.Query
		if q.SpeciesName == "" {
			q.SpeciesName = f.Name
		}
		d.told("understood", d.query(q))
	}
	if oz := s.Talk.Aboard.ReleaseOz; len(oz) > 0 {
		d.text.WriteString(d.voice.Say("settings.weights", d.voice.ListOunces(oz)) + "\n")
	}
}

func (d *dataSheet) pastLog(p bot.PastLog) {
	d.text.WriteString("\n")
	d.line("past_log", p.Name, d.moment(p.At))
	for _, a := range p.Said {
		d.line("past_answer", fmt.Sprint(a))
	}
}
