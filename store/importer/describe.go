package importer

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"deepward/store/catch"
)

// describe is a report in one line, as it was understood.
func describe(r *catch.Report) string {
	when := r.CaughtAt.Format(time.DateOnly)
	if !r.DateOnly {
		when = r.CaughtAt.Format("2006-01-02 15:04")
	}
	parts := []string{when}
	add := func(ok bool, format string, args ...any) {
		if ok {
			parts = append(parts, fmt.Sprintf(format, args...))
		}
	}
	add(r.Recapture, "recapture")
	add(true, "%s", speciesText(r))
	if r.DepthM != nil {
		from := ""
		if r.DepthMinM != nil {
			from = short(*r.DepthMinM) + "-"
		}
		add(true, "%s%s m", from, short(*r.DepthM))
	}
	if r.WeightKg != nil {
		add(true, "%s kg", short(*r.WeightKg))
	}
	if r.LengthCm != nil {
		add(true, "%s", strings.TrimSpace(short(*r.LengthCm)+" cm "+string(r.LengthType)))
	}
	add(r.Method != "", "%s", r.Method)
	for _, oz := range r.WeightsOz {
		add(true, "%s oz", short(oz))
	}
	if r.ReleaseDepthM != nil {
		add(true, "freed at %s m", short(*r.ReleaseDepthM))
	}
	for _, s := range r.Signs {
		add(true, "%s", s)
	}
	add(r.SignsLooked && len(r.Signs) == 0, "no signs")
	add(r.Hook != "", "hook %s", r.Hook)
	add(r.Bleeding, "bleeding")
	if r.MinutesOnDeck != nil {
		add(true, "%s min out", short(*r.MinutesOnDeck))
	}
	add(r.Behaviour != "", "%s", r.Behaviour)
	add(r.Outcome != "", "%s", r.Outcome)
	add(r.Predators, "predators")
	if r.SurfaceTempC != nil {
		add(true, "%s °C", short(*r.SurfaceTempC))
	}
	add(r.Tag != "", "tag %s", r.Tag)
	add(r.Cell != nil, "placed")
	flags := slices.DeleteFunc(slices.Clone(r.Flags), func(f string) bool { return f == catch.ZoneUnknown }) // said once for all
	add(len(flags) > 0, "[%s]", strings.Join(flags, " "))
	return strings.Join(parts, ", ")
}

func speciesText(r *catch.Report) string {
	switch {
	case r.Species == "" && r.SpeciesGiven == "":
		return "species not told"
	case r.Species == "":
		return fmt.Sprintf("%q (not known)", r.SpeciesGiven)
	case !r.SpeciesSure:
		return fmt.Sprintf("%q (perhaps %s)", r.SpeciesGiven, r.Species)
	default:
		return r.Species
	}
}

// short writes a figure with two decimals at most.
func short(x float64) string {
	return strings.TrimSuffix(strings.TrimRight(strconv.FormatFloat(x, 'f', 2, 64), "0"), ".")
}
