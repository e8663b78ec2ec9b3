package understand

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot/understand/learned"
)

const dhufish = "Glaucosoma hebraicum"

// A name that was taught is that fish, is heard in a sentence, and is said to be taken so.
func TestTaughtNameIsHeard(t *testing.T) {
	s := Setting{Region: "Australia west", Names: Taught{TaughtKey("zorbie"): dhufish, TaughtKey("blue zorb"): dhufish}}
	for text, typed := range map[string]string{
		"zorbie 60m 5kg": "zorbie",
		"got two zorbies from 60 m, eyes popping": "zorbies",
		"log Zorbie 60 m sent down 40 oz":         "Zorbie",
		"blue zorb 60m":                           "blue zorb",
	} {
		r := NewReader().Read(text, s, learned.Context{})
		require.Len(t, r.Fish, 1, text)
		q := r.Fish[0].Query
		assert.Equal(t, dhufish, q.Species, text)
		assert.False(t, q.Ambiguous, text)
		assert.Equal(t, typed, q.Given, text)
	}
	plain := NewReader().Read("zorbie 60m 5kg", Setting{Region: "Australia west"}, learned.Context{})
	assert.Empty(t, plain.Fish[0].Query.Species, "nobody else is told")
}

// Neither an ordinary word nor the name of fish with another kind of bladder becomes a fish,
// even where an old store holds it.
func TestWhatMayNotBeTaught(t *testing.T) {
	for name, want := range map[string]Refusal{
		"boat": OrdinaryWord, "spot": OrdinaryWord, "deck": OrdinaryWord, "feet": OrdinaryWord, "weight": OrdinaryWord, "peso": OrdinaryWord, "released": OrdinaryWord,
		"herring": OtherKind, "bronze whaler": OtherKind, "flathead": OtherKind,
		"x": NoName, "": NoName, "45": NoName, "the one that got away last week": NoName,
		"zorbie": "", "blue zorb": "", "big lug": OrdinaryWord, "dhuie": "", "jewie zorb": "",
	} {
		assert.Equal(t, want, Teachable(name, dhufish), name)
		if want != "" {
			_, ok := Taught{TaughtKey(name): dhufish}.resolve(name)
			assert.False(t, ok, name)
		}
	}
}

func TestTeachingIsRead(t *testing.T) {
	s := Setting{Region: "Australia west"}
	for text, want := range map[string]Teaching{
		"dhuie is West Australian dhufish here":      {Name: "dhuie", Taxon: dhufish, Fish: "west australian dhufish", Here: true},
		"Zorbie means dhufish.":                      {Name: "zorbie", Taxon: dhufish, Fish: "dhufish", Outright: true},
		"zorbie = dhufish":                           {Name: "zorbie", Taxon: dhufish, Fish: "dhufish", Outright: true},
		"when I say zorbie I mean a dhufish":         {Name: "zorbie", Taxon: dhufish, Fish: "dhufish", Outright: true},
		"“zorbie” significa West Australian dhufish": {Name: "zorbie", Taxon: dhufish, Fish: "west australian dhufish", Outright: true},
		"por zorbie quero dizer dhufish":             {Name: "zorbie", Taxon: dhufish, Fish: "dhufish", Outright: true},
		"zorbie, c'est le dhufish ici":               {Name: "zorbie", Taxon: dhufish, Fish: "dhufish", Here: true},
		"zorbie is a dhufish":                        {Name: "zorbie", Taxon: dhufish, Fish: "dhufish"},
		"forget zorbie":                              {Name: "zorbie", Drop: true},
		"olvida el nombre zorbie":                    {Name: "zorbie", Drop: true},
		"esquece zorbie":                             {Name: "zorbie", Drop: true},
		"oublie le nom zorbie":                       {Name: "zorbie", Drop: true},
		"zorbie = none":                              {Name: "zorbie", Fish: "none", Drop: true, Outright: true},
		"zorbie means blubberwonk":                   {Name: "zorbie", Fish: "blubberwonk", Outright: true},
	} {
		got, ok := Teaches(text, s)
		assert.True(t, ok, text)
		assert.Equal(t, want, got, text)
	}
	for _, text := range []string{"zorbie 60 m", "", "swam off"} {
		_, ok := Teaches(text, s)
		assert.False(t, ok, text)
	}
}

// What people say of a fish in a talk teaches no name by itself.
func TestTalkTeachesNothing(t *testing.T) {
	for _, text := range []string{
		"it is a gag", "that one is a scamp", "the second is a red snapper", "my mate's is a gag", "this is a red grouper", "is it a gag",
		"the big one is a gag", "the sounder is gag", "mine was the gag, his is a scamp", "la mia es un mero", "o meu é um cherne", "le mien est un mérou",
		"what is a gag", "that is a gag here", "the biggest one was the gag here", "how heavy is a gag", "depth is 40 m", "what is dhufish", "snapper is red snapper",
	} {
		got, ok := Teaches(text, Setting{})
		assert.False(t, ok && got.IsTaughtPlainly(), "%s: %+v", text, got)
	}
	for _, text := range []string{"no 45, i mean gag", "sorry i mean gag", "scampy, i mean gag"} {
		_, ok := Teaches(text, Setting{})
		assert.False(t, ok, text)
	}
	got, _ := Teaches("zorbie is a gag", Setting{})
	assert.True(t, got.IsTaughtPlainly())
}

func TestLikeliestFishSoundAlikeOrAreMostToldOf(t *testing.T) {
	west := Setting{Region: "Australia west", Language: "en"}
	assert.Equal(t, dhufish, Likeliest("dhoofie", west, 4)[0])
	list := Likeliest("zorbie", west, 4)
	assert.Len(t, list, 4)
	assert.Contains(t, list, dhufish, "most told of there")
	assert.Len(t, Likeliest("zorbie", Setting{Language: "es"}, 3), 3)
	assert.NotEmpty(t, Likeliest("zorbie", Setting{Language: "pt", Region: "Brazil"}, 4))
}
