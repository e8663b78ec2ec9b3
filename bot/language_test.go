package bot_test

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot"
	"deepward/bot/words"
)

// As the server's language_code comes: with and without a country.
var (
	ines   = bot.Person{ID: 31, Name: "Inés", Language: "es-MX"}
	joao   = bot.Person{ID: 32, Name: "João", Language: "pt-br"}
	margot = bot.Person{ID: 33, Name: "Margot", Language: "fr"}
	olga   = bot.Person{ID: 34, Name: "Olga", Language: "de"}
)

func TestEachIsAnsweredInTheLanguageOfTheirProgram(t *testing.T) {
	for who, want := range map[bot.Person]string{ines: "DEVUÉLVELO AL FONDO", joao: "DEVOLVA AO FUNDO", margot: "RENVOIE-LE AU FOND", olga: "SEND IT DOWN"} {
		k := newTalk(t)
		assert.Contains(t, only(t, k.say(who, "gag 45m 3kg")).Text, want, who.Name)
		assert.Contains(t, only(t, k.tell(who, "gag 45m 3kg")).Text, want, "%s in a group", who.Name)
		m := k.message(who, bot.Chat{}, "")
		m.Inline, m.InlineID = "gag 45m 3kg", "inline"
		inline := k.take(m)
		require.Len(t, inline, 1)
		assert.Contains(t, inline[0].Text, want, "%s inline", who.Name)
		assert.Contains(t, inline[0].Title, want, "%s inline", who.Name)
	}
}

func TestAChosenLanguageGoesBeforeTheClubsAndThatBeforeTheProgram(t *testing.T) {
	k := newTalk(t)
	k.tell(ada, "/setup language fr")
	assert.Contains(t, only(t, k.tell(joao, "gag 45m 3kg")).Text, "RENVOIE-LE AU FOND")
	assert.Contains(t, only(t, k.say(joao, "gag 45m 3kg")).Text, "DEVOLVA AO FUNDO", "the club's language ends with its chat")
	k.say(joao, "minha língua espanhol")
	assert.Contains(t, only(t, k.tell(joao, "gag 45m 3kg")).Text, "DEVUÉLVELO AL FONDO")
}

func TestASharedReportIsInTheLanguageOfTheClub(t *testing.T) {
	k := newTalk(t)
	k.tell(ada, "/setup language fr")
	k.tell(joao, "gag 45m 3kg")
	kept := only(t, k.say(joao, "registo gag 45m 3kg devolvido ao fundo 40 oz desceu"))
	shared := k.tap(joao, private(joao), kept, "Compartilhar")
	var there []string
	for _, r := range shared {
		if r.Chat == club.ID {
			there = append(there, r.Text)
		}
	}
	if len(there) == 0 { // which club is asked first
		for _, r := range k.tap(joao, private(joao), shared[len(shared)-1], club.Title) {
			if r.Chat == club.ID {
				there = append(there, r.Text)
			}
		}
	}
	require.Len(t, there, 1)
	assert.Contains(t, there[0], "renvoyé au fond avec 40 oz")
}

func TestTheTaggerHearsInTheirOwnLanguage(t *testing.T) {
	k := newTalk(t)
	k.say(ines, "mis recapturas sí")
	k.say(ines, "registra gag 40 m 52 cm devuelto al fondo 40 oz marca AAD000123")
	k.now = k.now.AddDate(0, 0, 2)
	for _, r := range k.say(margot, "gag repris avec la marque AAD000123 à 41 m 53 cm") {
		if r.Chat == private(ines).ID {
			assert.Contains(t, r.Text, "2 días en libertad")
			return
		}
	}
	assert.Fail(t, "the tagger was not told")
}

// english are words that only English sentences of the catalogue have; names of
// commands stay as they are.
var english = regexp.MustCompile(`(^|[^\pL])(the|and|with|your|fish|weights?|send|sent|let|kept|from|about|is|are|of|it|this|that|not|at|to|down|was|what|which|has|have|my|rockfish|grouper|snapper|none|known|teeth|spines)([^\pL]|$)`)

// A day of every command: no sentence of another language slips in.
func TestNoEnglishSlipsIntoAnotherLanguage(t *testing.T) {
	for _, who := range []bot.Person{ines, joao, margot} {
		k := newTalk(t)
		for _, text := range []string{
			"/start", "/help", "gag 45m 3kg", "why", "how", "signs", "weights", "when not", "/card", "/kit 80m 10kg", "kit 40m",
			"conger 50m 6kg", "sole 30m", "pearl perch 70m", "nobodyfish 40m", "gag 5000m", "gag 45m 900kg", "gag 45m 900cm", "xyzfish 40m 500cm",
			"gag 12m 2kg strong", "3 gag 50m 2kg, 4kg and 5kg", "gag 45 3", "gag dead", "log gag 40m sent down 40 oz swam off tag AAD000123",
			"log gag 30m 2kg 120cm let go at the top", "/mine", "/undo", "/settings", "my weights 20 40 60", "my weights heavy", "/rules", "/rule x",
			"/season", "/season new A 2026-03-01 2026-09-30", "/summary", "/privacy", "/mydata", "/export", "/organiser", "/setup region moon", "/forget", "/foo", "hello there",
		} {
			for _, r := range append(k.say(who, text), k.tell(who, text)...) {
				said := quoted.ReplaceAllString(r.Text, "")
				assert.NotRegexp(t, english, said, "%s: %s", who.Language, text)
				for _, row := range r.Buttons {
					for _, b := range row {
						assert.NotRegexp(t, english, b.Label, "%s: %s", who.Language, text)
					}
				}
			}
		}
		assert.Equal(t, who.Language[:2], words.For(who.Language, false).Language())
	}
}

// quoted are the words of people and of commands, and names with the scientific one.
var quoted = regexp.MustCompile(`“[^”]*”|«[^»]*»|/setup [^·\n]*|/\S+|[^,\n]*\([A-Z][a-z]+ [a-z]+\)`)

// What the bot gives as an example must work when it is typed, in every language.
func TestExamplesInTheSentencesWork(t *testing.T) {
	for _, who := range []bot.Person{ada, ines, joao, margot} {
		v := words.For(who.Language, false)
		k := newTalk(t)
		_, example, _ := strings.Cut(v.Say("rules.how"), "\n/rule ")
		example, _, _ = strings.Cut(example, "\n")
		m := k.message(who, private(who), "/rule "+example)
		assert.Contains(t, only(t, k.take(m)).Text, "2026-05-01", example)

		_, ask, _ := strings.Cut(v.Say("hint.ask"), ":")
		assert.Regexp(t, `^[^\n]+40 oz`, only(t, k.say(who, ask)).Text, ask)

		_, log, _ := strings.Cut(v.Say("report.empty"), ":")
		k.say(who, log)
		list := k.reports()
		require.Len(t, list, 1, log)
		assert.Equal(t, advisor.Recompressed, list[0].Method, log)
		assert.Equal(t, advisor.SwamDown, list[0].Outcome, log)
		assert.Equal(t, 52.0, *list[0].LengthCm, log)
		assert.Equal(t, []float64{40}, list[0].WeightsOz, log)
	}
}

func TestARuleForAnUncertainNameAsksWhichFish(t *testing.T) {
	k := newTalk(t)
	assert.Contains(t, only(t, k.say(ines, "/rule mero; 61 cm; uno; capitanía; 2026-05-01")).Text, "Di cuál")
}

// Whoever names their weights in grams reads grams from then on.
func TestWeightsNamedInGramsAreSaidInGrams(t *testing.T) {
	k := newTalk(t)
	assert.Contains(t, only(t, k.say(joao, "meus pesos 500 g 1 kg")).Text, "500 g e 1 kg")
	said := only(t, k.say(joao, "pargo 45 m 3 kg olhos esbugalhados")).Text
	assert.Contains(t, said, "DEVOLVA AO FUNDO: 1 kg")
	assert.NotContains(t, said, "oz")
}

// Portuguese is Brazil's for a Brazilian program and in Brazilian water, else Portugal's.
func TestPortugueseIsOfThePersonsCountry(t *testing.T) {
	k := newTalk(t)
	assert.Contains(t, only(t, k.say(joao, "configurações")).Text, "As configurações")
	maria := joao
	maria.ID, maria.Language = 33, "pt-pt"
	assert.Contains(t, only(t, k.say(maria, "definições")).Text, "As definições")
	assert.Contains(t, only(t, k.say(maria, "minha região brasil")).Text, "minha região")
	assert.Contains(t, only(t, k.say(maria, "minha língua pt-br")).Text, "Português (Brasil)")
}

// The name that we took a fish for is never put into the person's mouth.
func TestFollowUpQuotesNoNameThatWasNotTyped(t *testing.T) {
	k := newTalk(t)
	assert.Contains(t, only(t, k.say(margot, "mérou 40 m")).Text, "«\u00a0mérou\u00a0»")
	after := only(t, k.say(margot, "et à 60 m ?")).Text
	assert.Contains(t, after, "Ce peut aussi être")
	assert.NotContains(t, after, "«")
}
