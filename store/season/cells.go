package season

import (
	"cmp"
	"slices"

	"deepward/store/catch"
)

// CellCount is how many fish were caught in a cell of 0.1 degree.
type CellCount struct {
	Cell catch.Cell
	Fish int
}

// cells count the fish by their cells, and who told of them.
type cells map[catch.Cell]*moveCount

func (c cells) add(r *catch.Report) {
	if r.Cell == nil {
		return
	}
	n := c[*r.Cell]
	if n == nil {
		n = &moveCount{anglers: map[uint64]bool{}}
		c[*r.Cell] = n
	}
	n.fish++
	if r.Who != 0 {
		n.anglers[r.Who] = true
	}
}

// shown are the cells with fish and anglers enough that they give away nobody's mark, from
// south to north.
func (c cells) shown() (list []CellCount) {
	for cell, n := range c {
		if n.fish < leastFishShown || len(n.anglers) < leastAnglersShown {
			continue
		}
		list = append(list, CellCount{cell, n.fish})
	}
	slices.SortFunc(list, func(a, b CellCount) int {
		return cmp.Or(cmp.Compare(a.Cell.Lat, b.Cell.Lat), cmp.Compare(a.Cell.Lon, b.Cell.Lon))
	})
	return list
}
