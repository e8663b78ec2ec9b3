package export

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/csv"
	"flag"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/store/catch"
	"deepward/store/demo"
)

var update = flag.Bool("update", false, "write the golden files anew")

var madeAt = time.Date(2026, 10, 1, 9, 0, 0, 0, time.UTC)

// season is an invented season with a hostile report in it.
func season(n int) []*catch.Report {
	list := demo.Reports(n, 7, 3)
	for i, r := range list {
		r.Number, r.Who = uint64(i+1), uint64(i%5+1)
		r.LogNo, r.ClubNo = r.Number, r.Number
	}
	h := list[0]
	h.SpeciesGiven = "=cmd|' /C calc'!A0, \"red\"\r\nsnapper"
	h.Tag = "+1+1"
	return list
}

// fixed is a small invented season that has one of everything; the golden files
// are made from it.
func fixed() []*catch.Report {
	list := fixedReports()
	for _, r := range list {
		r.LogNo, r.ClubNo = r.Number-10, r.Number-10
	}
	return list
}

func fixedReports() []*catch.Report {
	at := func(day, hour, minute, zone int) time.Time {
		return time.Date(2026, 5, day, hour, minute, 30, 0, time.FixedZone("", zone))
	}
	return []*catch.Report{
		{
			Number: 11, Chat: 1, Thread: 7, Season: "Skerrow 2026", CaughtAt: at(2, 10, 17, -7200), Who: 1, Named: true,
			Species: "Lutjanus campechanus", SpeciesGiven: "red snapper", SpeciesSure: true,
			Capture: advisor.Capture{DepthM: new(56.5), WeightKg: new(1.66), LengthCm: new(43.2), LengthType: advisor.ForkLength, Signs: []advisor.Sign{advisor.BloatedBelly, advisor.BulgingEyes}, Hook: advisor.HookLip, Bleeding: true, MinutesOnDeck: new(1.5), Behaviour: advisor.Weak}, DepthMinM: new(50.0),
			Release: advisor.Release{Method: advisor.Recompressed, WeightsOz: []float64{40, 20}, ReleaseDepthM: new(56.5), Outcome: advisor.SwamDown, Tag: "SKP000110"}, SignsLooked: true, Predators: true, SurfaceTempC: new(24.0), Advised: "recompress 40", Cell: &catch.Cell{Lat: -313, Lon: -181},
			Personal: catch.Personal{
				Person: 101, Name: "Ada Fenwright", Words: "=HYPERLINK(\"x\"), past the second buoy\r\n- 2 more",
				Lat: new(-31.28755), Lon: new(-18.01251), Note: "@home",
			},
		},
		{
			Number: 12, Chat: 2, Club: 1, Season: "Skerrow 2026", CaughtAt: at(3, 6, 45, 19800), Who: 2, Species: "Hyporthodus niveatus", SpeciesGiven: "cabrilla nevada, é",
			Capture: advisor.Capture{DepthM: new(120.0)}, Release: advisor.Release{Method: advisor.Vented, Outcome: advisor.FloatedOff}, SignsLooked: true, Cell: &catch.Cell{Lat: -1, Lon: 0},
		},
		{
			Number: 13, CaughtAt: at(4, 0, 0, 0), DateOnly: true, SpeciesGiven: "\"that\" thing", Capture: advisor.Capture{DepthM: new(18.288), LengthCm: new(30.48)},
			Release: advisor.Release{Method: advisor.Kept, Tag: "=1+1"}, Origin: "import-1a2b3c4d", Flags: []string{"size_for_length", "tag_invented"},
		},
		{
			Number: 14, Season: "Skerrow 2026", CaughtAt: at(20, 23, 59, 0), Who: 3, Species: "Lutjanus campechanus", SpeciesGiven: "red snapper",
			SpeciesSure: true, Capture: advisor.Capture{DepthM: new(40.0), LengthCm: new(44.1), LengthType: advisor.ForkLength}, Release: advisor.Release{Method: advisor.Surface,
				Outcome: advisor.SwamAtSurface, Tag: "SKP000110", Recapture: true}, Cell: &catch.Cell{Lat: -175, Lon: 1799},
		},
		{
			Number: 15, Season: "Skerrow 2026", CaughtAt: at(25, 8, 5, -7200), Who: 1, Species: "Lutjanus campechanus", SpeciesGiven: "red snapper",
			SpeciesSure: true, Capture: advisor.Capture{LengthCm: new(46.0), LengthType: advisor.TotalLength}, Release: advisor.Release{Method: advisor.Kept, Outcome: advisor.Died,
				Tag: "SKP000110", Recapture: true},
		},
	}
}

func options(f Format) Options {
	return Options{
		Format: f, MadeAt: madeAt, Club: "Skerrow <Point> & Co",
		Pseudonym: func(_ catch.ClubID, season string, who uint64) string { return "angler-" + strconv.FormatUint(who, 10) },
		Chat:      func(n catch.ClubID) (string, bool) { return "=Skerrow <Point> & Co", n == 2 },
	}
}

func writtenWith(t *testing.T, list []*catch.Report, o Options) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Write(context.Background(), &b, catch.Listed(list), o))
	return b.Bytes()
}

func written(t *testing.T, f Format, list []*catch.Report) []byte {
	t.Helper()
	return writtenWith(t, list, options(f))
}

func writtenRows(t *testing.T, list []*catch.Report, o Options) [][]string {
	t.Helper()
	rows, err := csv.NewReader(bytes.NewReader(writtenWith(t, list, o))).ReadAll()
	require.NoError(t, err)
	return rows
}

// fileIn reads one file of a zip.
func fileIn(t *testing.T, archive []byte, name string) []byte {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(archive), int64(len(archive)))
	require.NoError(t, err)
	f, err := z.Open(name)
	require.NoError(t, err)
	defer f.Close()
	data, err := io.ReadAll(f)
	require.NoError(t, err)
	return data
}

// checkGolden compares with a golden file; -update writes it.
func checkGolden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(path, got, 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	if !assert.Equal(t, string(want), string(got), name) {
		require.NoError(t, os.WriteFile(path+".got", got, 0o644))
	}
}

func TestFixedSeasonInEveryFormat(t *testing.T) {
	words := options(CSV)
	words.WithWords, words.WithNames, words.GridDeg = true, true, 0.01
	checkGolden(t, "log.csv", written(t, CSV, fixed()))
	checkGolden(t, "log-for-the-organiser.csv", writtenWith(t, fixed(), words))
	checkGolden(t, "log-table.csv", written(t, Table, fixed()))
	checkGolden(t, "log.geojson", written(t, GeoJSON, fixed()))
	all := written(t, All, fixed())
	for _, name := range []string{"README.txt", "definitions.csv"} {
		checkGolden(t, name, fileIn(t, all, name))
	}
	for _, name := range []string{"meta.xml", "eml.xml", "occurrence.csv", "measurementorfact.csv"} {
		checkGolden(t, name, fileIn(t, all, "darwin-core/"+name))
	}
	assert.Equal(t, written(t, CSV, fixed()), fileIn(t, all, "log.csv"), "the zip holds the same")
	assert.Equal(t, written(t, GeoJSON, fixed()), fileIn(t, all, "log.geojson"))
}
