package fit

import (
	_ "embed"
	"strconv"
	"sync"

	"deepward/advisor"
)

// Prior is what is believed of one trait before the findings, and why.
type Prior struct {
	Trait    string
	Mean, SD float64
	Reason   string
}

//go:embed priors.csv
var priorsCSV []byte

// Priors returns the priors of the traits, in their order.
var Priors = sync.OnceValue(func() []Prior {
	var list []Prior
	for _, row := range advisor.Rows("priors", priorsCSV) {
		mean, errMean := strconv.ParseFloat(row[1], 64)
		sd, errSD := strconv.ParseFloat(row[2], 64)
		if errMean != nil || errSD != nil {
			panic("fit: embedded table of priors: " + row[0])
		}
		list = append(list, Prior{row[0], mean, sd, row[3]})
	}
	return list
})
