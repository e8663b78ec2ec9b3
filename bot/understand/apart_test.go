package understand

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
)

// apart is what a message says of one fish, in short.
type apart struct {
	name    string
	depth   float64
	kg      float64
	method  advisor.Method
	outcome advisor.Outcome
	signs   []advisor.Sign
}

// Each of several fish has its own depth, size and fate, however the sentence hands them out.
func TestFiguresAndFatesGoWhereTheSentencePutsThem(t *testing.T) {
	const stomach = advisor.EvertedStomach
	for text, c := range map[string]struct {
		lang string
		want []apart
	}{
		"starry rockfish plus a gopher, 130ft and 60ft": {"en", []apart{ // respectively
			{name: "starry rockfish", depth: 39.624}, {name: "gopher", depth: 18.288}}},
		"the mate has a scamp and I got a red hind, both from one forty feet, scamp's 5 lb, hind is tiny like a pound": {"en", []apart{
			{name: "scamp", depth: 42.672, kg: 2.268}, {name: "red hind", depth: 42.672, kg: 0.4536}}},
		"Large mouth nannygai from 70 metres and a red emperor same spot, nannygai 5 kilos red 8 kilos": {"en", []apart{
			{name: "Large mouth nannygai", kg: 5}, {name: "red emperor", kg: 8}}},
		"2 seabass 1 gag 1 red snapper. 80ft. Gag and red went down w a weight, bass i just tossed": {"en", []apart{
			{name: "seabass", method: advisor.Surface}, {name: "gag", method: advisor.Recompressed}, {name: "red snapper", method: advisor.Recompressed}}},
		"peguei 2 badejo e uma garoupa no 42 metro. garoupa desceu com o peso, um badejo foi embora, o outro boiou": {"pt", []apart{
			{name: "badejo", outcome: advisor.SwamDown}, {name: "garoupa", method: advisor.Recompressed}, {name: "badejo", depth: 42, outcome: advisor.FloatedOff}}},
		"two dhuies up from 48m, one about 9kg one maybe 4, big one has its guts out its mouth. whats the go": {"en", []apart{
			{name: "dhuies", depth: 48, kg: 9, signs: []advisor.Sign{stomach}}, {name: "dhuies", depth: 48, kg: 4}}},
		"2 gag 50m 2kg, 4kg": {"en", []apart{{name: "gag", depth: 50, kg: 2}, {kg: 4}}},
		"7 lb snowy, 4 lb tile. weights i got a 5lb thats it": {"en", []apart{
			{name: "snowy", kg: 3.1751}, {name: "tile", kg: 1.8144}}},
		"gallo san pedro y escorpora, los dos de 80m, al gallo le asoma la barriga por la boca": {"es", []apart{
			{name: "gallo san pedro", depth: 80, signs: []advisor.Sign{stomach}}, {name: "escorpora", depth: 80}}},
		"mero 40 m 3 kg, vivo": {"es", []apart{{name: "mero", depth: 40, kg: 3}}},
	} {
		r := hear(c.lang, text)
		require.Len(t, r.Fish, len(c.want), text)
		for i, w := range c.want {
			f := r.Fish[i]
			assert.Equal(t, w.name, f.Name, text)
			assert.Equal(t, w.method, f.Done.Method, text)
			assert.Equal(t, w.outcome, f.Done.Outcome, text)
			assert.ElementsMatch(t, w.signs, f.Query.Signs, text)
			for want, got := range map[float64]*float64{w.depth: f.Query.DepthM, w.kg: f.Query.WeightKg} {
				if want > 0 && assert.NotNil(t, got, text) {
					assert.InDelta(t, want, *got, 1e-3, text)
				}
			}
		}
	}
	assert.Equal(t, advisor.Strong, hear("es", "mero 40 m 3 kg, vivo").Fish[0].Query.Behaviour, "as the lists know it")
}

// Part of a count has its own fate, and the rest the other.
func TestPartOfACountHasItsOwnFate(t *testing.T) {
	r := hear("en", "4 bocaccio 300 ft descended all on the one 5 lb, two of the four floated")
	require.Len(t, r.Fish, 2)
	assert.Equal(t, 4, r.Fish[0].Query.Count, "of which the talk takes the others off")
	assert.Equal(t, 2, r.Fish[1].Query.Count)
	assert.Equal(t, advisor.FloatedOff, r.Fish[1].Done.Outcome)
	assert.Empty(t, r.Fish[0].Done.Outcome)
	assert.Equal(t, []float64{80}, r.Fish[1].Done.WeightsOz)
	r = hear("es", "4 huachinangos a 60m: uno de 3kg con 24oz se fue, otro de 2kg con 16oz bajó también")
	require.NotEmpty(t, r.Fish)
	assert.InDelta(t, 3, *r.Fish[0].Query.WeightKg, 1e-9, "three kilograms, not one of three")
}

// Which fish is meant is told by how it went with it too, by the weight that went on it, and
// never by words that are news.
func TestAFishIsToldByItsFate(t *testing.T) {
	for text, c := range map[string]struct {
		lang string
		want Which
	}{
		"the one that died was 14 kilo":    {"en", Which{End: advisor.Died}},
		"the dead one was 16 inches":       {"en", Which{End: advisor.Died}},
		"o que morreu media 38 cm":         {"pt", Which{End: advisor.Died}},
		"la gardée c'était 9 livres":       {"fr", Which{Kept: true}},
		"the big one was 14 kilo":          {"en", Which{Size: SizeBig}},
		"no, the gag was 45 cm":            {"en", Which{}},
		"the scamp that i caught was 4 lb": {"en", Which{}},
	} {
		r := hear(c.lang, text)
		require.NotEmpty(t, r.Fish, text)
		assert.Equal(t, c.want, r.Fish[0].Which, text)
	}
	r := hear("en", "3 lb on the big one, 2 on the other, both gone")
	require.Len(t, r.Fish, 2)
	assert.Equal(t, []float64{48}, r.Fish[0].Done.WeightsOz)
	assert.Equal(t, SizeBig, r.Fish[0].Which.Size)
	assert.True(t, r.Fish[1].Which.Other)
}

// A name is told more closely right behind it, cut short, or in pieces side by side.
func TestANameIsToldMoreClosely(t *testing.T) {
	for text, c := range map[string]struct{ lang, species string }{
		`strawberry grouper (speckled hind) 250ft 20" eyes way out`: {"en", "Epinephelus drummondhayi"},
		"caught a rockfish, black one I believe, 70 feet":           {"en", "Sebastes melanops"},
		"un pargo, el colorado, 40 m":                               {"es", "Lutjanus colorado"},
		"widow rock 240ft 3 lbs stomach coming out":                 {"en", "Sebastes entomelas"},
		"got a yelloweye rock 240ft 12lbs":                          {"en", "Sebastes ruberrimus"},
		"red snapper (my best yet) 40 m 3 kg":                       {"en", "Lutjanus campechanus"},
	} {
		r := hear(c.lang, text)
		require.NotEmpty(t, r.Fish, text)
		assert.Equal(t, c.species, r.Fish[0].Query.Species, text)
	}
}

// A second figure beside a depth with its unit is a size of which the unit is open, a sinker told
// without a unit is told in grams, and a weight is the fish's where the words say so.
func TestFiguresWithoutAUnitBesideOthers(t *testing.T) {
	for _, text := range []string{"25 m gag 12", "gag 25m, 12"} {
		r := hear("en", text)
		require.Len(t, r.Fish, 1, text)
		assert.InDelta(t, 25, *r.Fish[0].Query.DepthM, 1e-9, text)
		require.Len(t, r.Bare, 1, text)
		assert.Contains(t, []string{"weight_kg", "length_cm"}, r.Bare[0].Role, text)
	}
	assert.Equal(t, []float64{500}, hear("es", "no llevo pesos de esos, tengo un plomo de 500").Aboard.LeadG)
	r := hear("fr", "au fait le premier mesurait 62")
	require.Len(t, r.Bare, 1)
	assert.Equal(t, "length_cm", r.Bare[0].Role)
}

// A bare figure behind a name is like that of the fish before it, and no depth.
func TestABareSizeIsLikeThatOfTheFishBefore(t *testing.T) {
	r := hear("en", "snaps 40cm each tera 35", "snapper", "terakihi")
	require.Len(t, r.Fish, 2)
	assert.Nil(t, r.Fish[1].Query.DepthM)
	require.NotNil(t, r.Fish[1].Query.LengthCm)
	assert.InDelta(t, 35, *r.Fish[1].Query.LengthCm, 1e-9)
}

// Words that take back and then say what it was put right, and take nothing back.
func TestScrapThatItWasCorrects(t *testing.T) {
	r := hear("en", "scrap that the pinkie was 45 cm")
	assert.Equal(t, ActCorrection, r.Act)
	assert.Equal(t, WantUndo, hear("en", "scrap that").Want)
	r = hear("en", "scrap that it was 9 lb")
	assert.Equal(t, ActCorrection, r.Act)
	require.Len(t, r.Fish, 1)
	require.NotNil(t, r.Fish[0].Query.WeightKg)
	assert.InDelta(t, 4.0823, *r.Fish[0].Query.WeightKg, 1e-3)
}

func TestThanks(t *testing.T) {
	for text, want := range map[string]bool{"merci !": true, "thanks mate": true, "valeu!": true, "ok": false, "thanks, red snapper 40 m 3 kg stomach out what do i do": false} {
		assert.Equal(t, want, hear("en", text).IsThanks(), text)
	}
}
