package graph

import (
	"testing"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"github.com/stretchr/testify/assert"

	"deepward/advisor/packed"
)

func TestFacesArePackedAsTheLibraryHasThem(t *testing.T) {
	assert.True(t, string(liberationsansregular.TTF) == string(packed.Open(plainGzip)), "go generate ./advisor/graph")
	assert.True(t, string(liberationsansbold.TTF) == string(packed.Open(boldGzip)), "go generate ./advisor/graph")
}
