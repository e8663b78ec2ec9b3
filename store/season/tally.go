package season

import (
	"cmp"
	"maps"
	"slices"

	"deepward/advisor"
	"deepward/store/catch"
)

// Count is how some fish went.
type Count struct {
	// Fish were reported, Seen were watched as they went; of those WentDown swam or
	// sank down, AtSurface stayed swimming at the top, Floated off, were Taken by a
	// predator, or Died.
	Fish, Seen, WentDown, AtSurface, Floated, Taken, Died int
}

// Troubled is the share of the watched fish that did not go down.
func (c Count) Troubled() Share { return Share{c.Seen - c.WentDown, c.Seen} }

// add counts one fish.
func (c *Count) add(o advisor.Outcome) {
	c.Fish++
	if o == "" || o == advisor.NotSeen {
		return
	}
	c.Seen++
	switch o {
	case advisor.SwamDown:
		c.WentDown++
	case advisor.SwamAtSurface:
		c.AtSurface++
	case advisor.FloatedOff:
		c.Floated++
	case advisor.TakenByOther:
		c.Taken++
	default:
		c.Died++
	}
}

// Plus adds two counts up.
func (c Count) Plus(o Count) Count {
	return Count{
		c.Fish + o.Fish, c.Seen + o.Seen, c.WentDown + o.WentDown, c.AtSurface + o.AtSurface,
		c.Floated + o.Floated, c.Taken + o.Taken, c.Died + o.Died,
	}
}

// kind is what the counters tell apart: they are as many as there are kinds, however
// long the log.
type kind struct {
	species string
	method  advisor.Method
	band    DepthBand
	month   int // year·12 + month − 1
}

// noMonth is the month of a fish whose day is not known.
const noMonth = -1

// counters hold one count for each kind.
type counters map[kind]*Count

func (c counters) add(r *catch.Report) {
	band, _ := BandOf(r.DepthM)
	k := kind{r.Species, r.Method, band, r.CaughtAt.Year()*12 + int(r.CaughtAt.Month()) - 1}
	if slices.Contains(r.Flags, DateFilled) {
		k.month = noMonth
	}
	n := c[k]
	if n == nil {
		n = new(Count)
		c[k] = n
	}
	n.add(r.Outcome)
}

// Row is one line of a table.
type Row struct {
	// Species is the scientific name, Band the depth band, Year and Month the month,
	// in a table by that; the others are empty.
	Species     string
	Band        DepthBand
	Year, Month int
	// Released are the fish that were let go, kept ones not among them.
	Released int
	Methods  map[advisor.Method]Count
}

// SentDown is the share of the released fish that were sent down.
func (r Row) SentDown() Share { return Share{r.Methods[advisor.Recompressed].Fish, r.Released} }

// rows adds the counters up by what key leaves of a kind.
func (c counters) rows(key func(kind) kind, order func(a, b Row) int) (list []Row) {
	table := map[kind]*Row{}
	for k, n := range c {
		as := key(k)
		row := table[as]
		if row == nil {
			row = &Row{Species: as.species, Band: as.band, Year: as.month / 12, Month: as.month%12 + 1, Methods: map[advisor.Method]Count{}}
			table[as] = row
		}
		row.Methods[k.method] = row.Methods[k.method].Plus(*n)
		if k.method != advisor.Kept {
			row.Released += n.Fish
		}
	}
	for _, row := range table {
		list = append(list, *row)
	}
	slices.SortFunc(list, order)
	return list
}

func (c counters) bySpecies() []Row {
	return c.rows(func(k kind) kind { return kind{species: k.species} }, func(a, b Row) int {
		return cmp.Or(cmp.Compare(b.Released, a.Released), cmp.Compare(a.Species, b.Species))
	})
}

// byDepth leaves out the fish of no known depth.
func (c counters) byDepth() []Row {
	list := c.rows(func(k kind) kind { return kind{band: k.band} }, func(a, b Row) int { return cmp.Compare(a.Band, b.Band) })
	return slices.DeleteFunc(list, func(r Row) bool { return r.Band == noBand })
}

// byMonth leaves out the fish of no known day.
func (c counters) byMonth() []Row {
	list := c.rows(func(k kind) kind { return kind{month: k.month} }, func(a, b Row) int {
		return cmp.Or(cmp.Compare(a.Year, b.Year), cmp.Compare(a.Month, b.Month))
	})
	return slices.DeleteFunc(list, func(r Row) bool { return r.Month < 1 })
}

func (c counters) byMethod() map[advisor.Method]Count {
	sum := map[advisor.Method]Count{}
	for k, n := range c {
		sum[k.method] = sum[k.method].Plus(*n)
	}
	return sum
}

// troubled breaks the fish that were watched, and did not go down, up by kind.
func (c counters) troubled() breakdown {
	b := breakdown{}
	for k, n := range c {
		cell := cell{species: k.species, band: k.band, method: k.method}
		b[cell] = b[cell].and(n.Troubled())
	}
	return b
}

// names are the keys of a table, in order.
func names[K cmp.Ordered, V any](table map[K]V) []K { return slices.Sorted(maps.Keys(table)) }
