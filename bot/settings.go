package bot

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/text/language"

	"deepward/advisor"
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

// The heaviest and the most release weights that can be set, against slips.
const (
	maxWeightOz = 500
	maxWeights  = 12
)

// my changes a person's own settings: "my weights 20 40 oz", "my units feet",
// "my language fr", "my region hawaii", "my practice fwc", "my name yes", "my place no", "my recaptures yes".
func (t *turn) my(rest string) error {
	what, value, _ := strings.Cut(rest, " ")
	p := t.profile
	value = strings.TrimSpace(value)
	ok := true
	switch strings.ToLower(what) {
	case "weights", "weight":
		p.WeightsOz, ok = readWeights(value)
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

// weightsAboard are the release weights that the person set, else the chat's, else in
// private their club's; none when nobody did.
func (t *turn) weightsAboard() []float64 {
	for _, set := range [][]float64{t.profile.WeightsOz, t.club.WeightsOz, t.home.WeightsOz} {
		if len(set) > 0 {
			return set
		}
	}
	return nil
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
		c.WeightsOz, ok = readWeights(value)
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
	if weights := t.weightsAboard(); len(weights) > 0 {
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

// weightWords stand between the figures of a list of weights, in any language.
var weightWords = []string{"and", "y", "e", "et"}

// ouncesIn are the ounces in one of each unit that release weights are sold in.
var ouncesIn = map[string]float64{
	"oz": 1, "ounce": 1, "ounces": 1, "onza": 1, "onzas": 1, "onça": 1, "onças": 1, "once": 1, "onces": 1,
	"lb": ouncesInPound, "lbs": ouncesInPound, "pound": ouncesInPound, "pounds": ouncesInPound, "libra": ouncesInPound, "libras": ouncesInPound, "livre": ouncesInPound, "livres": ouncesInPound,
	"g": 1 / advisor.GramsPerOunce, "gr": 1 / advisor.GramsPerOunce, "kg": 1000 / advisor.GramsPerOunce, "kilo": 1000 / advisor.GramsPerOunce, "kilos": 1000 / advisor.GramsPerOunce,
}

const ouncesInPound = 1000 * advisor.KgPerPound / advisor.GramsPerOunce

// readWeights reads "20 40 60 oz", "20, 40 and 60" or "2 and 3 lb", in ounces where
// no unit follows; "none" goes back to the common two.
func readWeights(text string) ([]float64, bool) {
	if slices.Contains([]string{"none", "default", "common", "ninguno", "nenhum", "aucun"}, strings.ToLower(text)) {
		return nil, true
	}
	var list []float64
	bare := 0 // where the figures begin that the next unit is of
	for _, word := range strings.FieldsFunc(strings.ToLower(text), isListBreak) {
		if slices.Contains(weightWords, word) {
			continue
		}
		unit := strings.TrimLeft(word, "0123456789.")
		if figure := strings.TrimSuffix(word, unit); figure != "" {
			n, err := strconv.ParseFloat(figure, 64)
			if err != nil {
				return nil, false
			}
			list = append(list, n)
		}
		if unit == "" {
			continue
		}
		ounces, known := ouncesIn[unit]
		if !known {
			return nil, false
		}
		for i := bare; i < len(list); i++ {
			list[i] = math.Round(10*list[i]*ounces) / 10
		}
		bare = len(list)
	}
	return sensibleWeights(list)
}

// sensibleWeights are release weights in order, none of them a slip.
func sensibleWeights(list []float64) ([]float64, bool) {
	slices.Sort(list)
	ok := len(list) > 0 && len(list) <= maxWeights && list[0] > 0 && list[len(list)-1] <= maxWeightOz
	return list, ok
}

func isListBreak(r rune) bool {
	return r == ' ' || r == ',' || r == ';' || r == '+' || r == '/' || r == '&'
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
