package export

import (
	"maps"
	"slices"
	"time"
)

// coverage is where, when and of which fish a log is.
type coverage struct {
	South, North, West, East string // edges of the cells; "" without a place
	From, To                 string
	Fish                     []taxon
}

type taxon struct{ Rank, Name string }

// cover walks the log once.
func (j *job) cover(reports Reports) (c coverage, err error) {
	south, north := int64(90*perDegree), int64(-90*perDegree)
	columns := map[int64]int64{} // east by west
	fish := map[string]string{}
	for r, err := range reports {
		if err != nil {
			return c, err
		}
		x := j.of(r)
		if !x.dayUnknown() {
			day := x.CaughtAt.Format(time.DateOnly)
			if c.From == "" || day < c.From {
				c.From = day
			}
			c.To = max(c.To, day)
		}
		if x.sure() {
			fish[x.fish.ScientificName] = x.fish.Rank
		}
		if x.placed {
			south, north = min(south, x.cell.south), max(north, x.cell.south+x.cell.step)
			columns[x.cell.west] = max(columns[x.cell.west], x.cell.west+x.cell.step)
		}
	}
	if len(columns) > 0 {
		west, east := narrowest(columns)
		edge := func(x int64) string {
			return string(appendEdge(nil, x, gridCell{step: j.grid.step}.edgeDecimals()))
		}
		c.South, c.North, c.West, c.East = edge(south), edge(north), edge(west), edge(east)
	}
	for _, name := range slices.Sorted(maps.Keys(fish)) {
		c.Fish = append(c.Fish, taxon{fish[name], name})
	}
	return c, nil
}

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
