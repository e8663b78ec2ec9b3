package understand

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"deepward/advisor"
)

func TestWordsThatStandApartAreReadTogether(t *testing.T) {
	for text, want := range map[string][]advisor.Sign{
		"mero 40 m al pobre se le salen mucho los ojos":         {advisor.BulgingEyes},
		"mero 40 m ojos un poco inflados, barriga normal":       {advisor.BulgingEyes},
		"mérou 40 m le ventre est bien dur":                     {advisor.BloatedBelly},
		"garoupa 40 m tripa toda pra fora por trás":             {advisor.ProlapsedIntestine},
		"gag 40 m guts are hanging right out of its mouth":      {advisor.EvertedStomach},
		"mero 40 m no le salen los ojos":                        {},
		"mérou 40 m les yeux ne sont pas sortis":                {},
		"gag 40 m eyes fine, line hanging over the side":        {},
		"mero 40 m barriga hinchada pero los ojos están normal": {advisor.BloatedBelly},
	} {
		m := NewReader().Understand(text, Setting{})
		assert.ElementsMatch(t, want, m.Query.Signs, text)
	}
}

func TestWhatWasDoneIsReadAroundTheFish(t *testing.T) {
	for text, want := range map[string]advisor.Method{
		"mandé un mero de 3 kg y 40 m otra vez al fondo":  advisor.Recompressed,
		"soltei a garoupa de 40 m lá em cima":             advisor.Surface,
		"let a 50 cm gag from 20 m go at the top":         advisor.Surface,
		"remis le mérou de 40 m tout de suite au fond":    advisor.Recompressed,
		"devolvi a cioba de 40 m com um chumbo de 1,2 kg": advisor.Recompressed,
	} {
		m := NewReader().Understand(text, Setting{Language: "pt"})
		assert.Equal(t, Report, m.Kind, text)
		assert.Equal(t, want, m.Done.Method, text)
	}
}

func TestALeadIsNoFish(t *testing.T) {
	m := NewReader().Understand("devolvi a cioba de 40 m com um chumbo de 1,2 kg", Setting{Language: "pt"})
	assert.Nil(t, m.Query.WeightKg)
	assert.InDelta(t, 42.3, m.Done.WeightsOz[0], 0.1) // 1,200 g at 28.35 g an ounce
}

func TestAskingForTheFishIsNoCommand(t *testing.T) {
	for _, text := range []string{"show me a gag", "delete the photos from last week", "quiero ver el partido", "como esta el mar", "annule la sortie de samedi"} {
		assert.NotEqual(t, Command, NewReader().Understand(text, Setting{}).Kind, text)
	}
}
