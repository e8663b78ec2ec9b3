package advisor

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// taxa are the scientific names of the whole gazetteer, in its order.
func taxa(t *testing.T) (list []string) {
	t.Helper()
	require.NoError(t, readRows(gazetteerTaxaCSV(), func(r *tableRow) { list = append(list, r.text("taxon")) }))
	return list
}

// The search by halves needs the rows in order, and must find each of them.
func TestEveryTaxonIsFound(t *testing.T) {
	list := taxa(t)
	assert.True(t, slices.IsSorted(list))
	assert.Len(t, list, 4606)
	for _, name := range list {
		s := LookUp(name)
		require.NotNil(t, s, name)
		assert.Equal(t, name, s.ScientificName)
	}
	for _, name := range []string{"", "Aaaa", "Zzzz", "taxon", "Sebastes", "lutjanus synagris", "Zu elongatus,", "\n"} {
		if s := taxonNamed(name); s != nil {
			assert.Equal(t, name, s.ScientificName)
		}
	}
	assert.Nil(t, taxonNamed("Lutjanus"+"\n"))
}

// Every fish of the gazetteer can be answered about: a bladder of a known kind, a shape,
// and a name in English that no other fish has.
func TestEveryTaxonIsUsable(t *testing.T) {
	english := map[string]string{}
	for _, name := range taxa(t) {
		s := LookUp(name)
		assert.Contains(t, []Bladder{BladderClosed, BladderOpen, BladderNone, BladderReduced, BladderUnknown}, s.Bladder, name)
		assert.NotEmpty(t, s.BladderSource, name)
		assert.Empty(t, english[s.EnglishName], "%s and %s", english[s.EnglishName], name)
		english[s.EnglishName] = name
		assert.Equal(t, name, InEnglish(s.EnglishName).ScientificName)
		if s.Family != "" && name != "Paralabrax clathratus" { // of which data/README.md tells
			assert.NotZero(t, s.LWa, "%s (%s) has no shape", name, s.Family)
		}
		if most := s.MaxWeightKg(); s.MaxLengthCm > 0 {
			assert.Positive(t, most, name)
		}
	}
}

// Kinds by what is known of them: scorpaenids and lionfish, jacks and mackerels differ
// within a family; the sources stand in data/gazetteer_taxa.csv.
func TestTaxaOutsideTheCatalogue(t *testing.T) {
	for name, want := range map[string]Bladder{
		"Trachinus draco": BladderNone, "Anguilla anguilla": BladderOpen, "Brama brama": BladderNone,
		"Acanthistius ocellatus": BladderNone, "Acanthistius cinctus": BladderNone, "Lota lota": BladderClosed,
		"Synanceia verrucosa": BladderUnknown, "Aplodactylus arctidens": BladderNone, "Choerodon venustus": BladderClosed,
	} {
		s := LookUp(name)
		require.NotNil(t, s, name)
		assert.Equal(t, want, s.Bladder, name)
	}
	s := LookUp("Choerodon venustus")
	assert.Equal(t, "Labridae", s.Family)
	assert.InDelta(t, 65, s.MaxLengthCm, 1, "FishBase 0.2.1")
	assert.Contains(t, s.Seas, "W Pac", "FAO area 71")
	assert.True(t, strings.HasPrefix(s.LWSource, "BORROWED from Labridae"))
}

// Danger goes with the kind of fish, also where only the gazetteer knows it.
func TestDangersAreToldFirst(t *testing.T) {
	for name, want := range map[string]NoteCode{
		"Synanceia verrucosa": CautionDeadly, "Trachinus draco": CautionVenom, "Siganus fuscescens": CautionVenom,
		"Gymnothorax moringa": CautionBite, "Torpedo torpedo": CautionShock, "Acanthurus coeruleus": CautionBlade,
		"Sphyraena barracuda": CautionBite, "Dasyatis pastinaca": CautionTail, "Pterois volitans": CautionVenom,
		"Scorpaena scrofa": CautionVenom, "Ariopsis felis": CautionVenom, "Conger conger": CautionBite,
	} {
		require.NotNil(t, LookUp(name), name)
		a := Advise(Query{Species: name, Capture: Capture{DepthM: new(40.0), WeightKg: new(1.0)}, Count: 1})
		assert.Equal(t, want, a.Cautions[0].Code, name)
	}
	a := Advise(Query{Species: "Lutjanus campechanus", Capture: Capture{DepthM: new(40.0)}, Count: 1})
	assert.False(t, Grave(a.Cautions[0].Code))
}

// Every danger that the table tells has a sentence, or is none of the grave ones.
func TestDangersAreOfKnownKinds(t *testing.T) {
	require.NoError(t, readRows(dangersCSV, func(r *tableRow) {
		kind := Danger(r.text("danger"))
		_, grave := dangerCautions[kind]
		assert.True(t, grave || kind == "spines" || kind == "none", "%s: %s", r.text("taxon"), kind)
		assert.NotEmpty(t, r.text("source"), r.text("taxon"))
		assert.NotEmpty(t, r.text("hazard"), r.text("taxon"))
	}))
}

// What is seen goes before anatomy: a conger that floats has not let its gas out. A fish
// without a bladder has none to keep.
func TestAFishThatFloatsIsSentDownThoughItCouldVent(t *testing.T) {
	ask := func(species string, b Behaviour, signs ...Sign) Action {
		return Advise(Query{Species: species, Capture: Capture{DepthM: new(50.0), WeightKg: new(6.0), Behaviour: b, Signs: signs}, Count: 1}).Action
	}
	assert.Equal(t, ActSurface, ask("Conger conger", ""))
	assert.Equal(t, ActRecompress, ask("Conger conger", Floating))
	assert.Equal(t, ActRecompress, ask("Conger conger", "", EvertedStomach))
	assert.Equal(t, ActRecompress, ask("Salvelinus namaycush", Floating))
	assert.Equal(t, ActSurface, ask("Paralichthys dentatus", Floating))
}

// A kind of which nobody knows the bladder is answered as the unknown fish, and says so.
func TestAnUnknownBladderIsSaid(t *testing.T) {
	a := Advise(Query{Species: "Psettodes erumei", Capture: Capture{DepthM: new(40.0)}, Count: 1})
	assert.Equal(t, ActRecompress, a.Action)
	assert.True(t, hasCode(a.Assumed, AssumedBladder))
}

func BenchmarkLookUpOutsideTheCatalogue(b *testing.B) {
	for b.Loop() {
		LookUp("Choerodon venustus")
	}
}

// A Portuguese word that ends in -ao or -oes has lost its tilde on the way, as in a table of
// plain letters.
func TestPortugueseNamesHaveTheirTildes(t *testing.T) {
	lost := regexp.MustCompile(`(?i)(ao|oes)\b`)
	n := 0
	mustReadRows("gazetteer taxa", gazetteerTaxaCSV(), func(r *tableRow) {
		if name := r.text("pt"); name != "" {
			n++
			assert.NotRegexp(t, lost, name)
		}
	})
	assert.Greater(t, n, 1000)
}
