package importer

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor"
	"deepward/store/catch"
)

// row is the report of one row beside the date and the fish.
func row(t *testing.T, head, cells string, o Options) *catch.Report {
	t.Helper()
	return only(t, "Date,Fish,"+head+"\n2025-03-04,gag,"+cells+"\n", o)
}

// problemOf is the one problem of such a row, which stands behind others that have none.
func problemOf(t *testing.T, head, cells string, o Options, others ...string) string {
	t.Helper()
	rows := ""
	for _, cells := range append(others, cells) {
		rows += "2025-03-04,gag," + cells + "\n"
	}
	s := sheetOf(t, "Date,Fish,"+head+"\n"+rows, o)
	last := s.Rows[len(others)]
	require.Len(t, last.Problems, 1, "%s: %s", head, cells)
	require.Empty(t, last.Entries, "%s: %s", head, cells)
	return last.Problems[0].String()
}

// The depth that counts is the deep end; a range keeps its shallow one. A foot is 0.3048 m
// and a fathom six feet (international yard, 1959).
func TestDepthsOfARow(t *testing.T) {
	for _, c := range []struct {
		head, cells string
		deep, from  float64 // NaN for none
	}{
		{"Depth (m)", "40", 40, math.NaN()},
		{"Depth (ft)", "130", 39.624, math.NaN()},
		{"Depth (fathoms)", "20", 36.576, math.NaN()},
		{"Depth (m)", "35-40", 40, 35},
		{"Depth (m)", "40-35", 40, 35},
		{"Depth (m)", "35 to 40 m", 40, 35},
		{"Depth (m)", "130 ft", 39.624, math.NaN()},
		{"Min depth (m),Depth (m)", "35,40", 40, 35},
		{"Min depth (m),Depth (m)", "40,40", 40, math.NaN()},
		{"Min depth (m),Depth (m)", "35,", 35, math.NaN()},
		{"Min depth (m),Max depth (m)", "35,40", 40, 35},
		{"Depth (m)", "", math.NaN(), math.NaN()},
		{"Depth (m)", "n/a", math.NaN(), math.NaN()},
		{"Profundidad (m)", "40", 40, math.NaN()},
		{"Profondeur (m)", "40", 40, math.NaN()},
		{"Profundidade (m)", "40", 40, math.NaN()},
		{"Depth (m)", "20 fath", 36.576, math.NaN()},
		{"Profundidad (m)", "1 pie", 0.3048, math.NaN()},
	} {
		r := row(t, c.head, c.cells, options())
		figureIs(t, c.deep, r.DepthM, c.head+": "+c.cells)
		figureIs(t, c.from, r.DepthMinM, c.head+": "+c.cells+", from")
	}
	assert.Contains(t, problemOf(t, "Depth (m)", "0", options()), "is no depth")
	assert.Contains(t, problemOf(t, "Min depth (m),Depth (m)", "41,40", options()), "is deeper than the depth itself")
	assert.Contains(t, problemOf(t, "Depth (m)", "deep", options(), "40", "45"), `Depth (m): "deep"`)
}

// figureIs compares a figure with one told, NaN for none.
func figureIs(t *testing.T, want float64, got *float64, what string) {
	t.Helper()
	if math.IsNaN(want) {
		assert.Nil(t, got, what)
		return
	}
	require.NotNil(t, got, what)
	assert.InDelta(t, want, *got, 1e-6, what)
}

// A pound is 0.45359237 kg, an ounce a sixteenth of it, an inch 2.54 cm (1959).
func TestSizesOfARow(t *testing.T) {
	for _, c := range []struct {
		head, cells string
		kg, cm      float64
		kind        advisor.LengthType
	}{
		{"Weight (kg)", "3.2", 3.2, math.NaN(), ""},
		{"Weight (lb)", "7", 3.1751, math.NaN(), ""},
		{"Weight (lb)", "7 lb 8 oz", 3.4019, math.NaN(), ""},
		{"Weight (g)", "850", 0.85, math.NaN(), ""},
		{"Weight (kg)", "0", math.NaN(), math.NaN(), ""},
		{"Length (cm)", "52", math.NaN(), 52, ""},
		{"FL (mm)", "520", math.NaN(), 52, advisor.ForkLength},
		{"TL (in)", "20.5", math.NaN(), 52.07, advisor.TotalLength},
		{"Standard length (cm)", "44", math.NaN(), 44, advisor.StandardLength},
		{"Length (cm),Length type", "52,fork", math.NaN(), 52, advisor.ForkLength},
		{"Length (cm),Length type", "52,TL", math.NaN(), 52, advisor.TotalLength},
		{"Length (cm),Length type", "52,", math.NaN(), 52, ""},
		{"Length (cm),Length type", "52 FL,TL", math.NaN(), 52, advisor.ForkLength},
		{"Length (cm)", "52 cm TL", math.NaN(), 52, advisor.TotalLength},
		{"Length (cm)", "20 in", math.NaN(), 50.8, ""},
		{"Weight,Weight unit", "7,lb", 3.1751, math.NaN(), ""},
		{"Weight,Weight unit", "3.2,kg", 3.2, math.NaN(), ""},
		{"Peso (kg),Longitud (cm)", "3.2,52", 3.2, 52, ""},
		{"Poids (kg),Longueur (cm)", "3.2,52", 3.2, 52, ""},
	} {
		r := row(t, c.head, c.cells, options())
		figureIs(t, c.kg, r.WeightKg, c.head+": "+c.cells)
		figureIs(t, c.cm, r.LengthCm, c.head+": "+c.cells)
		assert.Equal(t, c.kind, r.LengthType, c.head+": "+c.cells)
	}
	assert.Contains(t, problemOf(t, "Weight (kg),Length,Length unit", ",7,cubit", options(), ",52,cm"), "no unit that is known here")
	s := sheetOf(t, "Date,Fish,Length (cm),Length type\n2025-03-04,gag,52,TL\n2025-03-04,gag,52,bent\n", options())
	assert.Equal(t, "Length type: bent", s.Rows[1].Entries[0].Report.Personal.Note, "kept as a remark")
}

// A fish cannot be much larger than the largest of its kind; the limit is the advisor's, by
// the greatest length of the catalogue.
func TestFishLargerThanItsKindIsAProblem(t *testing.T) {
	gag := advisor.LookUp("Mycteroperca microlepis")
	require.NotNil(t, gag)
	longest := advisor.RecordSlack * gag.MaxLengthCm
	figureIs(t, math.Floor(longest), row(t, "Length (cm)", fmt.Sprint(math.Floor(longest)), options()).LengthCm, "just so long")
	text := problemOf(t, "Length (cm)", fmt.Sprint(math.Ceil(longest+0.001)), options())
	assert.Contains(t, text, "is longer than Gag grouper grows")
	text = problemOf(t, "Weight (kg)", fmt.Sprint(math.Ceil(gag.MaxWeightKg()+0.001)), options())
	assert.Contains(t, text, "is more than Gag grouper reaches")
	s := sheetOf(t, fmt.Sprintf("Date,Fish,Length (cm)\n2025-03-04,blue thing,%.0f\n", math.Ceil(longest+0.001)), options())
	assert.NoError(t, s.Ready(), "of a fish that nobody knows, only what no fish reaches is refused")
}

// Figures that stand for "not told" in many logs are named as what they may be.
func TestCodeForNotToldIsNamed(t *testing.T) {
	for head, cell := range map[string]string{"Weight (kg)": "9999", "Depth (m)": "99999", "Length (cm)": "999"} {
		text := problemOf(t, head, cell, options())
		assert.Contains(t, text, fmt.Sprintf("--value \"%s:%s=-\"", head, cell))
		o := options()
		o.Values = map[string]string{head + ":" + cell: "-"}
		r := row(t, head, cell, o)
		assert.Nil(t, r.WeightKg)
		assert.Nil(t, r.DepthM)
		assert.Nil(t, r.LengthCm)
	}
	assert.NotContains(t, problemOf(t, "Length (cm)", "1.5", options()), "--value", "a small figure is no such code")
}

func TestLeadOfARow(t *testing.T) {
	for cells, want := range map[string][]float64{
		"40": {40}, "2.5 lb": {40}, "40 oz": {40}, "20+20": {20, 20}, "20 + 40": {20, 40}, "0": nil, "": nil, "yes": nil, "no": nil, "n/a": nil,
	} {
		assert.Equal(t, want, row(t, "Release weight (oz)", cells, options()).WeightsOz, cells)
	}
	r := row(t, "Release weight (g)", "1134", options())
	require.Len(t, r.WeightsOz, 1)
	assert.InDelta(t, 40, r.WeightsOz[0], 0.01, "40 oz are 1,134 g to the gram")
}

// A row may stand for several fish, but one tag is on one fish.
func TestRowOfSeveralFish(t *testing.T) {
	for cells, want := range map[string]int{"1": 1, "3": 3, "3.0": 3, "": 1, "n/a": 1} {
		s := sheetOf(t, "Date,Fish,Count\n2025-03-04,gag,"+cells+"\n", options())
		require.NoError(t, s.Ready(), cells)
		assert.Len(t, s.Rows[0].Entries, want, cells)
	}
	for _, cells := range []string{"2.5", "many", "-1", "0"} {
		assert.Contains(t, problemOf(t, "Count", cells, options()), "is no number of fish from 1 to 60", cells)
	}
	assert.Contains(t, problemOf(t, "Count,Tag", "2,A1", options()), "fish cannot all wear one tag")
	s := sheetOf(t, "Date,Fish,Count,Tag\n2025-03-04,gag,1,A1\n", options())
	assert.NoError(t, s.Ready())
	first := sheetOf(t, "Date,Fish,Count,Signs\n2025-03-04,gag,2,bulging eyes\n", options()).Rows[0].Entries
	first[0].Report.Signs[0] = advisor.BloatedBelly
	assert.Equal(t, []advisor.Sign{advisor.BulgingEyes}, first[1].Report.Signs, "what is mended in one is not mended in the other")
}

// A tag is known by its letters and figures, however it was written.
func TestTagsAreKnownByTheirSigns(t *testing.T) {
	for cell, want := range map[string]string{
		"A1": "A1", "a1": "A1", "ab-001": "AB001", "AB 001": "AB001", "ab.001": "AB001", "#0042": "0042", "": "", "none": "",
		"0": "", "0000": "", "n/a": "", "no tag": "", strings.Repeat("x", maxTagBytes): strings.Repeat("X", maxTagBytes),
	} {
		assert.Equal(t, want, row(t, "Tag", cell, options()).Tag, cell)
	}
	assert.Contains(t, problemOf(t, "Tag", strings.Repeat("x", maxTagBytes+1), options()), "is too long for a tag number")
}

func TestStateOfARow(t *testing.T) {
	for _, c := range []struct {
		head, cells string
		want        catch.Report
	}{
		{"Hook location", "lip", catch.Report{Capture: advisor.Capture{Hook: advisor.HookLip}}},
		{"Hook location", "Upper jaw", catch.Report{Capture: advisor.Capture{Hook: advisor.HookLip}}},
		{"Hook location", "gills", catch.Report{Capture: advisor.Capture{Hook: advisor.HookGill}}},
		{"Hook location", "swallowed", catch.Report{Capture: advisor.Capture{Hook: advisor.HookGut}}},
		{"Hook location", "foul hooked", catch.Report{Capture: advisor.Capture{Hook: advisor.HookFoul}}},
		{"Hook location", "tongue", catch.Report{Capture: advisor.Capture{Hook: advisor.HookMouth}}},
		{"Hook location", "", catch.Report{}},
		{"Bleeding", "yes", catch.Report{Capture: advisor.Capture{Bleeding: true}}},
		{"Bleeding", "0", catch.Report{}},
		{"Predators", "1", catch.Report{Predators: true}},
		{"Predators", "no", catch.Report{}},
		{"Condition", "bueno", catch.Report{Capture: advisor.Capture{Behaviour: advisor.Strong}}},
		{"Condition", "faible", catch.Report{Capture: advisor.Capture{Behaviour: advisor.Weak}}},
		{"Condition", "morto", catch.Report{Release: advisor.Release{Outcome: advisor.Died}}},
		{"Condition", "floto", catch.Report{Release: advisor.Release{Outcome: advisor.FloatedOff}}},
		{"Condition", "remained at surface", catch.Report{Release: advisor.Release{Outcome: advisor.SwamAtSurface}}},
		{"Condition", "kept", catch.Report{Release: advisor.Release{Method: advisor.Kept}}},
	} {
		r := row(t, c.head, c.cells, options())
		what := c.head + ": " + c.cells
		assert.Equal(t, c.want.Hook, r.Hook, what)
		assert.Equal(t, c.want.Bleeding, r.Bleeding, what)
		assert.Equal(t, c.want.Predators, r.Predators, what)
		assert.Equal(t, c.want.Behaviour, r.Behaviour, what)
		assert.Equal(t, c.want.Outcome, r.Outcome, what)
		assert.Equal(t, c.want.Method, r.Method, what)
		assert.Empty(t, r.Personal.Note, what)
	}
	for head, cell := range map[string]string{"Hook location": "somewhere", "Bleeding": "a little", "Signs": "odd look"} {
		assert.Equal(t, head+": "+cell, row(t, head, cell, options()).Personal.Note, "what is not understood is kept as a remark")
	}
}

// Places are kept to a tenth of a degree, the exact ones only where that was said.
func TestPlacesOfARow(t *testing.T) {
	for _, c := range []struct {
		head, cells string
		cell        *catch.Cell
	}{
		{"Latitude,Longitude", "-31.25,18.61", &catch.Cell{Lat: -313, Lon: 186}},
		{"Latitude,Longitude", "31.25 S,18.61 E", &catch.Cell{Lat: -313, Lon: 186}},
		{"Latitude,Longitude", "31°15'S,18°36.6'E", &catch.Cell{Lat: -313, Lon: 186}},
		{"Position", `"-31.25, 18.61"`, &catch.Cell{Lat: -313, Lon: 186}},
		{"Position", `31°15'S 18°36.6'E`, &catch.Cell{Lat: -313, Lon: 186}},
		{"Latitude (S),Longitude (W)", "31.25,18.61", &catch.Cell{Lat: -313, Lon: -187}},
		{"Lat deg,Lat min,Lon deg,Lon min", "31,15,18,36.6", &catch.Cell{Lat: 312, Lon: 186}},
		{"Latitude,Longitude", "0,0", nil},
		{"Latitude,Longitude", ",", nil},
		{"Latitude,Longitude", "90,180", &catch.Cell{Lat: 900, Lon: 1800}},
	} {
		r := row(t, c.head, c.cells, options())
		what := c.head + ": " + c.cells
		assert.Equal(t, c.cell, r.Cell, what)
		assert.Nil(t, r.Personal.Lat, what)
		assert.Nil(t, r.Personal.Lon, what)
	}
	o := options()
	o.KeepPlaces = true
	r := row(t, "Latitude,Longitude", "-31.25,18.61", o)
	figureIs(t, -31.25, r.Personal.Lat, "exact")
	figureIs(t, 18.61, r.Personal.Lon, "exact")
	for _, c := range []struct{ head, cells, before string }{
		{"Latitude,Longitude", "91,18.61", "-31.25,18.61"}, {"Latitude,Longitude", "31.25,181", "-31.25,18.61"}, {"Latitude,Longitude", "31.25,", "-31.25,18.61"}, {"Latitude,Longitude", "31.25 E,18.61", "-31.25,18.61"},
		{"Latitude,Longitude", "31 61 S,18.61", "-31.25,18.61"}, {"Latitude,Longitude", "north of the pier,18.61", "-31.25,18.61"}, {"Position", "the wreck", `"-31.25, 18.61"`},
	} {
		text := problemOf(t, c.head, c.cells, options(), c.before, c.before)
		assert.NotContains(t, text, strings.Split(c.cells, ",")[0], "the place itself is not shown")
		if c.head != "Position" {
			assert.Contains(t, text, `--column "Latitude=-" --column "Longitude=-"`)
		}
	}
}

// The row is kept as it was written, but for who fished and where.
func TestWordsOfARowAreKeptWithoutPeopleAndPlaces(t *testing.T) {
	const head = "Depth (m),Angler,Latitude,Longitude,Remarks,Whatever"
	const cells = "40,Ada Fenwright,-31.25,18.61,long fight,x7"
	r := row(t, head, cells, options())
	assert.Equal(t, "Date: 2025-03-04; Fish: gag; Depth (m): 40; Remarks: long fight", r.Personal.Words)
	assert.Equal(t, "Remarks: long fight", r.Personal.Note)
	assert.Empty(t, r.Personal.Name)
	o := options()
	o.KeepNames, o.KeepPlaces = true, true
	r = row(t, head, cells, o)
	assert.Equal(t, "Ada Fenwright", r.Personal.Name)
	assert.Contains(t, r.Personal.Words, "Angler: Ada Fenwright; Latitude: -31.25; Longitude: 18.61")
}

// What the chat doubts of a report is kept with one from an old log too.
func TestDoubtsAreKeptWithTheReport(t *testing.T) {
	o := options()
	o.Doubts = func(r *catch.Report) []string {
		if *r.DepthM > 100 {
			return []string{"deep"}
		}
		return nil
	}
	assert.Equal(t, []string{"deep"}, row(t, "Depth (m)", "101", o).Flags)
	assert.Empty(t, row(t, "Depth (m)", "100", o).Flags)
}
