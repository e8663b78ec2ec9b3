package understand

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/bot/understand/learned"
)

// outside are names of the gazetteer that nowhere mean a fish of the catalogue, each with
// all that it means.
func outside() (names []advisor.GazetteerName, means map[string][]string) {
	means = map[string][]string{}
	for _, n := range advisor.GazetteerNames() {
		means[n.Key] = append(means[n.Key], n.Taxon)
	}
	seen := map[string]bool{}
	for _, n := range advisor.GazetteerNames() {
		inside := slices.ContainsFunc(means[n.Key], func(taxon string) bool { return taxon == "-" || advisor.Catalogued(taxon) || kindOfCatalogue(taxon) })
		if !inside && !seen[n.Key] {
			seen[n.Key] = true
			names = append(names, n)
		}
	}
	return names, means
}

// kindOfCatalogue is true for a genus, family or larger kind: it may well be a fish inside.
func kindOfCatalogue(taxon string) bool { return !strings.Contains(taxon, " ") }

// bladders are the kinds of bladder of these fish, as far as they differ in the answer.
func bladders(taxa []string) (list []bool) {
	for _, taxon := range taxa {
		if s := advisor.LookUp(taxon); s != nil && !slices.Contains(list, s.TrapsGas()) {
			list = append(list, s.TrapsGas())
		}
	}
	return list
}

// A name outside the catalogue is never a fish inside, nor does it get the advice for
// another kind of bladder: 400 drawn at random, as they are asked at sea.
func TestNamesOutsideTheCatalogueStayOutside(t *testing.T) {
	all, means := outside()
	assert.Greater(t, len(all), 20000)
	rng := rand.New(rand.NewPCG(20261130, 400))
	reader := NewReader()
	inside, flipped, unheard := 0, 0, 0
	for range 400 {
		n := all[rng.IntN(len(all))]
		r := reader.Read(n.Name+" 3 kg 40 m", Setting{Language: n.Language}, learned.Context{})
		if len(r.Fish) != 1 || r.Fish[0].Query.Species == "" {
			unheard++
			t.Logf("not heard: %s (%s): %v", n.Name, n.Language, r.Fish)
			continue
		}
		q := r.Fish[0].Query
		if advisor.Catalogued(q.Species) {
			inside++
			t.Errorf("%s is %v, read as %s (%s)", n.Name, means[n.Key], q.Species, r.Fish[0].Name)
		}
		if s := advisor.Advise(q).Species; !slices.Contains(bladders(means[n.Key]), s.TrapsGas()) {
			flipped++
			t.Errorf("%s is %v, advised as %s (%s)", n.Name, means[n.Key], q.Species, r.Fish[0].Name)
		}
	}
	t.Logf("inside %d, advice of another bladder %d, not heard %d of 400", inside, flipped, unheard)
	assert.Less(t, unheard, 40)
}

// means is true where the catalogue, or somebody in a text from some place, calls a fish so.
func (b *nameBook) means(key, taxon string, place bool) bool {
	return slices.ContainsFunc(b.own[key], func(x sense) bool { return x.taxon == taxon && !x.part && (place || x.weight == weightName) })
}

// The same of the resolver alone, for every name that there is and with every region.
func TestEveryNameOutsideIsResolvedOutside(t *testing.T) {
	all, means := outside()
	for i, n := range all {
		region := advisor.Regions()[i%len(advisor.Regions())].Name
		for _, s := range []Setting{{}, {Language: n.Language}, {Language: n.Language, Region: region}} {
			r := Resolve(n.Name, s)
			if !assert.NotEmpty(t, r.Taxa, n.Name) || slices.Contains(means[n.Key], r.Taxa[0]) {
				continue
			}
			if !theNameBook().means(n.Key, r.Taxa[0], s.Region != "") {
				t.Errorf("%s is %v, resolved as %v in %v", n.Name, means[n.Key], r.Taxa, s)
			}
		}
	}
}

// A scientific name is that taxon, never a fish whose name is like a part of it: 300 of the
// gazetteer's drawn at random.
func TestScientificNamesAreTheirOwnFish(t *testing.T) {
	seen := map[string]bool{}
	var taxa []string
	for _, n := range advisor.GazetteerNames() {
		if strings.Contains(n.Taxon, " ") && !seen[n.Taxon] {
			seen[n.Taxon] = true
			taxa = append(taxa, n.Taxon)
		}
	}
	require.Greater(t, len(taxa), 1000)
	reader := NewReader()
	r := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		taxon := taxa[r.IntN(len(taxa))]
		fish := reader.Read(taxon+" 65 m 2kg", Setting{Language: "en"}, learned.Context{}).Fish
		if assert.NotEmpty(t, fish, taxon) {
			assert.Equal(t, advisor.Accepted(taxon), fish[0].Query.Species, taxon)
		}
	}
}
