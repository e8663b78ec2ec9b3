package understand

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot/understand/learned"
)

// told is what a message says of one fish, in short.
type told struct {
	name  string
	signs []advisor.Sign
	end   advisor.Outcome
	oz    []float64
	kg    float64
}

// Each of several fish has what is said of it: by its name, by a part of it, as one of those
// counted, or as the other of its kind.
func TestEachOfSeveralFishHasItsOwn(t *testing.T) {
	const belly, stomach = advisor.BloatedBelly, advisor.EvertedStomach
	for text, c := range map[string]struct {
		lang   string
		talked []string
		want   []told
	}{
		"un mékoua et deux vivaneaux blancs, 150 m, les blancs sont gonflés, mekoua en forme": {"fr", nil, []told{
			{name: "mékoua"}, {name: "vivaneaux blancs", signs: []advisor.Sign{belly}}}},
		"dois gorazes e uma boca negra, 350 m, gorazes com o estômago na boca": {"pt", nil, []told{
			{name: "gorazes", signs: []advisor.Sign{stomach}}, {name: "boca negra"}}},
		"Un besugo y un abadejo, los dos de 90 metros, ojos saltones los dos": {"es", nil, []told{
			{name: "besugo", signs: []advisor.Sign{advisor.BulgingEyes}}, {name: "abadejo", signs: []advisor.Sign{advisor.BulgingEyes}}}},
		"put down 2 beeliners 130ft, on the 1 lb, one good one floated. trigger same place was fine just threw him, he swam down": {"en", nil, []told{
			{name: "beeliners", end: advisor.SwamDown, oz: []float64{16}}, {name: "beeliners", end: advisor.FloatedOff, oz: []float64{16}}, {name: "trigger", end: advisor.SwamDown}}},
		"thiof à la pierre, parti au fond. un pagre à la main, il a plongé. l'autre pagre un dauphin l'a pris": {"fr", []string{"thiof", "pagres"}, []told{
			{name: "thiof", end: advisor.SwamDown}, {name: "pagre", end: advisor.SwamDown}, {name: "pagre", end: advisor.TakenByOther}}},
		"faneca a 80 m com peso de 200 g, flutuou; besugo mesmo fundo, peso de 300, nadou para baixo": {"pt", nil, []told{
			{name: "faneca", end: advisor.FloatedOff, oz: []float64{7.0548}}, {name: "besugo", end: advisor.SwamDown, oz: []float64{10.5822}}}},
		"já foram! piraúna no peso de mergulho de 1 quilo, badejo no de 2": {"pt", nil, []told{
			{name: "piraúna", end: advisor.SwamDown, oz: []float64{35.274}}, {name: "badejo", oz: []float64{70.5479}}}},
		"2 lakers outa 160 ft of water jigging, 6 lb and like 11. small one is burping air other one swole up": {"en", nil, []told{
			{name: "lakers", kg: 2.72155}, {name: "lakers", kg: 4.98952, signs: []advisor.Sign{belly}}}},
	} {
		r := hear(c.lang, text, c.talked...)
		require.Len(t, r.Fish, len(c.want), text)
		for i, w := range c.want {
			f := r.Fish[i]
			assert.Equal(t, w.name, f.Name, text)
			assert.ElementsMatch(t, w.signs, f.Query.Signs, text)
			assert.Equal(t, w.end, f.Done.Outcome, text)
			assert.Equal(t, w.oz, f.Done.WeightsOz, text)
			if w.kg > 0 {
				require.NotNil(t, f.Query.WeightKg, text)
				assert.InDelta(t, w.kg, *f.Query.WeightKg, 1e-4, text)
				assert.NotNil(t, f.Query.DepthM, text)
			}
		}
	}
}

// Each fish has the words for the weight that it went with, and "both" may be a weight.
func TestEachFishHasItsPick(t *testing.T) {
	for text, c := range map[string]struct {
		lang string
		want []Pick
	}{
		"pouatte avec la grosse parti direct. un bossu avec la petite ok": {"fr", []Pick{PickHeaviest, PickLightest}},
		"mero com os dois, garoupa com o mais leve":                       {"pt", []Pick{PickTogether, PickLightest}},
	} {
		r := hear(c.lang, text, "pouatte", "bossu", "mero", "garoupa")
		require.Len(t, r.Fish, 2, text)
		assert.Equal(t, c.want, []Pick{r.Fish[0].Pick, r.Fish[1].Pick}, text)
	}
}

// Weights are counted, joined and told without their unit.
func TestWeightsAreCounted(t *testing.T) {
	for text, c := range map[string]struct {
		lang string
		want []float64
	}{
		"goldie 95m sent down w 2x20oz swam off":                             {"en", []float64{20, 20}},
		"hapuku 180 m, sent it down on two 3 lb weights, never saw it again": {"en", []float64{48, 48}},
		"mero 80 m bajado con dos pesas de 2 lb, se fue":                     {"es", []float64{32, 32}},
		"lieu 62 m descendu avec un plomb de 300, parti":                     {"fr", []float64{10.5822}},
	} {
		r := hear(c.lang, text)
		require.Len(t, r.Fish, 1, text)
		assert.Equal(t, c.want, r.Fish[0].Done.WeightsOz, text)
	}
	r := hear("pt", "há um peso de ginásio de 4 kg e um de 2")
	assert.Equal(t, []float64{4000, 2000}, r.Aboard.LeadG)
}

// The words beside a weight are remembered for what serves as one; sizes, units and words for
// weights are none.
func TestThingsThatServeAsAWeight(t *testing.T) {
	r := hear("en", "homemade milk crate rig with 12 pounds in it", "yelloweye")
	assert.Contains(t, r.Things, "crate")
	assert.NotContains(t, r.Things, "pounds")
	for text, thing := range map[string]string{
		"the crate is more like 15": "crate", "crate's more like 15 with the chain": "crate",
	} {
		read := NewReader().Read(text, Setting{Language: "en", Things: r.Things, Talked: []string{"yelloweye"}}, learned.Context{Begun: true, Kept: true, Last: "report"})
		assert.Equal(t, thing, read.Thing, text)
	}
}

// Half a kilo is a weight; half that size is the size of another fish.
func TestHalfOfAnotherFish(t *testing.T) {
	r := hear("en", "puka bout 15kg from 220m and another half that size on the same dropper")
	require.Len(t, r.Fish, 2)
	assert.Nil(t, r.Fish[1].Query.WeightKg)
	assert.Equal(t, 0.5, r.Fish[1].Times)
	r = hear("en", "scup 20 m, half a pound, belly tight")
	require.Len(t, r.Fish, 1)
	assert.Zero(t, r.Fish[0].Times)
	assert.InDelta(t, 0.2268, *r.Fish[0].Query.WeightKg, 1e-4)
}
