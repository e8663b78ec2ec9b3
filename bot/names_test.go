package bot_test

import (
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot"
	"deepward/bot/understand"
	"deepward/bot/words"
	"deepward/store"
)

const dhufish = "Glaucosoma hebraicum"

// speciesAsked is the fish of the last question of a person.
func (k *talk) speciesAsked(say func() delivered) string {
	k.t.Helper()
	_, trace := traced(k, say)
	require.NotEmpty(k.t, trace.Answered)
	return trace.Answered[0].Species
}

// inTheWest is a talk with the region set, a person's own.
func inTheWest(t *testing.T, who bot.Person) *talk {
	k := newTalk(t)
	k.say(who, "my region western australia")
	return k
}

// A name that nobody knows is asked once, in each language; the tap is remembered for
// that person, said when it is used, and taken back by words and by a button.
func TestUnknownNameIsAskedOnceAndRemembered(t *testing.T) {
	for language, forget := range map[string]string{"en": "forget wonkle", "es": "olvida wonkle", "pt": "esquece wonkle", "fr": "oublie wonkle"} {
		who := ada
		who.Language = language
		k := inTheWest(t, who)
		say := func(key string, args ...any) string { return words.For(language, false).Say(key, args...) }
		asked := only(t, k.say(who, "wonkle 60m 5kg"))
		assert.Contains(t, asked.Text, say("names.ask", "wonkle"))
		likely := advisor.LookUp(dhufish).NameIn(language)
		answer := only(t, k.tap(who, private(who), asked, likely))
		assert.Equal(t, asked.id, answer.Edit)
		assert.Equal(t, say("button.unname", "wonkle"), answer.Buttons[len(answer.Buttons)-1][0].Label)
		assert.NotContains(t, answer.Text, say("names.ask", "wonkle"))
		var used delivered
		assert.Equal(t, dhufish, k.speciesAsked(func() delivered { used = only(t, k.say(who, "wonkle 50m 3kg")); return used }), language)
		assert.Contains(t, used.Text, strings.ToLower(say("assumed.spelling", "wonkle", "")[:12]))
		assert.NotContains(t, used.Text, say("names.ask", "wonkle"))
		assert.Equal(t, say("names.dropped", "wonkle"), only(t, k.say(who, forget)).Text)
		k.say(who, "/names wonkle = "+dhufish)
		list := only(t, k.say(who, "/names"))
		line := say("names.line", "wonkle", "")
		assert.Contains(t, list.Text, line)
		assert.Equal(t, say("names.dropped", "wonkle"), only(t, k.tap(who, private(who), list, "wonkle")).Text)
		assert.NotContains(t, only(t, k.say(who, "/names")).Text, line)
	}
}

// A name is changed by teaching it anew.
func TestTaughtNameIsChanged(t *testing.T) {
	k := inTheWest(t, ada)
	k.say(ada, "wonkle means dhufish")
	assert.Contains(t, only(t, k.say(ada, "wonkle is a samson fish")).Text, "“wonkle” is Samson fish")
	assert.Equal(t, "Seriola hippos", k.speciesAsked(func() delivered { return only(t, k.say(ada, "wonkle 50m 3kg")) }))
	list := only(t, k.say(ada, "names"))
	assert.Equal(t, 1, strings.Count(list.Text, "wonkle"))
}

func TestNameIsAskedOnlyOnce(t *testing.T) {
	k := inTheWest(t, ada)
	assert.Contains(t, only(t, k.say(ada, "wonkle 60m 5kg")).Text, "Which fish")
	k.say(ada, "gag 40 m 3 kg")
	assert.NotContains(t, only(t, k.say(ada, "wonkle 70m 4kg")).Text, "Which fish")
	k.say(bruno, "my region western australia")
	assert.Contains(t, only(t, k.say(bruno, "wonkle 60m 5kg")).Text, "Which fish", "each person once")
}

// What was asked is answered in words as well.
func TestAskedNameIsAnsweredInWords(t *testing.T) {
	k := inTheWest(t, ada)
	k.say(ada, "wonkle 60m 5kg")
	answer := only(t, k.say(ada, "it's a dhufish"))
	assert.Contains(t, answer.Text, "Remembered: “wonkle” is West Australian dhufish for you")
	assert.Equal(t, dhufish, k.speciesAsked(func() delivered { return only(t, k.say(ada, "wonkle 50m 3kg")) }))
	k = inTheWest(t, ada)
	k.say(ada, "wonkle 60m 5kg")
	assert.NotContains(t, only(t, k.say(ada, "gag 40 m 3 kg")).Text, "Remembered", "another fish is no answer")
}

// The fish of a report is asked about too, and the report is put right.
func TestUnknownNameInAReportIsAsked(t *testing.T) {
	k := inTheWest(t, ada)
	kept := only(t, k.say(ada, "log wonkle 60 m sent down 40 oz swam off"))
	require.Contains(t, kept.Text, "Which fish is “wonkle”?")
	after := only(t, k.tap(ada, private(ada), kept, "West Australian dhufish"))
	assert.Contains(t, after.Text, "Remembered")
	r := k.reports()[0]
	assert.Equal(t, dhufish, r.Species)
	assert.True(t, r.SpeciesSure)
	assert.Equal(t, "wonkle", strings.ToLower(r.SpeciesGiven), "as the person named it")
}

// A word of a report that could not be used is said, where the fish is taken from the talk.
func TestUnreadWordOfAReportIsSaid(t *testing.T) {
	k := inTheWest(t, ada)
	k.say(ada, "dhufish 40m 2kg")
	assert.Contains(t, only(t, k.say(ada, "plonker 40 oz sent down")).Text, "\nNot understood: plonker")
}

// The name of a whole kind may be another fish tomorrow: a tap settles it for this one only.
func TestNameOfAKindIsNotRemembered(t *testing.T) {
	k := newTalk(t)
	asked := only(t, k.say(ada, "grouper 40m 3kg"))
	require.NotEmpty(t, asked.Buttons)
	answer := only(t, k.tap(ada, private(ada), asked, asked.Buttons[0][0].Label))
	assert.NotContains(t, answer.Text, "Remembered")
}

// A name that may be several fish is settled by a tap, and remembered.
func TestUnsureNameIsRemembered(t *testing.T) {
	k := inTheWest(t, ada)
	asked := only(t, k.say(ada, "caught a wobbler at 50 m 2kg"))
	answer := only(t, k.tap(ada, private(ada), asked, "Snapper (Australasian)"))
	assert.Contains(t, answer.Text, "Remembered: “wobbler”")
	var used delivered
	assert.Equal(t, "Chrysophrys auratus", k.speciesAsked(func() delivered { used = only(t, k.say(ada, "wobbler 50m 2kg")); return used }))
	assert.Contains(t, used.Text, "“wobbler” read as", "never silently")
}

// What help teaches works as it is written there, in each language.
func TestTeachingWorksAsPrinted(t *testing.T) {
	for _, language := range advisor.BaseLanguages() {
		k, who := newTalk(t), ada
		who.Language = language
		teach, forget, ok := strings.Cut(words.For(language, false).Say("names.how"), " · ")
		require.True(t, ok)
		_, teach, _ = strings.Cut(strings.ReplaceAll(teach, "\u00a0", " "), ": ")
		_, forget, _ = strings.Cut(strings.ReplaceAll(forget, "\u00a0", " "), ": ")
		kept := only(t, k.say(who, teach))
		_, said, _ := strings.Cut(words.For(language, false).Say("names.kept", "zorbie", "|"), "|")
		assert.Contains(t, kept.Text, said, "%s: %s", language, teach)
		assert.Contains(t, only(t, k.say(who, forget)).Text, words.For(language, false).Say("names.dropped", "zorbie"), forget)
	}
}

// What the README says of learning works as it is written there.
func TestLearningOfTheReadme(t *testing.T) {
	readme, err := os.ReadFile("../README.md")
	require.NoError(t, err)
	k := newTalk(t)
	for _, c := range [][2]string{
		{"zorbie means red snapper", "Remembered: “zorbie” is red snapper for you"}, {"names", "zorbie: red snapper"},
		{"forget zorbie", "Forgotten: “zorbie”"}, {"gag 45 3kg", "“45” of what?"},
		{"gag 150 ft 6 lb", "SEND IT DOWN"}, {"red grouper 120 ft 6 lb", "SEND IT DOWN"}, {"scamp 140 ft 6 lb", "SEND IT DOWN"},
	} {
		assert.Contains(t, only(t, k.say(ada, c[0])).Text, c[1], c[0])
	}
	for _, said := range []string{"zorbie means red snapper", "forget zorbie", "`names`", "gag 45 3kg", "After three messages in feet"} {
		assert.Contains(t, string(readme), said)
	}
	k.now = k.now.Add(24 * time.Hour)
	assert.Contains(t, only(t, k.tell(ada, "gag 45 3kg")).Text, "45: taken as feet, as you write")
}

// Neither an everyday word, nor the name of fish with another kind of bladder, nor words
// that nobody knows are taught; each refusal says why.
func TestRefusedNamesSayWhy(t *testing.T) {
	k := inTheWest(t, ada)
	for text, want := range map[string]string{
		"boat means dhufish": "means other things too", "herring means dhufish": "gas behaves in another way",
		"zorbie means blubberwonk": "I do not know “blubberwonk”", "dhuie is West Australian dhufish here": "I know “dhuie” as West Australian dhufish already",
		"/names 45 = dhufish": "I cannot remember “45”", "/names forget zorbie": "Nobody taught me “zorbie”",
	} {
		assert.Contains(t, only(t, k.say(ada, text)).Text, want, text)
	}
	assert.Contains(t, only(t, k.say(ada, "names")).Text, "none yet")
}

// organisedClub is a club of ada's, its organiser, in which bruno is known.
func organisedClub(t *testing.T) *talk {
	k := newTalk(t)
	k.tell(ada, "/setup region western australia")
	k.tell(ada, "/organiser")
	k.say(ada, "hello")
	k.tell(bruno, "gag 40 m?")
	k.say(bruno, "hello")
	return k
}

// waitingFor is the reply that went to a person's private chat.
func waitingFor(t *testing.T, replies []delivered, who bot.Person) delivered {
	t.Helper()
	for _, r := range replies {
		if r.Chat == private(who).ID && !r.Group {
			return r
		}
	}
	require.Failf(t, "nobody wrote to", "%s: %+v", who.Name, replies)
	return delivered{}
}

// A member's name holds for the club when an organiser agrees, by one tap in private.
func TestOrganiserLetsANameHoldForTheClub(t *testing.T) {
	k := organisedClub(t)
	kept := only(t, k.say(bruno, "wonkle is West Australian dhufish here"))
	replies := k.tap(bruno, private(bruno), kept, "For the club too")
	wish := waitingFor(t, replies, ada)
	assert.Equal(t, "A member of Skerrow Point calls West Australian dhufish “wonkle”. Shall that hold for the whole club?", wish.Text)
	assert.NotContains(t, wish.Text, "Bruno")
	assert.Empty(t, k.speciesAsked(func() delivered { return only(t, k.tell(cleo, "wonkle 60m 5kg")) }), "not yet")
	refused := k.tap(bruno, private(bruno), wish, "Yes")
	assert.Equal(t, words.For("en", false).Say("press.not_yours"), refused[0].Text, "only an organiser agrees")
	agreed := only(t, k.tap(ada, private(ada), wish, "Yes"))
	assert.Contains(t, agreed.Text, "for all of Skerrow Point now")
	assert.Equal(t, dhufish, k.speciesAsked(func() delivered { return only(t, k.tell(cleo, "wonkle 60m 5kg")) }))
	assert.Equal(t, dhufish, k.speciesAsked(func() delivered { return only(t, k.say(cleo, "wonkle 50m 5kg")) }), "in private too")
	assert.Contains(t, only(t, k.tell(cleo, "/names")).Text, "wonkle: West Australian dhufish")
	assert.Contains(t, only(t, k.tell(cleo, "/settings")).Text, "The club’s own names for fish: “wonkle”")
	assert.Contains(t, only(t, k.say(cleo, "/join")).Text, "The club’s own names for fish: “wonkle”", "goes along with what the club has set")
	assert.Empty(t, only(t, k.tell(cleo, "/names")).Buttons)
	only(t, k.tap(ada, private(ada), only(t, k.say(ada, "/names")), "Forget “wonkle”"))
	assert.NotContains(t, only(t, k.tell(cleo, "/names")).Text, "wonkle: West")
}

// What was said before all waits for the organiser at once; the list shows what waits, and
// a no ends it.
func TestNameTaughtInTheGroupWaitsForAnOrganiser(t *testing.T) {
	k := organisedClub(t)
	replies := k.tell(bruno, "wonkle is West Australian dhufish here")
	assert.Contains(t, replies[len(replies)-1].Text, "I ask the organisers of Skerrow Point")
	waitingFor(t, replies, ada)
	again := k.tell(cleo, "wonkle means West Australian dhufish")
	require.Len(t, again, 1, "an organiser is asked once")
	list := only(t, k.say(ada, "/names"))
	assert.Contains(t, list.Text, "calls West Australian dhufish “wonkle”")
	assert.NotContains(t, only(t, k.say(bruno, "/names")).Text, "Shall that hold")
	assert.Contains(t, only(t, k.tap(ada, private(ada), list, "No")).Text, "stays that member’s own name")
	assert.NotContains(t, only(t, k.say(ada, "/names")).Text, "Shall that hold")
	assert.Equal(t, dhufish, k.speciesAsked(func() delivered { return only(t, k.say(bruno, "wonkle 60m 5kg")) }), "their own still")
}

func TestOrganiserNamesAFishForTheClubInWords(t *testing.T) {
	k := organisedClub(t)
	assert.Contains(t, only(t, k.say(bruno, "/names club wonkle = dhufish")).Text, "Only an organiser")
	assert.Contains(t, only(t, k.say(ada, "/names club wonkle = dhufish")).Text, "for all of Skerrow Point now")
	assert.Equal(t, dhufish, k.speciesAsked(func() delivered { return only(t, k.tell(cleo, "wonkle 60m 5kg")) }))
	assert.Contains(t, only(t, k.say(ada, "/names club wonkle = none")).Text, "Forgotten: “wonkle”")
	k.silent = true
	assert.Contains(t, only(t, k.say(ada, "/names club wonkle = dhufish")).Text, "Only an organiser", "who cannot be looked up gives nothing away")
}

// Names are a part of what is set: they go with /forget, and so do those that wait.
func TestForgottenPersonsNamesAreGone(t *testing.T) {
	k := organisedClub(t)
	k.tell(bruno, "wonkle is West Australian dhufish here")
	require.NoError(t, k.store.View(func(tx *store.Tx) error {
		p, err := bot.ProfileOf(tx, bruno.ID)
		require.Len(t, p.Names, 1)
		return err
	}))
	k.forgetMe(bruno)
	require.NoError(t, k.store.View(func(tx *store.Tx) error {
		p, err := bot.ProfileOf(tx, bruno.ID)
		assert.Empty(t, p.Names)
		return err
	}))
	assert.NotContains(t, only(t, k.say(ada, "/names")).Text, "wonkle")
}

// A button's data never grows too long for the transport, 64 bytes.
func TestButtonsOfNamesAreShort(t *testing.T) {
	for _, s := range append(advisor.Catalogue(), advisor.HigherTaxa()...) {
		assert.LessOrEqual(t, len("nameof 99999999 "+s.ScientificName), 64)
	}
	name := strings.Repeat("z", 32)
	require.Empty(t, understand.Teachable(name, dhufish))
	assert.LessOrEqual(t, len("clubname 99999999 yes "+understand.TaughtKey(name)), 64)
}

// Several fish of one name are told apart where one of them is to be chosen, where the choice
// is remembered, and where it is told.
func TestFishOfOneNameAreToldApart(t *testing.T) {
	pt, fr := ada, bruno
	pt.Language, fr.Language = "pt", "fr"
	k := newTalk(t)
	labels := map[string]bool{}
	for _, row := range only(t, k.say(pt, "pargo 45 m 3 kg")).Buttons {
		for _, b := range row {
			assert.False(t, labels[b.Label], "two buttons say %q", b.Label)
			labels[b.Label] = true
		}
	}
	const said, told = "vivaneau rouge 45 m 3 kg", "ivaneau rouge (Lutjanus purpureus)"
	asked := only(t, k.say(fr, said))
	assert.NotContains(t, asked.Text, told)
	assert.Contains(t, only(t, k.tap(fr, private(fr), asked, "Vivaneau rouge")).Text, told)
	assert.Contains(t, only(t, k.say(fr, "vivaneau rouge 60 m 3 kg")).Text, told)
	assert.Contains(t, only(t, k.say(fr, "/names")).Text, told)
}
