package main

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"deepward/bot/understand"
)

func TestFishWhoseNameHasAnUnknownWordIsNotTheFirstOfItsKind(t *testing.T) {
	reader := understand.NewReader()
	for _, c := range []struct {
		name, scientific string
		sure             bool
	}{
		{"yelloweye rockfish", "Sebastes ruberrimus", true},
		{"gag", "Mycteroperca microlepis", true},
		{"rougheye rockfish", "", false},
		{"rockfish spp.", "", false},
		{"mero", "Epinephelus morio", false},
	} {
		scientific, sure := fishNamed(reader, c.name, "")
		assert.Equal(t, c.scientific, scientific, c.name)
		assert.Equal(t, c.sure, sure, c.name)
	}
}
