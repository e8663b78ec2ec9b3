package importer

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// namers is options with more fish, by names of the trade.
func namers() Options {
	o := options()
	known := map[string]string{
		"gag": "Mycteroperca microlepis", "scamp": "Mycteroperca phenax", "red snapper": "Lutjanus campechanus", "mero": "Epinephelus morio",
		"red grouper": "Epinephelus morio", "black": "Sebastes melanops", "black and yellow rockfish": "Sebastes chrysomelas", "mahi": "Coryphaena hippurus",
		"7 line snapper": "Lutjanus notatus",
	}
	unsure := map[string]bool{"mero": true, "black": true}
	o.FindSpecies = func(name string) (string, bool) {
		name = strings.ToLower(name)
		return known[name], known[name] != "" && !unsure[name]
	}
	return o
}

func fishOf(t *testing.T, cell string) *Sheet {
	t.Helper()
	return sheetOf(t, "Date;Fish;Depth (m)\n2025-03-04;"+cell+";40\n", namers())
}

// Two names in one cell are two fish, or one that nobody is sure of: neither is taken for
// the first unasked.
func TestSeveralNamesInACellAreAskedAbout(t *testing.T) {
	for cell, names := range map[string][]string{
		"gag / scamp": {"gag", "scamp"}, "Gag/Scamp": {"Gag", "Scamp"}, "gag & scamp": {"gag", "scamp"}, "gag & scamp x2": {"gag", "scamp"}, "gag + scamp": {"gag", "scamp"},
		"gag and scamp": {"gag", "scamp"}, "gag, scamp": {"gag", "scamp"}, "gag y scamp": {"gag", "scamp"}, "gag e scamp": {"gag", "scamp"},
		"gag et scamp": {"gag", "scamp"}, "gag or scamp": {"gag", "scamp"}, "gag ou scamp": {"gag", "scamp"}, "gag / mero / scamp": {"gag", "mero", "scamp"},
		"red snapper (scamp)": {"red snapper", "scamp"},
	} {
		s := fishOf(t, cell)
		require.Len(t, s.Questions, 1, cell)
		q := s.Questions[0]
		assert.Contains(t, q.Asks(), "names several fish (1 lines)", cell)
		var offered []string
		for _, c := range q.Choices {
			offered = append(offered, c.Value)
		}
		assert.Equal(t, append(names, leaveOut), offered, cell)
		require.Len(t, s.Rows, 1)
		assert.Empty(t, s.Rows[0].Entries, "%s is not taken before it is answered", cell)
		assert.Empty(t, s.Rows[0].Problems, cell)
		assert.ErrorIs(t, s.Ready(), ErrAsk)
	}
}

func TestAnswersSettleWhichFishACellNames(t *testing.T) {
	text := "Date,Fish,Depth (m)\n2025-03-04,gag / scamp,40\n2025-03-05,gag / scamp,41\n"
	for answer, want := range map[string][2]string{
		"1": {"Mycteroperca microlepis", "gag"}, "scamp": {"Mycteroperca phenax", "scamp"}, "3": {"", ""}, "red snapper": {"Lutjanus campechanus", "red snapper"},
	} {
		talk, err := NewTalk(strings.NewReader(text), "log.csv", namers(), nil)
		require.NoError(t, err)
		require.NoError(t, talk.Answer(answer))
		require.Nil(t, talk.Next(), answer)
		n := 0
		for e := range talk.Sheet().Entries() {
			assert.Equal(t, want, [2]string{e.Report.Species, e.Report.SpeciesGiven}, answer)
			n++
		}
		assert.Equal(t, 2, n, answer)
	}
}

func TestTwoNamesOfOneFishAreOneFish(t *testing.T) {
	for cell, want := range map[string]string{
		"Gag (Mycteroperca microlepis)": "Mycteroperca microlepis", "Mycteroperca microlepis (gag)": "Mycteroperca microlepis",
		"mero / red grouper": "Epinephelus morio", "Mero (red grouper)": "Epinephelus morio", "red grouper & mero": "Epinephelus morio",
		"gag (undersized)": "Mycteroperca microlepis", "that one (mahi)": "Coryphaena hippurus", "black and yellow rockfish": "Sebastes chrysomelas",
	} {
		s := fishOf(t, cell)
		require.NoError(t, s.Ready(), cell)
		require.Len(t, s.Rows[0].Entries, 1, cell)
		r := s.Rows[0].Entries[0].Report
		assert.Equal(t, want, r.Species, cell)
		assert.True(t, r.SpeciesSure, cell)
		assert.Equal(t, cell, r.SpeciesGiven)
	}
}

// A sign between two names of which one is not known leaves the fish open: it is not the
// other one.
func TestANameBesideAnUnknownOneIsNotSure(t *testing.T) {
	o := namers()
	find := o.FindSpecies
	o.FindSpecies = func(name string) (string, bool) {
		if name == "gag / blue thing" {
			return "Mycteroperca microlepis", true // a finder that reads what it can
		}
		return find(name)
	}
	r := only(t, "Date,Fish,Depth (m)\n2025-03-04,gag / blue thing,40\n", o)
	assert.False(t, r.SpeciesSure)
	assert.Equal(t, "gag / blue thing", r.SpeciesGiven)
}

func TestANumberBesideANameCountsFish(t *testing.T) {
	for cell, n := range map[string]int{
		"gag": 1, "gag x2": 2, "gag x 3": 3, "gag (x3)": 3, "Gag ×2": 2, "gag * 4": 4, "2 gag": 2, "2x gag": 2, "12 x gag": 12, "7 line snapper": 1,
	} {
		s := fishOf(t, cell)
		require.NoError(t, s.Ready(), cell)
		assert.Len(t, s.Rows[0].Entries, n, cell)
		for _, e := range s.Rows[0].Entries {
			assert.True(t, e.Report.SpeciesSure, cell)
			if n > 1 {
				assert.Equal(t, "gag", strings.ToLower(e.Report.SpeciesGiven))
			}
		}
	}
	s := fishOf(t, "2 blue things")
	require.Len(t, s.Rows[0].Entries, 1, "a number before a name that nobody knows may be part of it")
	assert.Equal(t, "2 blue things", s.Rows[0].Entries[0].Report.SpeciesGiven)

	s = sheetOf(t, "Date,Fish,Depth (m),Tag\n2025-03-04,gag x2,40,A1\n", namers())
	require.Len(t, s.Rows[0].Problems, 1)
	assert.Equal(t, `line 2, Fish: "gag x2" fish cannot all wear one tag`, s.Rows[0].Problems[0].String())

	s = sheetOf(t, "Date,Fish,Count,Depth (m)\n2025-03-04,gag x2,3,40\n", namers())
	assert.Len(t, s.Rows[0].Entries, 3, "a column of its own counts")
}

// What anglers catch and is no fish, in four languages; names from memory.
func TestWhatIsNoFishIsRefusedByName(t *testing.T) {
	for _, name := range []string{
		"sea lion", "California sea lion", "Sea Lions", "seal", "harbor seal", "dolphin, bottlenose dolphin", "bottlenose dolphin", "gull", "Herring Gull", "Loggerhead turtle", "turtle",
		"blue crab", "squid", "octopus", "pelican", "manatee", "otter", "lobster", "shark sucker turtle",
		"lobo marino", "León marino", "foca", "delfín", "gaviota", "tortuga", "tortuga caguama", "cangrejo", "jaiba", "calamar", "pulpo", "pelícano", "tonina", "sepia",
		"leão-marinho", "lobo-marinho", "foca", "golfinho", "boto", "gaivota", "tartaruga", "tartaruga cabeçuda", "caranguejo", "siri", "lula", "polvo", "choco", "atobá",
		"lion de mer", "otarie", "phoque", "dauphin", "goéland", "mouette", "tortue", "tortue caouanne", "crabe", "calmar", "encornet", "poulpe", "pieuvre", "seiche", "fou de Bassan",
		"Caretta caretta", "Zalophus californianus", "Tursiops truncatus", "Octopus vulgaris",
	} {
		s := fishOf(t, name)
		require.Len(t, s.Rows[0].Problems, 1, name)
		assert.Contains(t, s.Rows[0].Problems[0].String(), "is no fish", name)
		assert.Empty(t, s.Rows[0].Entries, name)
	}
	for _, name := range []string{"gag", "sea bass", "bird wrasse", "turtle grouper", "Sheepshead", "seal shark", "sea robin", "dolphinfish", "lion snapper", "peixe lobo"} {
		assert.False(t, isNoFish(name), name)
	}
}

func TestAnUnknownNameIsKeptAndTold(t *testing.T) {
	s := sheetOf(t, "Date,Fish,Depth (m)\n2025-03-04,blue thing,40\n2025-03-04,blue thing,41\n", namers())
	require.NoError(t, s.Ready())
	assert.Equal(t, "blue thing", s.Rows[1].Entries[0].Report.SpeciesGiven)
	assert.Empty(t, s.Rows[1].Entries[0].Report.Species)
	require.NotEmpty(t, s.Notes)
	assert.Contains(t, s.Notes[0].String(), `"blue thing" (2 lines)`)
}
