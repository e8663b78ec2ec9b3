package export

import (
	"archive/zip"
	"bufio"
	_ "embed"
	"encoding/xml"
	"io"
	"math"
	"strconv"
	"strings"
	"text/template"
	"time"

	"deepward/advisor"
	"deepward/store"
)

// occurrencePresent is the word for "it was there". Darwin Core changed its
// default to "detected" on 2026-05-26; GBIF's core and OBIS still ask for this one.
const occurrencePresent = "present"

// dwcTerms are the columns of occurrence.csv after the id, by Darwin Core term.
var dwcTerms = []string{
	"occurrenceID", "basisOfRecord", "occurrenceStatus", "organismID", "associatedOccurrences", "eventDate", "scientificName",
	"scientificNameID", "vernacularName", "verbatimIdentification", "individualCount", "vitality", "samplingProtocol",
	"minimumDepthInMeters", "maximumDepthInMeters", "decimalLatitude", "decimalLongitude", "coordinateUncertaintyInMeters",
	"coordinatePrecision", "dataGeneralizations", "informationWithheld", "recordedBy",
}

const termsURL = "http://rs.tdwg.org/dwc/terms/"

// writeDwCA writes a Darwin Core Archive: meta.xml, eml.xml, the occurrences and
// what was measured on them. It walks the log twice, once for each table.
func writeDwCA(w io.Writer, reports Reports, o *Options) error {
	z := zip.NewWriter(w)
	if err := writeDwCAInto(z, "", reports, o); err != nil {
		return err
	}
	return z.Close()
}

func writeDwCAInto(z *zip.Writer, folder string, reports Reports, o *Options) error {
	files := []struct {
		name  string
		write func(io.Writer) error
	}{
		{"meta.xml", writeMeta},
		{"eml.xml", func(w io.Writer) error { return writeEML(w, o) }},
		{"occurrence.csv", func(w io.Writer) error { return writeOccurrences(w, reports, o) }},
		{"measurementorfact.csv", func(w io.Writer) error { return writeMeasurements(w, reports, o) }},
	}
	for _, file := range files {
		entry, err := z.CreateHeader(&zip.FileHeader{Name: folder + file.name, Method: zip.Deflate, Modified: o.MadeAt})
		if err != nil {
			return err
		}
		if err := file.write(entry); err != nil {
			return err
		}
	}
	return nil
}

//go:embed data/meta.xml
var metaXML string

//go:embed data/eml.xml
var emlXML string

var (
	metaTemplate = template.Must(template.New("meta").Parse(metaXML))
	emlTemplate  = template.Must(template.New("eml").Funcs(template.FuncMap{"xml": escapeXML}).Parse(emlXML))
)

func writeMeta(w io.Writer) error {
	return metaTemplate.Execute(w, map[string]any{"Terms": dwcTerms, "URL": termsURL})
}

func writeEML(w io.Writer, o *Options) error {
	return emlTemplate.Execute(w, map[string]string{
		"Title": firstText(o.Title, "Season release log"), "Club": firstText(o.Club, "An angling club"),
		"Date": o.MadeAt.Format(time.DateOnly), "Grid": strconv.FormatFloat(o.GridDeg, 'g', -1, 64),
		"ID": "deepward-" + o.MadeAt.UTC().Format("20060102T150405Z"),
	})
}

func escapeXML(s string) (string, error) {
	var b strings.Builder
	err := xml.EscapeText(&b, []byte(s))
	return b.String(), err
}

func firstText(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// lineWriter writes CSV lines with LF ends, as meta.xml says.
type lineWriter struct {
	out  *bufio.Writer
	line []byte
}

func (l *lineWriter) write(cells ...string) error {
	l.line = l.line[:0]
	for i, c := range cells {
		l.line = plainCell(comma(l.line, i), []byte(c))
	}
	_, err := l.out.Write(append(l.line, '\n'))
	return err
}

func occurrenceID(r *store.Report) string { return "report-" + strconv.FormatUint(r.Number, 10) }

// writeOccurrences writes one line a fish. A tag's occurrences point back to the
// one before; that is remembered by tag, which is little beside the log.
func writeOccurrences(w io.Writer, reports Reports, o *Options) error {
	l := lineWriter{out: bufio.NewWriterSize(w, 1<<16)}
	if err := l.write(dwcTerms...); err != nil {
		return err
	}
	lastOf := map[string]string{}
	for r, err := range reports {
		if err != nil {
			return err
		}
		before := ""
		if r.Tag != "" {
			if last, ok := lastOf[r.Tag]; ok {
				before = `"encounter previous to":"` + last + `"`
			}
			lastOf[r.Tag] = occurrenceID(r)
		}
		if err := l.write(occurrence(r, o, before)...); err != nil {
			return err
		}
	}
	return l.out.Flush()
}

// occurrence fills the terms of one report, in the order of dwcTerms.
func occurrence(r *store.Report, o *Options, before string) []string {
	id, tag := occurrenceID(r), ""
	if r.Tag != "" {
		tag = "tag-" + r.Tag
	}
	scientific, lsid, vernacular := taxon(r)
	lat, lon, uncertainty, precision, generalised := dwcPlace(r, o)
	low, high := dwcDepth(r)
	return []string{
		id, "HumanObservation", occurrencePresent, tag, before, eventDate(r), scientific, lsid, vernacular, r.SpeciesGiven, "1",
		vitality(r), "rod and line", low, high, lat, lon, uncertainty, precision, generalised,
		"Exact position and the angler's name withheld unless agreed", string(angler(nil, r, o)),
	}
}

// taxon is the name, its WoRMS identifier where known, and the English name. A
// name that fitted several species is given no finer than it is sure.
func taxon(r *store.Report) (scientific, lsid, vernacular string) {
	s := advisor.LookUp(r.Species)
	if s == nil {
		return "Actinopterygii", "", ""
	}
	if !r.SpeciesSure {
		return s.Family, "", ""
	}
	if s.AphiaID > 0 {
		lsid = "urn:lsid:marinespecies.org:taxname:" + strconv.Itoa(s.AphiaID)
	}
	return s.ScientificName, lsid, s.EnglishName
}

func eventDate(r *store.Report) string {
	if r.DateOnly {
		return r.CaughtAt.Format(time.DateOnly)
	}
	return r.CaughtAt.Format("2006-01-02T15:04Z07:00")
}

// vitality is what the report says of life at release, in the standard's words.
func vitality(r *store.Report) string {
	switch {
	case r.Outcome == advisor.Died || r.Behaviour == advisor.Dead:
		return "dead"
	case r.Method == advisor.Kept, r.Outcome == advisor.TakenByOther:
		return "notAssessed"
	case r.Outcome == advisor.SwamDown || r.Behaviour == advisor.Strong:
		return "alive"
	case r.Outcome == "" && r.Behaviour == "":
		return "notAssessed"
	default:
		return "uncertain"
	}
}

func dwcDepth(r *store.Report) (low, high string) {
	high = string(figure(nil, r.DepthM))
	if r.DepthMinM != nil {
		return string(figure(nil, r.DepthMinM)), high
	}
	return high, high
}

func dwcPlace(r *store.Report, o *Options) (lat, lon, uncertainty, precision, generalised string) {
	c, ok := o.cellOf(r)
	if !ok {
		return
	}
	grid := strconv.FormatFloat(c.size, 'g', -1, 64)
	return string(figure(nil, &c.lat)), string(figure(nil, &c.lon)), string(figure(nil, &c.uncertaintyM)), grid,
		"Coordinates generalised to the centre of a " + grid + " degree grid cell"
}

// measurementColumns head measurementorfact.csv.
var measurementColumns = []string{"occurrenceID", "measurementID", "measurementType", "measurementValue", "measurementUnit", "measurementMethod"}

// writeMeasurements writes what was measured or seen on each fish, one line each.
func writeMeasurements(w io.Writer, reports Reports, _ *Options) error {
	l := lineWriter{out: bufio.NewWriterSize(w, 1<<16)}
	if err := l.write(measurementColumns...); err != nil {
		return err
	}
	for r, err := range reports {
		if err != nil {
			return err
		}
		id := occurrenceID(r)
		for _, m := range measurements(r) {
			if m.value == "" {
				continue
			}
			if err := l.write(id, id+"-"+m.key, m.what, m.value, m.unit, "angler's report"); err != nil {
				return err
			}
		}
	}
	return l.out.Flush()
}

type measurement struct{ key, what, value, unit string }

func measurements(r *store.Report) []measurement {
	seconds, millimetres := "", ""
	if r.MinutesOnDeck != nil {
		seconds = string(figure(nil, new(math.Round(*r.MinutesOnDeck*60))))
	}
	if r.LengthCm != nil {
		millimetres = string(figure(nil, new(*r.LengthCm*10)))
	}
	kinds := map[advisor.LengthType]string{"TL": "total length", "FL": "fork length", "SL": "standard length", "": "length"}
	methods := map[advisor.Method]string{
		advisor.Surface: "let go at the surface", advisor.Recompressed: "weighted return to depth", advisor.Vented: "vented", advisor.Kept: "kept",
	}
	list := []measurement{
		{"len", kinds[r.LengthType], millimetres, "mm"},
		{"wt", "weight", string(figure(nil, r.WeightKg)), "kg"},
		{"air", "time out of water", seconds, "s"},
		{"rel", "release method", methods[r.Method], ""},
		{"lead", "release weight", string(values["release_weights_oz"](nil, r, nil)), "oz"},
		{"reld", "release depth", string(figure(nil, r.ReleaseDepthM)), "m"},
		{"hook", "hook position", string(r.Hook), ""},
		{"beh", "behaviour at the surface", string(r.Behaviour), ""},
		{"out", "behaviour at release", string(r.Outcome), ""},
		{"temp", "surface water temperature", string(figure(nil, r.SurfaceTempC)), "°C"},
	}
	for _, s := range r.Signs {
		list = append(list, measurement{string(s), "barotrauma sign", string(s), ""})
	}
	return list
}

// writeAll writes one zip with every format and the definitions of the columns.
func writeAll(w io.Writer, reports Reports, o *Options) error {
	z := zip.NewWriter(w)
	parts := []struct {
		name  string
		write func(io.Writer) error
	}{
		{"log.csv", func(w io.Writer) error { return writeCSV(w, reports, o, spreadsheetCell) }},
		{"log-table.csv", func(w io.Writer) error { return writeCSV(w, reports, o, plainCell) }},
		{"log.xlsx", func(w io.Writer) error { return writeXLSX(w, reports, o) }},
		{"log.geojson", func(w io.Writer) error { return writeGeoJSON(w, reports, o) }},
		{"definitions.csv", func(w io.Writer) error { _, err := w.Write(columnsCSV); return err }},
	}
	for _, p := range parts {
		entry, err := z.CreateHeader(&zip.FileHeader{Name: p.name, Method: zip.Deflate, Modified: o.MadeAt})
		if err != nil {
			return err
		}
		if err := p.write(entry); err != nil {
			return err
		}
	}
	if err := writeDwCAInto(z, "darwin-core/", reports, o); err != nil {
		return err
	}
	return z.Close()
}
