package understand

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestFishWhoseNameHasAnUnknownWordIsNotTheFirstOfItsKind(t *testing.T) {
	reader := NewReader()
	for _, c := range []struct {
		name, scientific string
		sure             bool
	}{
		{"yelloweye rockfish", "Sebastes ruberrimus", true},
		{"gag", "Mycteroperca microlepis", true},
		{"rougheye rockfish", "Sebastes aleutianus", true},
		{"mauve rockfish", "", false},
		{"Pagrus pagrus (Linnaeus, 1758)", "Pagrus pagrus", true},
		{"rockfish spp.", "", false},
		{"mero", "Epinephelus morio", false},
	} {
		scientific, sure := reader.SpeciesNamed(c.name, "")
		assert.Equal(t, c.scientific, scientific, c.name)
		assert.Equal(t, c.sure, sure, c.name)
	}
}
