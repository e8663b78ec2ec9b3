package export

import (
	"bytes"
	_ "embed"
	"encoding/csv"
	"math"
	"strconv"
	"strings"
	"sync"

	"deepward/advisor"
	"deepward/store"
)

//go:embed data/columns.csv
var columnsCSV []byte

// Column is one column of the log, as the sheet of definitions explains it.
type Column struct {
	Name string
	// Kind is "number", "text", "date" or "yesno".
	Kind    string
	Unit    string
	Meaning string

	append func([]byte, *store.Report, *Options) []byte
}

// Columns are the columns of the log in order. Their meaning stands in
// data/columns.csv; a column without a value there has an empty cell.
var Columns = sync.OnceValue(func() []Column {
	rows, err := csv.NewReader(bytes.NewReader(columnsCSV)).ReadAll()
	if err != nil {
		panic("export: embedded columns: " + err.Error())
	}
	list := make([]Column, 0, len(rows)-1)
	for _, row := range rows[1:] {
		value, ok := values[row[0]]
		if !ok {
			panic("export: column " + row[0] + " has no value")
		}
		list = append(list, Column{row[0], row[1], row[2], row[3], value})
	}
	return list
})

// values write each column of a report behind a cell's bytes.
var values = map[string]func([]byte, *store.Report, *Options) []byte{
	"report":       func(b []byte, r *store.Report, _ *Options) []byte { return strconv.AppendUint(b, r.Number, 10) },
	"season":       func(b []byte, r *store.Report, _ *Options) []byte { return append(b, r.Season...) },
	"date":         func(b []byte, r *store.Report, _ *Options) []byte { return r.CaughtAt.AppendFormat(b, "2006-01-02") },
	"time":         timeOfDay,
	"species":      func(b []byte, r *store.Report, _ *Options) []byte { return append(b, r.Species...) },
	"species_name": speciesName,
	"name_given":   func(b []byte, r *store.Report, _ *Options) []byte { return append(b, r.SpeciesGiven...) },
	"species_sure": func(b []byte, r *store.Report, _ *Options) []byte { return yesNo(b, r.SpeciesSure) },
	"depth_m":      func(b []byte, r *store.Report, _ *Options) []byte { return figure(b, r.DepthM) },
	"depth_from_m": func(b []byte, r *store.Report, _ *Options) []byte { return figure(b, r.DepthMinM) },
	"weight_kg":    func(b []byte, r *store.Report, _ *Options) []byte { return figure(b, r.WeightKg) },
	"length_cm":    func(b []byte, r *store.Report, _ *Options) []byte { return figure(b, r.LengthCm) },
	"length_type":  func(b []byte, r *store.Report, _ *Options) []byte { return append(b, r.LengthType...) },
	"method":       func(b []byte, r *store.Report, _ *Options) []byte { return append(b, r.Method...) },
	"release_weights_oz": func(b []byte, r *store.Report, _ *Options) []byte {
		for i := range r.WeightsOz {
			if i > 0 {
				b = append(b, '+')
			}
			b = figure(b, &r.WeightsOz[i])
		}
		return b
	},
	"release_depth_m":      func(b []byte, r *store.Report, _ *Options) []byte { return figure(b, r.ReleaseDepthM) },
	"signs":                func(b []byte, r *store.Report, _ *Options) []byte { return joined(b, r.Signs) },
	"signs_looked_for":     func(b []byte, r *store.Report, _ *Options) []byte { return yesNo(b, r.SignsLooked) },
	"hook":                 func(b []byte, r *store.Report, _ *Options) []byte { return append(b, r.Hook...) },
	"bleeding":             func(b []byte, r *store.Report, _ *Options) []byte { return yesNo(b, r.Bleeding) },
	"minutes_out_of_water": func(b []byte, r *store.Report, _ *Options) []byte { return figure(b, r.MinutesOnDeck) },
	"behaviour":            func(b []byte, r *store.Report, _ *Options) []byte { return append(b, r.Behaviour...) },
	"outcome":              func(b []byte, r *store.Report, _ *Options) []byte { return append(b, r.Outcome...) },
	"predators":            func(b []byte, r *store.Report, _ *Options) []byte { return yesNo(b, r.Predators) },
	"surface_temp_c":       func(b []byte, r *store.Report, _ *Options) []byte { return figure(b, r.SurfaceTempC) },
	"tag":                  func(b []byte, r *store.Report, _ *Options) []byte { return append(b, r.Tag...) },
	"recapture":            func(b []byte, r *store.Report, _ *Options) []byte { return yesNo(b, r.Recapture) },
	"advised":              func(b []byte, r *store.Report, _ *Options) []byte { return append(b, r.Advised...) },
	"cell_lat": func(b []byte, r *store.Report, o *Options) []byte {
		return place(b, r, o, func(p gridCell) float64 { return p.lat })
	},
	"cell_lon": func(b []byte, r *store.Report, o *Options) []byte {
		return place(b, r, o, func(p gridCell) float64 { return p.lon })
	},
	"place_uncertainty_m": func(b []byte, r *store.Report, o *Options) []byte {
		return place(b, r, o, func(p gridCell) float64 { return p.uncertaintyM })
	},
	"angler": angler,
	"flags":  func(b []byte, r *store.Report, _ *Options) []byte { return joined(b, r.Flags) },
	"origin": func(b []byte, r *store.Report, _ *Options) []byte { return append(b, r.Origin...) },
}

func timeOfDay(b []byte, r *store.Report, _ *Options) []byte {
	if r.DateOnly {
		return b
	}
	return r.CaughtAt.AppendFormat(b, "15:04Z07:00")
}

func speciesName(b []byte, r *store.Report, _ *Options) []byte {
	if s := advisor.LookUp(r.Species); s != nil {
		return append(b, s.EnglishName...)
	}
	return b
}

// angler is a name only where the person agreed and names were asked for.
func angler(b []byte, r *store.Report, o *Options) []byte {
	if o.WithNames && r.Named && r.Personal.Name != "" {
		return append(b, r.Personal.Name...)
	}
	return append(b, o.pseudonym(r.Season, r.Who)...)
}

func yesNo(b []byte, yes bool) []byte {
	if yes {
		return append(b, "yes"...)
	}
	return append(b, "no"...)
}

// figure writes a number with three decimals at most; nothing for none.
func figure(b []byte, x *float64) []byte {
	if x == nil || math.IsNaN(*x) || math.IsInf(*x, 0) {
		return b
	}
	if *x == math.Trunc(*x) && math.Abs(*x) < 1e15 {
		return strconv.AppendInt(b, int64(*x), 10)
	}
	return strconv.AppendFloat(b, math.Round(*x*1000)/1000, 'f', -1, 64)
}

func joined[T ~string](b []byte, list []T) []byte {
	for i, s := range list {
		if i > 0 {
			b = append(b, ' ')
		}
		b = append(b, strings.TrimSpace(string(s))...)
	}
	return b
}

func place(b []byte, r *store.Report, o *Options, part func(gridCell) float64) []byte {
	cell, ok := o.cellOf(r)
	if !ok {
		return b
	}
	return figure(b, new(part(cell)))
}
