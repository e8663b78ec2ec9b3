package export

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// archive is a Darwin Core Archive, read by the rules of the text guide and by
// what GBIF's reader refuses: no id with extensions, a missing file, a missing
// encoding, an index beyond the columns, a row that leads nowhere.
type archive struct {
	core, extension []map[string]string // by full term name; "id" is the core id
}

type archiveMeta struct {
	XMLName    xml.Name       `xml:"http://rs.tdwg.org/dwc/text/ archive"`
	Metadata   string         `xml:"metadata,attr"`
	Cores      []archiveTable `xml:"core"`
	Extensions []archiveTable `xml:"extension"`
}

type archiveTable struct {
	Encoding string        `xml:"encoding,attr"`
	Fields   string        `xml:"fieldsTerminatedBy,attr"`
	Lines    string        `xml:"linesTerminatedBy,attr"`
	Enclosed string        `xml:"fieldsEnclosedBy,attr"`
	Skip     int           `xml:"ignoreHeaderLines,attr"`
	RowType  string        `xml:"rowType,attr"`
	Location []string      `xml:"files>location"`
	ID       *archiveIndex `xml:"id"`
	CoreID   *archiveIndex `xml:"coreid"`
	Terms    []struct {
		Index   *int   `xml:"index,attr"`
		Term    string `xml:"term,attr"`
		Default string `xml:"default,attr"`
	} `xml:"field"`
}

type archiveIndex struct {
	Index int `xml:"index,attr"`
}

func openArchive(data []byte) (*archive, error) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, err
	}
	text, err := readEntry(z, "meta.xml")
	if err != nil {
		return nil, err
	}
	var meta archiveMeta
	if err := xml.Unmarshal(text, &meta); err != nil {
		return nil, err
	}
	if len(meta.Cores) != 1 || meta.Cores[0].ID == nil || len(meta.Extensions) != 1 || meta.Extensions[0].CoreID == nil {
		return nil, errors.New("one core with an id and one extension with a coreid are needed")
	}
	if _, err := readEntry(z, meta.Metadata); err != nil {
		return nil, err
	}
	a := &archive{}
	if a.core, err = meta.Cores[0].read(z, meta.Cores[0].ID.Index); err != nil {
		return nil, err
	}
	if a.extension, err = meta.Extensions[0].read(z, meta.Extensions[0].CoreID.Index); err != nil {
		return nil, err
	}
	return a, a.check()
}

func readEntry(z *zip.Reader, name string) ([]byte, error) {
	f, err := z.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(f)
}

func (t archiveTable) read(z *zip.Reader, id int) ([]map[string]string, error) {
	if t.Encoding != "UTF-8" || t.RowType == "" || t.Fields != "," || t.Lines != `\n` || t.Enclosed != `"` || len(t.Location) != 1 {
		return nil, fmt.Errorf("the form of %v is not said", t.Location)
	}
	text, err := readEntry(z, t.Location[0])
	if err != nil {
		return nil, err
	}
	if bytes.Count(text, []byte("\r")) > 0 {
		return nil, errors.New("lines end otherwise than meta.xml says")
	}
	lines, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil {
		return nil, err
	}
	head := lines[0]
	var rows []map[string]string
	for _, cells := range lines[t.Skip:] {
		row := map[string]string{"id": cells[id]}
		for _, f := range t.Terms {
			switch {
			case f.Index == nil:
				row[f.Term] = f.Default
			case *f.Index >= len(cells) || !strings.HasSuffix(f.Term, "/"+head[*f.Index]):
				return nil, fmt.Errorf("%s is not in column %d", f.Term, *f.Index)
			default:
				row[f.Term] = cells[*f.Index]
			}
		}
		rows = append(rows, row)
	}
	return rows, nil
}

// check: identifiers are there and unique, every extension row leads to a core row.
func (a *archive) check() error {
	ids := map[string]bool{}
	for _, row := range a.core {
		if row["id"] == "" || ids[row["id"]] {
			return fmt.Errorf("identifier %q is empty or there twice", row["id"])
		}
		ids[row["id"]] = true
	}
	measured := map[string]bool{}
	for _, row := range a.extension {
		m := row[termsURL+"measurementID"]
		if !ids[row["id"]] || measured[m] {
			return fmt.Errorf("measurement %q leads nowhere or is there twice", m)
		}
		measured[m] = true
	}
	return nil
}

func TestArchiveHoldsTogether(t *testing.T) {
	a, err := openArchive(written(t, DwCA, season(300)))
	require.NoError(t, err)
	assert.Len(t, a.core, 300)
	assert.NotEmpty(t, a.extension)
	for _, row := range a.core {
		for _, term := range []string{"basisOfRecord", "occurrenceStatus", "eventDate", "scientificName", "kingdom"} {
			assert.NotEmpty(t, row[termsURL+term], term)
		}
		assert.NotEqual(t, "0", row[termsURL+"coordinateUncertaintyInMeters"], "0 is not allowed")
		assert.Equal(t, row[termsURL+"decimalLatitude"] == "", row[termsURL+"coordinateUncertaintyInMeters"] == "")
	}
}

func TestArchiveThatDoesNotHoldTogetherIsNoticed(t *testing.T) {
	list := season(3)
	list[2].Number = list[1].Number
	_, err := openArchive(written(t, DwCA, list))
	assert.ErrorContains(t, err, "twice")
}

func TestRecapturesPointToEachOther(t *testing.T) {
	o := options(DwCA)
	o.Dataset = "urn:skerrow"
	a, err := openArchive(writtenWith(t, fixed(), o))
	require.NoError(t, err)
	links := map[string]string{}
	for _, row := range a.core {
		links[row["id"]] = row[termsURL+"associatedOccurrences"]
		if i := slices.Index([]string{"urn:skerrow:report-11", "urn:skerrow:report-14", "urn:skerrow:report-15"}, row["id"]); i >= 0 {
			assert.Equal(t, "urn:skerrow:tag-SKP000110", row[termsURL+"organismID"])
		}
	}
	assert.Equal(t, map[string]string{
		"urn:skerrow:report-11": `"encounter previous to":"urn:skerrow:report-14"`,
		"urn:skerrow:report-12": "",
		"urn:skerrow:report-13": "",
		"urn:skerrow:report-14": `"encounter subsequent to":"urn:skerrow:report-11" | "encounter previous to":"urn:skerrow:report-15"`,
		"urn:skerrow:report-15": `"encounter subsequent to":"urn:skerrow:report-14"`,
	}, links)
}

// Aphia IDs from the species table; the form of the identifier is WoRMS's own.
func TestSpeciesAreNamedAsFarAsTheyAreSure(t *testing.T) {
	a, err := openArchive(written(t, DwCA, fixed()))
	require.NoError(t, err)
	taxon := func(i int) []string {
		row := a.core[i]
		return []string{row[termsURL+"scientificName"], row[termsURL+"scientificNameID"], row[termsURL+"taxonRank"], row[termsURL+"identificationQualifier"]}
	}
	assert.Equal(t, []string{"Lutjanus campechanus", "urn:lsid:marinespecies.org:taxname:159795", "species", ""}, taxon(0))
	assert.Equal(t, []string{"Chordata", "", "phylum", "cf. Hyporthodus niveatus"}, taxon(1))
	assert.Equal(t, []string{"Chordata", "", "phylum", ""}, taxon(2))
}

func TestTimesInTheArchiveAreAsCoarseAsPlaces(t *testing.T) {
	o := options(DwCA)
	for _, c := range []struct {
		grid float64
		want []string
	}{
		{0.1, []string{"2026-05-02T10:00-02:00/2026-05-02T11:00-02:00", "2026-05-03T06:00+05:30/2026-05-03T07:00+05:30", "2026-05-04", "2026-05-20T23:00Z/2026-05-21T00:00Z"}},
		{0.01, []string{"2026-05-02T10:17-02:00", "2026-05-03T06:45+05:30", "2026-05-04", "2026-05-20T23:59Z"}},
	} {
		o.GridDeg = c.grid
		a, err := openArchive(writtenWith(t, fixed(), o))
		require.NoError(t, err)
		for i, want := range c.want {
			assert.Equal(t, want, a.core[i][termsURL+"eventDate"])
		}
		said := a.core[0][termsURL+"dataGeneralizations"]
		assert.Contains(t, said, strconv.FormatFloat(c.grid, 'g', -1, 64)+" degree grid cell")
		assert.Equal(t, c.grid == 0.1, strings.Contains(said, "Time generalised to the hour"))
	}
}
