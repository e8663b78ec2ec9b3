package understand

import (
	"bufio"
	"cmp"
	"encoding/csv"
	"encoding/json"
	"flag"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
)

// namedFish is one name of a labelled text, and what it means there.
type namedFish struct {
	set, language, place, name, species string
	unsure                              bool
}

// namedFishes reads the names of the labelled messages and talks.
func namedFishes(t *testing.T) (list []namedFish) {
	t.Helper()
	files, err := filepath.Glob("../../testdata/texts/*.jsonl")
	require.NoError(t, err)
	type said struct {
		Fish   []struct{ Name, Species *string }
		Unsure []string
		Said   map[string]json.RawMessage
	}
	for _, file := range files {
		f, err := os.Open(file)
		require.NoError(t, err)
		for lines := bufio.NewScanner(f); lines.Scan(); {
			var m struct {
				said
				Lang, Place string
				Turns       []said
			}
			require.NoError(t, json.Unmarshal(lines.Bytes(), &m))
			for _, s := range append(m.Turns, m.said) {
				for i, x := range s.Fish {
					var piece string
					if x.Name == nil && json.Unmarshal(s.Said[fmt.Sprintf("fish.%d.name", i)], &piece) == nil {
						x.Name = &piece
					}
					if x.Name != nil && x.Species != nil && *x.Name != "" {
						list = append(list, namedFish{strings.TrimSuffix(filepath.Base(file), ".jsonl"), cmp.Or(m.Lang, "en"), m.Place, *x.Name, advisor.Accepted(*x.Species), slices.Contains(s.Unsure, "species")})
					}
				}
			}
		}
		f.Close()
	}
	return list
}

var hearNames = flag.Bool("hear-names", false, "write the table of names heard in texts anew")

// onlyJudge is true for a set that nothing is learned from; testdata/texts/README.md has
// the list.
func onlyJudge(set string) bool {
	_, judged := judges[set]
	return judged || slices.Contains([]string{"talks_81", "talks_100", "talks_140", "talks_160", "talks_180", "talks_190", "talks_200", "talks_210", "talks_232"}, set)
}

// heardRows are the rows of the table of names heard that these would make.
func heardRows(list []namedFish) (rows [][]string) {
	times := map[[4]string]int{}
	for _, n := range list {
		if n.unsure {
			n.species = ""
		}
		times[[4]string{n.language, fold(n.name), n.place, n.species}]++
	}
	for k, n := range times {
		rows = append(rows, []string{k[0], k[1], k[2], k[3], strconv.Itoa(n)})
	}
	slices.SortFunc(rows, slices.Compare[[]string])
	return rows
}

// tally counts how names were resolved.
type tally struct{ right, first, wrongSure, of int }

func (c tally) String() string {
	share := func(n int) float64 { return 100 * float64(n) / float64(max(c.of, 1)) }
	return fmt.Sprintf("%5.1f %% sure and right, %5.1f %% first, %5.1f %% sure and wrong, of %d", share(c.right), share(c.first), share(c.wrongSure), c.of)
}

func (c *tally) count(r Resolved, species string) {
	c.of++
	if len(r.Taxa) > 0 && r.Taxa[0] == species {
		c.first++
		if r.Sure {
			c.right++
		}
	} else if r.Sure {
		c.wrongSure++
	}
}

// judgeNames resolves names with a book and tells by language how many are right, and how
// many of those that a careful reader left open are not sure.
func judgeNames(t *testing.T, b *nameBook, list []namedFish) (known map[string]*tally, open tally) {
	known = map[string]*tally{"all": {}}
	for _, n := range list {
		region, _ := FindRegion(n.place)
		r := b.resolve(n.name, Setting{Region: region, Language: n.language})
		if n.species == "" || n.unsure {
			open.count(Resolved{Taxa: []string{n.species}, Sure: !r.Sure}, n.species)
			continue
		}
		if known[n.language] == nil {
			known[n.language] = &tally{}
		}
		known[n.language].count(r, n.species)
		known["all"].count(r, n.species)
		if !r.Sure || len(r.Taxa) == 0 || r.Taxa[0] != n.species {
			logMiss(t, n, r)
		}
	}
	return known, open
}

// Names mean what they mean where they are used: what half of the sets tells of the names
// of a place helps with the other half, whose names nobody looked at.
func TestNamesHeardInHalfOfTheSetsMeanTheSameInTheOthers(t *testing.T) {
	var halves [2][]namedFish
	sets := map[string]int{}
	for _, n := range namedFishes(t) {
		if onlyJudge(n.set) {
			continue
		}
		if _, seen := sets[n.set]; !seen {
			sets[n.set] = len(sets)
		}
		halves[sets[n.set]%2] = append(halves[sets[n.set]%2], n)
	}
	for i, learn := range halves {
		for name, book := range map[string]*nameBook{"nothing heard": newNameBook(slices.All([][]string{})), "half heard": newNameBook(slices.All(heardRows(learn)))} {
			known, open := judgeNames(t, book, halves[1-i])
			for _, language := range slices.Sorted(maps.Keys(known)) {
				t.Logf("half %d, %-13s %-3s %s", i, name, language, known[language])
			}
			t.Logf("half %d, %-13s left open: %d of %d not sure", i, name, open.right, open.of)
			all := known["all"]
			if name == "half heard" {
				assert.Greater(t, float64(all.right)/float64(all.of), 0.83)
				assert.Less(t, float64(all.wrongSure)/float64(all.of), 0.02)
				assert.Greater(t, float64(open.right)/float64(open.of), 0.55)
			}
		}
	}
}

// The table of names heard is what the sets to learn from tell, and helps with those that
// only judge.
func TestNamesOfTheSetsThatOnlyJudge(t *testing.T) {
	var learn, judge []namedFish
	for _, n := range namedFishes(t) {
		if onlyJudge(n.set) {
			judge = append(judge, n)
		} else {
			learn = append(learn, n)
		}
	}
	rows := heardRows(learn)
	if *hearNames {
		writeHeard(t, rows)
	}
	known, open := judgeNames(t, newNameBook(slices.All(rows)), judge)
	for _, language := range slices.Sorted(maps.Keys(known)) {
		t.Logf("%-3s %s", language, known[language])
	}
	t.Logf("left open: %d of %d not sure", open.right, open.of)
	assert.Greater(t, float64(known["all"].first)/float64(known["all"].of), 0.85)
}

func writeHeard(t *testing.T, rows [][]string) {
	f, err := os.Create("data/names_heard.csv")
	require.NoError(t, err)
	defer f.Close()
	require.NoError(t, csv.NewWriter(f).WriteAll(append([][]string{{"language", "name", "place", "species", "times"}}, rows...)))
}

func logMiss(t *testing.T, n namedFish, r Resolved) {
	if *misses == "names" {
		t.Logf("miss|%s|%s|%s|%s|%s|sure=%v|%s|%s", n.set, n.language, n.place, n.name, n.species, r.Sure, strings.Join(r.Taxa[:min(3, len(r.Taxa))], ";"), r.Corrected)
	}
}

// What is certain of single names, by common practice in each place.
func TestResolve(t *testing.T) {
	in := func(region, language string) Setting { return Setting{Region: region, Language: language} }
	for _, c := range []struct {
		name string
		at   Setting
		want string
		sure bool
	}{
		{"red snapper", Setting{}, "Lutjanus campechanus", true},
		{"Red-Snappers", in("US Gulf of Mexico", "en"), "Lutjanus campechanus", true},
		{"yelow tail snaper", in("US Gulf of Mexico", "en"), "Ocyurus chrysurus", true},
		{"rays bream", in("NE Atlantic", "en"), "Brama brama", false},
		{"Ray’s Bream", in("NE Atlantic", "en"), "Brama brama", false},
		{"venus tuskfish", in("Australia east", "en"), "Choerodon venustus", true},
		{"california sheephead", Setting{}, "Semicossyphus pulcher", true},
		{"black drum", Setting{}, "Pogonias cromis", true},
		{"peixe-aranha", in("", "pt"), "Trachinus draco", false},
		{"canaries", in("US Pacific", "en"), "Sebastes pinniger", true},
		{"gorazes", in("Azores", "pt"), "Pagellus bogaraveo", true},
		{"pargo", in("Brazil north", "pt"), "Lutjanus purpureus", false},
		{"pargo", in("Brazil", "pt"), "Pagrus pagrus", false},
	} {
		r := Resolve(c.name, c.at)
		if assert.NotEmpty(t, r.Taxa, c.name) {
			assert.Equal(t, c.want, r.Taxa[0], "%s: %v", c.name, r)
			if c.sure {
				assert.True(t, r.Sure, "%s: %v", c.name, r)
			}
		}
	}
	assert.True(t, Resolve("mauve grouper", Setting{}).Qualifier)
	assert.False(t, Resolve("mauve grouper", Setting{}).Sure)
	assert.Empty(t, Resolve("xyzzy", Setting{}).Taxa)
	assert.Empty(t, Resolve("", Setting{}).Taxa)
}
