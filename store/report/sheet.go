package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"strings"

	"deepward/advisor"
	"deepward/store/season"
)

//go:embed sheet.html
var sheetText string

var sheetPage = template.Must(template.New("sheet").Parse(sheetText))

// sheet is one page for a club's meeting.
type sheet struct {
	Language, Title, Club, Span string
	Invented, Headline, Hedge   string
	Boxes                       []sheetBox
}

// sheetBox is one thing on the sheet.
type sheetBox struct {
	Title string
	Map   template.HTML
	// Cells are what the map is drawn from.
	Cells []season.CellCount
	Rows  [][]string
	Small string
}

// How many kinds of fish and months the sheet has room for.
const speciesOnSheet, monthsOnSheet = 7, 12

// WriteSheet writes one page on A4 for a club's meeting: what was let go and how, the gain,
// recaptures, species, months, a map of cells, and the season before beside it; before is
// nil where there is none.
func (r *Report) WriteSheet(w io.Writer, before *Report) error {
	return sheetPage.Execute(w, r.sheet(before))
}

func (r *Report) sheet(before *Report) sheet {
	s := sheet{Language: r.code(), Title: r.options.Title, Club: r.options.Club, Span: r.span(), Headline: r.headline(), Hedge: r.hedge()}
	if r.Findings.Invented > 0 {
		s.Invented = r.invented()
	}
	for _, b := range []sheetBox{r.besideBox(before), r.seenBox(), r.speciesBox(), r.monthBox(), r.mapBox()} {
		if len(b.Rows) > 0 || b.Map != "" {
			s.Boxes = append(s.Boxes, b)
		}
	}
	return s
}

func (v voice) invented() string {
	return v.say("Invented data, to look around in: no such fish was caught.")
}

// besideBox has what was let go and how, with the season before beside it.
func (r *Report) besideBox(before *Report) sheetBox {
	b := sheetBox{Title: r.say("What was let go, and how")}
	add := func(name string, value func(season.Findings) string) {
		row := []string{name, value(r.Findings)}
		if before != nil {
			row = append(row, value(before.Findings))
		}
		b.Rows = append(b.Rows, row)
	}
	if before != nil {
		b.Rows = append(b.Rows, []string{"", r.say("this season"), before.options.Title})
	}
	add(r.say("fish released"), func(f season.Findings) string { return r.count(f.Released) })
	for _, m := range []advisor.Method{advisor.Recompressed, advisor.Vented, advisor.Surface, advisor.Kept} {
		add(r.way(m), func(f season.Findings) string { return r.count(f.Methods[m].Fish) })
	}
	add(r.say("share sent down"), func(f season.Findings) string {
		return r.percent(season.Share{X: f.Methods[advisor.Recompressed].Fish, N: f.Released})
	})
	add(r.say("likely alive because they were sent down"), func(f season.Findings) string {
		if math.Round(f.Alive.High) < 1 {
			return "–"
		}
		return r.about(f.Alive.Low) + "–" + r.about(f.Alive.High)
	})
	return b
}

// seenBox has the tagged fish that were seen again, with their ranges.
func (r *Report) seenBox() sheetBox {
	b := sheetBox{Title: r.say("Tagged fish that were seen again")}
	for i, row := range r.seenRows(r.labels()) {
		if i == 0 {
			b.Rows = append(b.Rows, []string{"", r.say("seen again"), r.say("likely range") + ", " + r.say("of 100")})
		}
		b.Rows = append(b.Rows, []string{row.name, r.xOfN(row.share), r.between(row.share)})
	}
	if len(b.Rows) > 0 {
		b.Small = r.say("Seen again is not the same as alive: most fish that live are never caught again.")
	}
	return b
}

func (r *Report) speciesBox() sheetBox {
	rows := r.Findings.Species
	return r.sentDownBox(r.say("By kind of fish"), rows[:min(len(rows), speciesOnSheet)], func(row season.Row) string { return r.fishName(row.Species) })
}

func (r *Report) monthBox() sheetBox {
	rows := r.Findings.Months
	return r.sentDownBox(r.say("Month by month"), rows[max(0, len(rows)-monthsOnSheet):], r.monthName)
}

// sentDownBox has what was let go of each row, and the share sent down.
func (v voice) sentDownBox(title string, rows []season.Row, name func(season.Row) string) sheetBox {
	b := sheetBox{Title: title}
	for _, row := range rows {
		b.Rows = append(b.Rows, []string{name(row), v.count(row.Released), v.percent(row.SentDown())})
	}
	if len(b.Rows) > 0 {
		b.Small = v.say("Released, and the share of them sent down.")
	}
	return b
}

// mapBox draws the cells from which fish were told, by their places alone: no map of
// anybody's is asked for.
func (r *Report) mapBox() sheetBox {
	b := sheetBox{Title: r.say("Where, in squares of 0.1°")}
	if len(r.Findings.Cells) > 0 {
		b.Map, b.Cells = r.cellMap(r.Findings.Cells), r.Findings.Cells
		b.Small = r.say("The darker, the more fish. Squares with fewer than 3 fish or 2 anglers are left out, so that nobody's mark is given away.")
	}
	return b
}

// The map in pixels: the size of its longer side at most, and of a square at most.
const mapSide, mapSquare = 360.0, 30.0

// chartOfCells is where cells come to stand on a map: squares as wide as a degree is there,
// north above, in pixels from the upper left.
type chartOfCells struct {
	south, north, west, east, most int
	square, wide                   float64 // the height of a square, and its width as a share of that
}

func mapped(list []season.CellCount) chartOfCells {
	m := chartOfCells{south: 1 << 15, north: -1 << 15, west: 1 << 15, east: -1 << 15}
	for _, c := range list {
		m.south, m.north = min(m.south, int(c.Cell.Lat)), max(m.north, int(c.Cell.Lat))
		m.west, m.east = min(m.west, int(c.Cell.Lon)), max(m.east, int(c.Cell.Lon))
		m.most = max(m.most, c.Fish)
	}
	m.wide = math.Cos((float64(m.south+m.north)/20 + 0.05) * math.Pi / 180)
	m.square = min(mapSquare, mapSide/max(float64(m.north-m.south+1), m.wide*float64(m.east-m.west+1)))
	return m
}

func (m chartOfCells) size() (width, height float64) {
	return m.square * m.wide * float64(m.east-m.west+1), m.square * float64(m.north-m.south+1)
}

// at is the upper left corner of a square, and how dark it is, from 0 to 1.
func (m chartOfCells) at(c season.CellCount) (x, y, dark float64) {
	return m.square * m.wide * float64(int(c.Cell.Lon)-m.west), m.square * float64(m.north-int(c.Cell.Lat)), 0.2 + 0.8*float64(c.Fish)/float64(m.most)
}

func (v voice) cellMap(list []season.CellCount) template.HTML {
	m := mapped(list)
	width, height := m.size()
	var s strings.Builder
	fmt.Fprintf(&s, `<svg viewBox="0 0 %.0f %.0f" style="max-width:%.0fpx" role="img" aria-label="%s"><rect width="%.1f" height="%.1f" fill="#eef4f9" stroke="#777"/>`,
		width+2, height+2, width+2, template.HTMLEscapeString(v.say("Where, in squares of 0.1°")), width, height)
	for _, c := range list {
		x, y, dark := m.at(c)
		fmt.Fprintf(&s, `<rect x="%.1f" y="%.1f" width="%.1f" height="%.1f" fill="#0a5fb4" fill-opacity="%.2f"><title>%d</title></rect>`,
			x, y, m.square*m.wide, m.square, dark, c.Fish)
	}
	fmt.Fprintf(&s, `</svg><small>%s</small>`, v.ends(m))
	return template.HTML(s.String()) // figures and an escaped label
}

// ends are the degrees that a map goes over.
func (v voice) ends(m chartOfCells) string {
	return v.degrees(m.south, m.north, v.say("S"), v.say("N")) + v.semicolon() + v.degrees(m.west, m.east, v.say("W"), v.say("E"))
}

// degrees are the ends of a row of cells, in tenths of a degree, each with the half of the
// globe that it lies in.
func (v voice) degrees(first, last int, below, above string) string {
	end := func(tenths int) string {
		half := above
		if tenths < 0 {
			half = below
		}
		return v.decimal(fmt.Sprintf("%.1f°", math.Abs(float64(tenths)/10))) + " " + half
	}
	return end(first) + " – " + end(last+1)
}
