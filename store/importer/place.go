package importer

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"deepward/store/catch"
)

// place reads latitude and longitude, in two columns or one.
func (b *builder) place() { b.placeOf(b.r, 0) }

func (b *builder) placeOf(r *catch.Report, again int) {
	latColumn, latText, hasLat := b.cellOf(slot{fieldLat, again})
	lonColumn, lonText, hasLon := b.cellOf(slot{fieldLon, again})
	if again == 0 {
		latText, lonText = b.withMinutes(latText, fieldLatMinutes), b.withMinutes(lonText, fieldLonMinutes)
	}
	column := latColumn
	if c, text, told := b.cellOf(slot{fieldPosition, again}); told && !hasLat && !hasLon {
		var ok bool
		if latText, lonText, ok = splitPosition(text); !ok {
			b.problem(c, "", "is no position; write it as 34.12, -119.5") // the place itself is not shown
			return
		}
		column = c
	} else if !hasLat && !hasLon {
		return
	}
	lat, okLat := b.angle(latColumn.apart(latText), 90, latColumn != nil && latColumn.negative)
	lon, okLon := b.angle(lonColumn.apart(lonText), 180, lonColumn != nil && lonColumn.negative)
	switch {
	case !okLat || !okLon:
		if okLat {
			column = lonColumn
		}
		b.problem(column, "", "is no latitude or longitude in degrees, or one of the two is missing; mend it, or leave the place out: %s", b.withoutPlace(again))
		return
	case lat == 0 && lon == 0:
		return // nobody fishes there; it stands for "not known"
	}
	if b.KeepPlaces {
		r.Personal.Lat, r.Personal.Lon = &lat, &lon
	}
	r.Cell = catch.CellOf(lat, lon)
}

// withMinutes adds the minutes that have a column of their own to whole degrees.
func (b *builder) withMinutes(degrees string, f field) string {
	if _, minutes, told := b.cell(f); told && !known().blank(degrees) {
		return degrees + " " + minutes
	}
	return degrees
}

// withoutPlace are the flags that leave the place out of all rows.
func (b *builder) withoutPlace(again int) string {
	var flags []string
	for _, f := range []field{fieldLat, fieldLon, fieldPosition} {
		for _, c := range b.columns[slot{f, again}] {
			flags = append(flags, "--column \""+c.Heading+"=-\"")
		}
	}
	return strings.Join(flags, " ")
}

// splitPosition cuts a position into latitude and longitude.
func splitPosition(text string) (lat, lon string, ok bool) {
	text = fold(text)
	if at := strings.IndexAny(text, "ns"); at >= 0 && at+1 < len(text) && at > 0 {
		return text[:at+1], strings.Trim(text[at+1:], " ,;/"), true
	}
	for _, separator := range []string{";", ", ", "/", ",", " "} {
		if parts := strings.Split(text, separator); len(parts) == 2 && parts[0] != "" && parts[1] != "" {
			return strings.TrimSpace(parts[0]), strings.TrimSpace(parts[1]), true
		}
	}
	return "", "", false
}

var angleForm = regexp.MustCompile(`^([nsew])?\s*([-+]?\d+(?:[.,]\d+)?)\s*(?:°|d|deg|-|\s)?\s*(?:(\d+(?:[.,]\d+)?)\s*(?:'|m|min|-|\s)?\s*(?:(\d+(?:[.,]\d+)?)\s*(?:"|s|sec|''))?\s*)?([nsew])?$`)

// angle reads degrees, degrees and minutes, or degrees, minutes and seconds, with a
// sign or a letter.
func (d decimalStyle) angle(text string, limit float64, negative bool) (float64, bool) {
	m := angleForm.FindStringSubmatch(fold(text))
	if m == nil {
		return 0, false
	}
	x := angleFigure(strings.TrimLeft(m[2], "+-"))
	minutes, seconds := angleFigure(m[3]), angleFigure(m[4])
	if minutes >= 60 || seconds >= 60 || (m[3] != "" && x != math.Trunc(x)) {
		return 0, false
	}
	x += minutes/60 + seconds/3600
	letter := m[1] + m[5]
	if len(letter) > 1 || limit == 90 && strings.ContainsAny(letter, "ew") || limit == 180 && strings.ContainsAny(letter, "ns") {
		return 0, false
	}
	signed := strings.HasPrefix(m[2], "-")
	if signed || strings.ContainsAny(letter, "sw") || negative && letter == "" {
		x = -x
	}
	return x, math.Abs(x) <= limit
}

func angleFigure(text string) float64 {
	x, _ := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64) // "" is 0
	return x
}
