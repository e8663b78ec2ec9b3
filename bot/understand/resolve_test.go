package understand

import (
	"bufio"
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

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
				for _, x := range s.Fish {
					if x.Name != nil && x.Species != nil && *x.Name != "" {
						list = append(list, namedFish{filepath.Base(file), cmp.Or(m.Lang, "en"), m.Place, *x.Name, advisor.Accepted(*x.Species), slices.Contains(s.Unsure, "species")})
					}
				}
			}
		}
		f.Close()
	}
	return list
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

// Names mean what they mean where they are used: what half of the sets tells of the names
// of a place helps with the other half, whose names nobody looked at.
func TestNamesHeardInHalfOfTheSetsMeanTheSameInTheOthers(t *testing.T) {
	all := namedFishes(t)
	var learn, judge []namedFish
	sets := map[string]int{}
	for _, n := range all {
		if _, seen := sets[n.set]; !seen {
			sets[n.set] = len(sets)
		}
		if sets[n.set]%2 == 0 {
			learn = append(learn, n)
		} else {
			judge = append(judge, n)
		}
	}
	for _, books := range []struct {
		name string
		book *nameBook
	}{{"without", newNameBook(nil)}, {"half heard", newNameBook(heardRows(learn))}} {
		known, open := map[string]*tally{"all": {}}, tally{}
		for _, n := range judge {
			region, _ := FindRegion(n.place)
			r := books.book.resolve(n.name, Setting{Region: region, Language: n.language})
			if n.species == "" || n.unsure {
				open.of++
				if !r.Sure {
					open.right++
				} else {
					logMiss(t, "open", n, region, r)
				}
				continue
			}
			if known[n.language] == nil {
				known[n.language] = &tally{}
			}
			known[n.language].count(r, n.species)
			known["all"].count(r, n.species)
			if books.name != "without" && (!r.Sure || len(r.Taxa) == 0 || r.Taxa[0] != n.species) {
				logMiss(t, "miss", n, region, r)
			}
		}
		for _, language := range slices.Sorted(maps.Keys(known)) {
			t.Logf("%-10s %-3s %s", books.name, language, known[language])
		}
		t.Logf("%-10s labelled as open: %d of %d not sure", books.name, open.right, open.of)
	}
}

func logMiss(t *testing.T, kind string, n namedFish, region string, r Resolved) {
	if *misses != "names" {
		return
	}
	t.Logf("%s|%s|%s|%s|%s|%s|sure=%v|%s|%s", kind, n.set, n.language, n.place, n.name, n.species, r.Sure, strings.Join(r.Taxa[:min(3, len(r.Taxa))], ";"), r.Corrected)
}
