package understand

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"deepward/bot/understand/learned"
)

func TestNamelessMessagesTellNobodyAndNoPlace(t *testing.T) {
	for text, want := range map[string]string{
		"wonkle 60m 5kg stomach out":                       "wonkle 60m 5kg stomach out",
		"Wonkle 60m 5kg with Bob Fenwright":                "Wonkle 60m 5kg with …",
		"caught with bob at 45 m, gag 3 kg":                "caught with … at 45 m, gag 3 kg",
		"gag 45 3kg off Zarrow Head":                       "gag 45 3kg off …",
		"gag 40 m near zarrow, tag AAD000123":              "gag 40 m near …, tag …",
		"gag at 31.2345 S 18.6543 W 40m":                   "gag at … 40m",
		"gag 40m 3kg call 0412 345 678 or ada@example.org": "gag 40m 3kg call … 345 678 or …",
		"log Bob Smith 40 m":                               "log … 40 m",
		"Dave's gag 40 m 3kg, milkcrate aboard":            "… gag 40 m 3kg, … aboard",
		"2026-05-01 gag 45 m 1200 g":                       "… gag 45 m 1200 g",
		"María pescó un mero a 60 brazas":                  "… pescó un mero a 60 brazas",
		"João soltou o cherne aos 50 m":                    "… soltou o cherne aos 50 m",
		"Le mérou d'Hélène vient de 40 m":                  "Le mérou d'… vient de 40 m",
		"two snapper 40-45m, 3/4 kg":                       "two snapper 40-45m, 3/4 kg",
	} {
		r := NewReader().Read(text, Setting{}, learned.Context{})
		assert.Equal(t, want, Nameless(text, r), text)
	}
}

func TestFigurelessTextsAreAlike(t *testing.T) {
	assert.Equal(t, Figureless("Gag 45 3kg"), Figureless("gag 60  4,5kg"))
	assert.Equal(t, "gag # #kg", Figureless("Gag 45 3kg"))
}
