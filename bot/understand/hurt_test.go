package understand

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestSomebodyHurtIsHeard(t *testing.T) {
	hurt := []string{
		"hook in my hand", "ow ow hook thru my thumb past the barb", "spiked me, the scorpionfish", "my deckhand got stung by a lionfish",
		"me clavé el anzuelo en el dedo", "espetei o anzol no dedo", "je me suis planté l'hameçon dans le pouce", "man overboard",
		"hook in my eye", "somebody got a hook in the eye", "my mate has a hook in his eye", "hook in my mate's eye",
		"tengo un anzuelo en mi ojo", "anzol no meu olho", "l'hameçon est dans mon œil",
	}
	for _, s := range hurt {
		h := hearing{text: s, tokens: scan(fold(s))}
		assert.True(t, h.hurt(), s)
	}
	for _, s := range []string{
		"gag 40 m, hook in his throat, bleeding", "let it go by hand", "snapper with a hook in the lip, my mate caught it", "mero 40 m anzuelo en la boca, lo suelto a mano",
		"lâché à la main, l'hameçon dans la gueule", "garoupa 40 m com o anzol na boca", "200 feet down, my hands are cold",
		"gag 40 m, hook in his eye", "red snapper 45 m, hooked in the eye, bulging eyes", "mero 40 m anzuelo en el ojo",
	} {
		h := hearing{text: s, tokens: scan(fold(s))}
		assert.False(t, h.hurt(), s)
	}
}
