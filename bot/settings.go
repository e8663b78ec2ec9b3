package bot

import (
	"slices"
	"strings"

	"golang.org/x/text/language"

	"deepward/bot/talk"
	"deepward/bot/understand"
	"deepward/bot/words"
)

const (
	unitsMetric   = "metric"
	unitsImperial = "imperial"
	// unitsFathoms are feet and pounds, and bare depths in fathoms.
	unitsFathoms = "fathoms"
)

// isImperial is true for units in which figures are told in feet and pounds.
func isImperial(units string) bool { return units == unitsImperial || units == unitsFathoms }

// my changes a person's own settings: "my weights 20 40 oz", "my units feet",
// "my language fr", "my region hawaii", "my practice fwc", "my name yes", "my place no", "my recaptures yes".
func (t *turn) my(rest string) error {
	what, value, _ := strings.Cut(rest, " ")
	p := t.profile
	value = strings.TrimSpace(value)
	ok := true
	switch strings.ToLower(what) {
	case "weights", "weight":
		p.WeightsOz, p.WeightUnit, ok = ReadWeights(value)
	case "units":
		if p.Units, ok = readUnits(value); ok && p.Units == "" {
			p.Habits = talk.Habits{}
		}
	case "language":
		p.Language, ok = readLanguage(value)
	case "region":
		p.Region, ok = understand.FindRegion(value)
	case "name":
		p.Named, ok = readYes(value)
	case "place":
		p.KeepPlace, ok = readYes(value)
		p.PlaceAsked = true
	case "recaptures":
		p.TellRecapture, ok = readYes(value)
	case "practice":
		if p.Practice, ok = readPractice(value); !ok {
			t.tell("settings.practices", practiceKeys(), t.voice.Say("example.practice"))
			return nil
		}
	default:
		return t.settings("")
	}
	return t.keepSetting(ok, value, func() error { return t.saveProfile(p) })
}

// keepSetting saves a setting that was read, and shows what is set now.
func (t *turn) keepSetting(ok bool, value string, save func() error) error {
	if !ok {
		t.tell("settings.bad", value)
		return nil
	}
	if err := save(); err != nil {
		return err
	}
	t.voice = t.voiceFor(t.profile)
	return t.settings("")
}

// setup changes a chat's settings; in a group only its admins may, and its organisers the
// practice that answers follow.
func (t *turn) setup(rest string) error {
	what, value, _ := strings.Cut(rest, " ")
	if !t.m.Sender.Admin && !(strings.EqualFold(what, "practice") && t.isOrganiser(t.club)) {
		t.tell("role.admins_only")
		return nil
	}
	c := t.club
	value = strings.TrimSpace(value)
	ok := true
	switch strings.ToLower(what) {
	case "weights", "weight":
		c.WeightsOz, c.WeightUnit, ok = ReadWeights(value)
	case "units":
		var units string
		units, ok = readUnits(value)
		c.Imperial = isImperial(units)
	case "language":
		c.Language, ok = readLanguage(value)
	case "region":
		c.Region, ok = understand.FindRegion(value)
	case "practice":
		if c.Practice, ok = readPractice(value); !ok {
			t.tell("settings.practices", practiceKeys(), "/setup practice fwc")
			return nil
		}
	case "topic":
		c.TopicSet, ok = readYes(firstOf(value, "yes"))
		c.ReportTopic = t.m.Chat.Thread
	default:
		return t.settings("")
	}
	return t.keepSetting(ok, value, func() error { return t.saveClub(c) })
}

// settings shows what is set, for the person and for the chat.
func (t *turn) settings(string) error {
	v := t.voice
	shown := v.Say("settings.common_weights")
	if weights, _ := t.setWeights(); len(weights) > 0 {
		shown = v.ListOunces(weights)
	}
	region := firstOf(v.Region(t.region()), v.Say("settings.no_region"))
	lines := []string{
		v.Say("settings.head"),
		v.Say("settings.weights", shown),
		v.Say("settings.region", region),
		t.unitsLine(),
		v.Say("settings.language", v.Say("language.name")),
		practiceLine(v, t.practice()),
		v.Say("settings.name", v.Say(yesNo(t.profile.Named))),
		v.Say("settings.place", v.Say(yesNo(t.profile.KeepPlace))),
		v.Say("settings.recaptures", v.Say(yesNo(t.profile.TellRecapture))),
		v.Say("settings.how"),
	}
	if t.m.Chat.Group {
		lines = append(lines[:6], v.Say("settings.topic", v.Say(yesNo(t.club.TopicSet))))
		lines = append(lines, t.namesLine(t.club.Names)...)
		if t.club.TopicSet {
			lines = append(lines, v.Say("settings.topic_sees"), v.Say("settings.topic_mark"))
		}
		lines = append(lines, v.Say("settings.how_group"))
	}
	r := Reply{Headline: true}
	if n := t.homeChat(); n != 0 {
		lines = append(lines, v.Say("settings.club", t.clubTitle(n), v.Say(yesNo(t.profile.CountFor == n))))
		r.Buttons = t.clubButtons(n)
	}
	r.Text = strings.Join(lines, "\n")
	t.reply(r)
	return nil
}

// unitsLine says which units are set, or were learnt from how the person writes.
func (t *turn) unitsLine() string {
	v := t.voice
	if learnt := t.habitLine(); learnt != "" {
		return learnt
	}
	if t.profile.Units == unitsFathoms {
		return v.Say("settings.units", v.Say("units."+unitsFathoms))
	}
	return v.Say("settings.units", unitsName(v, v.Imperial))
}

func unitsName(v words.Voice, imperial bool) string {
	if imperial {
		return v.Say("units." + unitsImperial)
	}
	return v.Say("units." + unitsMetric)
}

func yesNo(yes bool) string {
	if yes {
		return "word.yes"
	}
	return "word.no"
}

func readUnits(text string) (string, bool) {
	switch strings.ToLower(text) {
	case "metric", "metres", "meters", "m", "kg", "metros", "mètres", "métrico", "métrique":
		return unitsMetric, true
	case "imperial", "feet", "ft", "lb", "pounds", "us", "pies", "libras", "pés", "pes", "pieds", "livres", "impérial":
		return unitsImperial, true
	case "fathoms", "fathom", "fm", "brazas", "braças", "bracas", "brasses":
		return unitsFathoms, true
	case "auto", "none", "automático", "automatico", "automatique", "ninguna", "nenhuma", "aucune":
		return "", true // as the person writes
	default:
		return "", false
	}
}

// languageNames are what people call the languages, in each of them.
var languageNames = map[string]string{
	"english": "en", "inglés": "en", "ingles": "en", "inglês": "en", "anglais": "en",
	"spanish": "es", "español": "es", "espanol": "es", "castellano": "es", "espanhol": "es", "espagnol": "es",
	"portuguese": "pt", "portugués": "pt", "portugues": "pt", "português": "pt", "portugais": "pt",
	"brazilian": brazilian, "brasileiro": brazilian, "português do brasil": brazilian, "portugues do brasil": brazilian, "brasil": brazilian,
	"french": "fr", "francés": "fr", "frances": "fr", "francês": "fr", "français": "fr", "francais": "fr",
}

// brazilian is the tag of Portuguese as Brazil writes it.
const brazilian = "pt-BR"

// readLanguage takes a language by its code, with or without a country, or by its name
// in any of the languages.
func readLanguage(text string) (string, bool) {
	text = strings.ToLower(text)
	if code, ok := languageNames[text]; ok {
		return code, true
	}
	tag := strings.ReplaceAll(text, "_", "-")
	code, _, _ := strings.Cut(tag, "-")
	if strings.EqualFold(tag, brazilian) {
		return brazilian, true
	}
	spoken := slices.ContainsFunc(words.Languages, func(tag language.Tag) bool { return tag.String() == code })
	return code, spoken
}

func readYes(text string) (yes, ok bool) {
	switch strings.ToLower(text) {
	case "yes", "y", "on", "si", "sí", "sim", "oui", "ok":
		return true, true
	case "no", "n", "off", "não", "nao", "non":
		return false, true
	default:
		return false, false
	}
}

// voice is the one to write in to somebody who did not just write to us.
func (p Profile) voice() words.Voice {
	return words.For(firstOf(p.Language, p.Spoken, p.Seen), isImperial(p.Units))
}

func voiceOf(languageTag string) words.Voice { return words.For(languageTag, false) }
