package report

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/store/catch"
)

// fished are fish of one cell by so many anglers.
func fished(n int, m advisor.Method, cell catch.Cell, anglers int) (list []*catch.Report) {
	for i := range n {
		depth := 40.0
		list = append(list, &catch.Report{
			Number: uint64(len(list) + 1), CaughtAt: time.Date(2026, 5, 1+i%20, 0, 0, 0, 0, time.UTC), DateOnly: true,
			Species: "Lutjanus campechanus", SpeciesSure: true, Capture: advisor.Capture{DepthM: &depth}, Release: advisor.Release{Method: m}, Cell: &cell, Who: uint64(1 + i%anglers),
		})
	}
	return list
}

func TestSheetSetsTheSeasonBesideTheLast(t *testing.T) {
	list := append(fished(30, advisor.Recompressed, catch.Cell{Lat: 290, Lon: -880}, 3), fished(10, advisor.Surface, catch.Cell{Lat: 292, Lon: -881}, 1)...)
	now, err := Build(catch.Listed(list), Options{Club: "Skerrow <Point>", Title: "2026"})
	require.NoError(t, err)
	before, err := Build(catch.Listed(fished(8, advisor.Surface, catch.Cell{}, 2)), Options{Title: "2025"})
	require.NoError(t, err)
	var b strings.Builder
	require.NoError(t, now.WriteSheet(&b, before))
	page := b.String()
	assert.Contains(t, page, "<h1>Skerrow &lt;Point&gt;</h1>")
	assert.Contains(t, page, "<td>fish released</td><td>40</td><td>8</td>")
	assert.Contains(t, page, "<td>share sent down</td><td>75\u00a0%</td><td>0\u00a0%</td>")
	assert.Equal(t, 1, strings.Count(page, `fill="#0a5fb4"`), "the cell of one angler is not drawn")
	assert.NotContains(t, page, "http", "it loads nothing from outside")
}
