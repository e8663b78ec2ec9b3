package importer

import (
	"slices"
	"strings"
)

// findRowUnits takes a column headed only "Unit" for the units of the quantity that
// all its cells are units of; where that leaves several it asks.
func (in *reading) findRowUnits() {
	for i := range in.sheet.Columns {
		c := &in.sheet.Columns[i]
		if c.field != "" || c.renamed || !slices.Contains([]string{"unit", "units", "unidad", "unidades", "unidade", "unite"}, strings.Join(plainWords(c.Heading), " ")) {
			continue
		}
		var fit []field
		for _, q := range []quantity{quantityLength, quantityDepth, quantityWeight} {
			if in.allUnits(c, q) && !in.has(unitField(q)) {
				fit = append(fit, unitField(q))
			}
		}
		switch {
		case len(fit) == 1:
			c.heading = heading{field: fit[0]}
			in.columns[c.slot()] = []*Column{c}
			in.sheet.note("%q is taken for the %s; if that is wrong, say what it is: --column \"%s=...\", or - to leave it out", c.Heading, fit[0].says(), c.Heading)
		case len(fit) > 1:
			in.sheet.ask("%q may be the unit of the length, the depth or the weight; say which: --column \"%s=length unit\", \"%s=depth unit\", \"%s=weight unit\", or \"%s=-\" to leave it out", c.Heading, c.Heading, c.Heading, c.Heading, c.Heading).column(c.Heading, "length unit", "depth unit", "weight unit")
		}
	}
}

// allUnits is true for a column whose cells are units of a quantity, one at least.
func (in *reading) allUnits(c *Column, q quantity) bool {
	some := false
	for text := range in.told(c, line.raw) {
		if _, ok := known().units[q][spaced(text)]; !ok {
			return false
		}
		some = true
	}
	return some
}
