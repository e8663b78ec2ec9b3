package advisor

import (
	"bytes"
	_ "embed"
	"encoding/csv"
	"strconv"
	"sync"
)

// Gas is what is known of the bladder gas of one kind of fish, each with its
// low and high end (about an 80 % range; where Source says ASSUMED it is a
// judgement, not a measurement).
type Gas struct {
	// Kind names the row of the table.
	Kind string
	// F is gas volume over body volume at the capture depth.
	F, FLow, FHigh float64
	// Rupture is the expansion at which the bladder bursts or leaks.
	Rupture, RuptureLow, RuptureHigh float64
	// Kept is the share of the further expansion that stays in the fish.
	Kept, KeptLow, KeptHigh float64
	Source                  string
}

//go:embed data/gas.csv
var gasCSV []byte

// gasTable maps a genus or family to its gas; "" is the general fish.
var gasTable = sync.OnceValue(func() map[string]Gas {
	rows, err := csv.NewReader(bytes.NewReader(gasCSV)).ReadAll()
	if err != nil {
		panic("advisor: embedded gas table: " + err.Error())
	}
	table := make(map[string]Gas, len(rows))
	for _, row := range rows[1:] {
		table[row[1]] = parseGas(row)
	}
	return table
})

func parseGas(row []string) Gas {
	x := make([]float64, 9)
	for i := range x {
		v, err := strconv.ParseFloat(row[2+i], 64)
		if err != nil {
			panic("advisor: embedded gas table: " + row[0] + ": " + err.Error())
		}
		x[i] = v
	}
	return Gas{row[0], x[0], x[1], x[2], x[3], x[4], x[5], x[6], x[7], x[8], row[11]}
}

// Gas returns the gas of the species: by its family, else the general fish.
func (s *Species) Gas() Gas {
	if g, ok := gasTable()[s.Family]; ok {
		return g
	}
	return gasTable()[""]
}

// Expansion is E, the gas in the fish at the surface over the gas at capture,
// for a pressure ratio R:
//
//	E = R                    up to the rupture ratio
//	E = E_rup + s·(R − E_rup)   beyond it
func (g Gas) Expansion(ratio float64) float64 { return expansion(ratio, g.Rupture, g.Kept) }

func expansion(ratio, rupture, kept float64) float64 {
	if ratio <= rupture {
		return ratio
	}
	return rupture + kept*(ratio-rupture)
}
