package export

import (
	"fmt"
	"maps"
	"slices"
)

// coverage is where, when and of which fish a log is.
type coverage struct {
	South, North, West, East string // edges of the cells; "" without a place
	From, To                 string
	Fish                     []taxon
}

type taxon struct{ Rank, Name string }

// covering gathers it.
type covering struct {
	from, to     int // days, as 20260502
	south, north int64
	columns      map[int64]int64   // east by west
	fish         map[string]string // rank by name
}

func newCovering() *covering {
	return &covering{south: 90 * perDegree, north: -90 * perDegree, columns: map[int64]int64{}, fish: map[string]string{}}
}

func (c *covering) add(x *row) {
	if !x.dayUnknown() {
		year, month, day := x.CaughtAt.Date()
		n := year*10_000 + int(month)*100 + day
		if c.from == 0 || n < c.from {
			c.from = n
		}
		c.to = max(c.to, n)
	}
	if x.sure() {
		c.fish[x.fish.ScientificName] = x.fish.Rank
	}
	if x.placed {
		c.south, c.north = min(c.south, x.cell.south), max(c.north, x.cell.south+x.cell.step)
		c.columns[x.cell.west] = max(c.columns[x.cell.west], x.cell.west+x.cell.step)
	}
}

func (c *covering) all(g *grid) (all coverage) {
	if c.to > 0 {
		all.From, all.To = dayWritten(c.from), dayWritten(c.to)
	}
	if len(c.columns) > 0 {
		west, east := narrowest(c.columns)
		edge := func(x int64) string {
			return string(appendEdge(nil, x, gridCell{step: g.step}.edgeDecimals()))
		}
		all.South, all.North, all.West, all.East = edge(c.south), edge(c.north), edge(west), edge(east)
	}
	for _, name := range slices.Sorted(maps.Keys(c.fish)) {
		all.Fish = append(all.Fish, taxon{c.fish[name], name})
	}
	return all
}

// dayWritten writes 20260502 as 2026-05-02.
func dayWritten(n int) string { return fmt.Sprintf("%04d-%02d-%02d", n/10_000, n/100%100, n%100) }

// narrowest are the ends of the shortest arc with all columns of cells in it: west is above
// east where it crosses the antimeridian, as EML and GeoJSON have it.
func narrowest(columns map[int64]int64) (west, east int64) {
	const circle = 360 * perDegree
	list := slices.Sorted(maps.Keys(columns))
	west, east = list[0], columns[list[len(list)-1]]
	widest := list[0] + circle - east
	for i, next := range list[1:] {
		if gap := next - columns[list[i]]; gap > widest {
			widest, west, east = gap, next, columns[list[i]]
		}
	}
	return west, east
}
