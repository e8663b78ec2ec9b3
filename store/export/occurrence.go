package export

import (
	"cmp"
	"hash/maphash"
	"io"
	"slices"
	"strconv"

	"deepward/advisor"
	"deepward/store/catch"
)

// occurrencePresent is the word for "it was there". Darwin Core changed its
// default to "detected" on 2026-05-26; GBIF's core and OBIS still ask for this one.
const occurrencePresent = "present"

// unsureTaxon is what is sure of a fish whose name nobody knows, or whose name
// fits several species.
const unsureTaxon, unsureRank = "Chordata", "phylum"

// term is one column of occurrence.csv: a Darwin Core term and what stands there.
type term struct {
	name  string
	value func([]byte, *row) []byte
}

func always(word string) func([]byte, *row) []byte {
	return func(b []byte, _ *row) []byte { return append(b, word...) }
}

// occurrenceTerms are the columns of occurrence.csv in order; the first is the id.
// associatedOccurrences stands apart: it needs the other reports of the tag.
var occurrenceTerms = [...]term{
	{"occurrenceID", func(b []byte, x *row) []byte { return x.occurrenceID(b) }},
	{"basisOfRecord", always("HumanObservation")},
	{"occurrenceStatus", always(occurrencePresent)},
	{"organismID", organismID},
	{"associatedOccurrences", nil},
	{"eventDate", eventDate},
	{"scientificName", scientificName},
	{"scientificNameID", scientificNameID},
	{"taxonRank", taxonRank},
	{"identificationQualifier", identificationQualifier},
	{"verbatimIdentification", texts["name_given"]},
	{"vernacularName", vernacularName},
	{"individualCount", always("1")},
	{"vitality", func(b []byte, x *row) []byte { return append(b, x.vitality()...) }},
	{"samplingProtocol", always("hook and line, reported by the angler")},
	{"minimumDepthInMeters", minimumDepth},
	{"maximumDepthInMeters", number("depth_m")},
	{"decimalLatitude", number("cell_lat")},
	{"decimalLongitude", number("cell_lon")},
	{"geodeticDatum", ifPlaced("EPSG:4326")},
	{"coordinateUncertaintyInMeters", number("place_uncertainty_m")},
	{"coordinatePrecision", coordinatePrecision},
	{"dataGeneralizations", dataGeneralizations},
	{"informationWithheld", always("Exact positions are withheld, and the names of anglers who did not agree to be named")},
	{"recordedBy", texts["angler"]},
}

func number(column string) func([]byte, *row) []byte {
	value := numbers[column]
	return func(b []byte, x *row) []byte {
		if v, ok := value(x); ok {
			return appendNumber(b, v)
		}
		return b
	}
}

func ifPlaced(word string) func([]byte, *row) []byte {
	return func(b []byte, x *row) []byte {
		if x.placed {
			return append(b, word...)
		}
		return b
	}
}

// encounters knows, for each report of a tag that was seen more than once, the
// reports before and after it.
type encounters struct {
	before, after map[uint64]uint64
	seed          maphash.Seed
	// tagged are the reports with a tag, in order of time, until they are linked. Tags are
	// kept as hashes: 16 bytes a report.
	tagged []tagged
}

type tagged struct{ tag, report uint64 }

func newEncounters() *encounters {
	return &encounters{before: map[uint64]uint64{}, after: map[uint64]uint64{}, seed: maphash.MakeSeed()}
}

func (e *encounters) add(r *catch.Report) {
	if r.Tag != "" {
		e.tagged = append(e.tagged, tagged{maphash.String(e.seed, r.Tag), r.Number})
	}
}

// link finds the reports of the same tag, once all were added.
func (e *encounters) link() {
	slices.SortStableFunc(e.tagged, func(a, b tagged) int { return cmp.Compare(a.tag, b.tag) })
	for i, next := range e.tagged {
		if i > 0 && e.tagged[i-1].tag == next.tag {
			last := e.tagged[i-1].report
			e.before[next.report], e.after[last] = last, next.report
		}
	}
	e.tagged = nil
}

// append writes the links of a report in the words of the standard's example, read
// as what this encounter is to the other one.
func (e *encounters) append(b []byte, x *row) []byte {
	start := len(b)
	for _, link := range [...]struct {
		what  string
		other uint64
	}{{"subsequent", e.before[x.Number]}, {"previous", e.after[x.Number]}} {
		if link.other == 0 {
			continue
		}
		if len(b) > start {
			b = append(b, " | "...)
		}
		b = append(append(append(b, `"encounter `...), link.what...), ` to":"`...)
		b = append(x.job.occurrenceID(b, link.other), '"')
	}
	return b
}

// writeOccurrences writes one line a fish, ended by a bare line feed as meta.xml says.
func (j *job) writeOccurrences(w io.Writer, reports Reports, links *encounters) error {
	page := newPage()
	for i, t := range occurrenceTerms {
		page = append(comma(page, i), t.name...)
	}
	page = append(page, '\n')
	return j.writePages(w, page, reports, func(page []byte, x *row) []byte { return append(appendOccurrence(page, x, links), '\n') })
}

func appendOccurrence(line []byte, x *row, links *encounters) []byte {
	for i := range occurrenceTerms {
		t := &occurrenceTerms[i]
		line = comma(line, i)
		start := len(line)
		if t.value == nil {
			line = links.append(line, x)
		} else {
			line = t.value(line, x)
		}
		line = oneLine(line, start)
	}
	return line
}

// organismID is the same for a fish's release and all its recaptures.
func organismID(b []byte, x *row) []byte {
	if x.Tag == "" {
		return b
	}
	if x.job.Dataset != "" {
		b = append(append(b, x.job.Dataset...), ':')
	}
	return append(append(b, "tag-"...), x.Tag...)
}

// eventDate is the day, the minute, or the hour as an interval.
func eventDate(b []byte, x *row) []byte {
	if x.DateOnly || x.dayUnknown() {
		return dayTold(b, x)
	}
	from := x.when()
	b = x.clock(append(appendDate(b, from), 'T'), from)
	if x.job.grid.fine() {
		return b
	}
	to := from.Add(60 * 60 * 1e9)
	return x.clock(append(appendDate(append(b, '/'), to), 'T'), to)
}

func (x *row) sure() bool { return x.SpeciesSure && x.fish != nil }

func scientificName(b []byte, x *row) []byte {
	if x.sure() {
		return append(b, x.fish.ScientificName...)
	}
	return append(b, unsureTaxon...)
}

// scientificNameID is the name in the World Register of Marine Species.
func scientificNameID(b []byte, x *row) []byte {
	if !x.sure() || x.fish.AphiaID == 0 {
		return b
	}
	return strconv.AppendInt(append(b, "urn:lsid:marinespecies.org:taxname:"...), int64(x.fish.AphiaID), 10)
}

func taxonRank(b []byte, x *row) []byte {
	if x.sure() {
		return append(b, x.fish.Rank...)
	}
	return append(b, unsureRank...)
}

// identificationQualifier names the likeliest species of a name that fits several.
func identificationQualifier(b []byte, x *row) []byte {
	if x.sure() || x.Species == "" {
		return b
	}
	return append(append(b, "cf. "...), x.Species...)
}

func vernacularName(b []byte, x *row) []byte {
	if !x.sure() {
		return b
	}
	return append(b, x.fish.EnglishName...)
}

// vitality is what the report says of life at release, in the standard's words.
func (x *row) vitality() string {
	switch {
	case x.Outcome == advisor.Died || x.Behaviour == advisor.Dead:
		return "dead"
	case x.Method == advisor.Kept, x.Outcome == advisor.TakenByOther:
		return "notAssessed"
	case x.Outcome == advisor.SwamDown || x.Behaviour == advisor.Strong:
		return "alive"
	case x.Outcome == "" && x.Behaviour == "":
		return "notAssessed"
	default:
		return "uncertain"
	}
}

var captureDepth = number("depth_m")

func minimumDepth(b []byte, x *row) []byte {
	if x.DepthMinM != nil {
		return appendNumber(b, *x.DepthMinM)
	}
	return captureDepth(b, x)
}

func coordinatePrecision(b []byte, x *row) []byte {
	if !x.placed {
		return b
	}
	return append(b, x.cell.degrees()...)
}

// dataGeneralizations says what was made coarser.
func dataGeneralizations(b []byte, x *row) []byte {
	if x.placed {
		b = append(append(b, "Coordinates generalised to the centre of a "...), x.cell.degrees()...)
		b = append(b, " degree grid cell"...)
	}
	if x.DateOnly || x.job.grid.fine() {
		return b
	}
	if x.placed {
		b = append(b, "; "...)
	}
	return append(b, "Time generalised to the hour"...)
}
