package advisor

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestGasIsThatOfSpeciesThenGenusThenFamily(t *testing.T) {
	for name, kind := range map[string]string{
		"Chrysophrys auratus":  "snapper-like sparid", // species
		"Pagrus pagrus":        "snapper-like sparid", // family
		"Glaucosoma scapulare": "pearl perch",         // species
		"Glaucosoma hebraicum": "general",             // its family has none
		"Gadus morhua":         "cod",                 // genus
		"Molva molva":          "cod",                 // family
		"Sebastes ruberrimus":  "rockfish",
		"Epinephelus morio":    "grouper",
		"Polyprion americanus": "grouper",
		"Lutjanus campechanus": "snapper",
		"Sciaenops ocellatus":  "croaker",
		"Seriola dumerili":     "jack",
		"Balistes capriscus":   "general",
	} {
		assert.Equal(t, kind, LookUp(name).Gas().Kind, name)
	}
	assert.Equal(t, "general", General().Gas().Kind)
	assert.Equal(t, "cod", (&Species{Family: "Gadidae"}).Gas().Kind, "a family alone will do")
}

func TestGasHasHonestRanges(t *testing.T) {
	for taxon, g := range gasTable() {
		assert.True(t, slices.IsSorted([]float64{0.03, g.FLow, g.F, g.FHigh, 0.07}), "%s: f of the sea", taxon)
		assert.True(t, slices.IsSorted([]float64{1.9, g.RuptureLow, g.Rupture, g.RuptureHigh, 4.5}), "%s: rupture", taxon)
		assert.True(t, slices.IsSorted([]float64{0, g.KeptLow, g.Kept, g.KeptHigh, 1}), "%s: kept", taxon)
		assert.Less(t, g.FLow, g.FHigh, taxon)
		assert.Contains(t, g.Source, "gas kept: ASSUMED", "%s: nobody has measured it", taxon)
	}
}

// The card and the kit group species by kind: one kind, one set of figures.
func TestOneKindOneGas(t *testing.T) {
	byKind := map[string]Gas{}
	for taxon, g := range gasTable() {
		g.Source = ""
		if other, seen := byKind[g.Kind]; seen {
			assert.Equal(t, other, g, taxon)
		}
		byKind[g.Kind] = g
	}
}

func TestEveryTaxonOfTheGasTableIsInTheCatalogue(t *testing.T) {
	for taxon := range gasTable() {
		found := taxon == "" || LookUp(taxon) != nil || slices.ContainsFunc(Catalogue(), func(s *Species) bool {
			return s.ScientificName == taxon || strings.HasPrefix(s.ScientificName, taxon+" ") || s.Family == taxon
		})
		assert.True(t, found, taxon)
	}
}

func TestExpansionFollowsBoyleUntilTheBladderBursts(t *testing.T) {
	g := Gas{Rupture: 2.5, Kept: 0.2}
	assert.Equal(t, 1.0, g.Expansion(1))
	assert.Equal(t, 2.5, g.Expansion(2.5))
	assert.InDelta(t, 2.5+0.2*2.5, g.Expansion(5), 1e-12)
}
