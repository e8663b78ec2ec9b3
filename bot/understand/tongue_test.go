package understand

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestLanguageOf(t *testing.T) {
	for _, c := range []struct {
		text, language string
		sure           bool
	}{
		{"red snapper 45m 3kg eyes bulging", "en", true},
		{"pargo rojo 45 m 3 kg ojos saltones", "es", true},
		{"garoupa 60 metros 5 quilos barriga inchada", "pt", true},
		{"vivaneau rouge 45 m 3 kg yeux exorbités", "fr", true},
		{"mérou 60 m", "fr", false},
		{"gag 45 m 3 kg", "en", false},
		{"45 m", "", false},
		{"", "", false},
	} {
		language, sure := LanguageOf(c.text)
		assert.Equal(t, c.language, language, c.text)
		assert.Equal(t, c.sure, sure, c.text)
	}
}
