package importer

import (
	"math"
	"regexp"
	"strconv"
	"strings"
)

// runTogether is a figure of degrees and minutes without a mark between: 2834.50.
var runTogether = regexp.MustCompile(`^-?\d{4,5}([.,]\d+)?$`)

// decideAngles finds columns of places whose figures are degrees and minutes run
// together, as charts have them: no angle has so many degrees.
func (in *reading) decideAngles() {
	for s, list := range in.columns {
		if !s.field.angle() {
			continue
		}
		for _, c := range list {
			c.runTogether = in.allRunTogether(c)
		}
	}
	for i := range in.sheet.Columns {
		if c := &in.sheet.Columns[i]; c.runTogether {
			in.sheet.note("%q is read as degrees and minutes run together, as 2834.50 for 28° 34.50'", c.Heading)
		}
	}
}

func (in *reading) allRunTogether(c *Column) bool {
	some := false
	for text := range in.told(c, line.cell) {
		if !runTogether.MatchString(text) || math.Mod(math.Abs(angleFigure(text)), 100) >= 60 {
			return false
		}
		some = true
	}
	return some
}

// apart writes degrees and minutes that were run together with a blank between.
func (c *Column) apart(text string) string {
	if c == nil || !c.runTogether || known().blank(text) {
		return text
	}
	sign := ""
	if strings.HasPrefix(text, "-") {
		sign = "-"
	}
	x := math.Abs(angleFigure(text))
	degrees := math.Floor(x / 100)
	return sign + strconv.FormatFloat(degrees, 'f', 0, 64) + " " + strconv.FormatFloat(x-100*degrees, 'f', 6, 64)
}
