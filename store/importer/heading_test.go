package importer

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestHeadingsAsPeopleWriteThem(t *testing.T) {
	for _, c := range []struct {
		text      string
		field     field
		unit      string
		kind      string
		recapture bool
	}{
		{"Depth (ft)", fieldDepth, "ft", "", false},
		{"DEPTH_M", fieldDepth, "m", "", false},
		{"Capture depth in feet", fieldDepth, "feet", "", false},
		{"depth of capture (fathoms)", fieldDepth, "fathoms", "", false},
		{"Fathoms", fieldDepth, "fathoms", "", false},
		{"Min depth (m)", fieldDepthFrom, "m", "", false},
		{"Wt lb", fieldWeight, "lb", "", false},
		{"Fish weight (kg)", fieldWeight, "kg", "", false},
		{"Len cm FL", fieldLength, "cm", "FL", false},
		{"FL_mm", fieldLength, "mm", "FL", false},
		{"Total Length (in)", fieldLength, "in", "TL", false},
		{"length in cm", fieldLength, "cm", "", false},
		{"ForkLength", fieldLength, "", "FL", false},
		{"Rel. method", fieldMethod, "", "", false},
		{"Release Method", fieldMethod, "", "", false},
		{"Vented? (Y/N)", fieldVented, "", "", false},
		{"Release weight (oz)", fieldLead, "oz", "", false},
		{"Release depth (m)", fieldReleaseDepth, "m", "", false},
		{"Tag #", fieldTag, "", "", false},
		{"TagNo", fieldTag, "", "", false},
		{"TAG NUMBER", fieldTag, "", "", false},
		{"Recap?", fieldRecaptured, "", "", false},
		{"Recapture_Date", fieldDate, "", "", true},
		{"Recapture length (cm TL)", fieldLength, "cm", "TL", true},
		{"Release date", fieldDate, "", "", false},
		{"Date tagged", fieldDate, "", "", false},
		{"Days at liberty", fieldLiberty, "days", "", false},
		{"Lat", fieldLat, "", "", false},
		{"Release longitude (W)", fieldLon, "", "", false},
		{"Time out of water (sec)", fieldMinutes, "sec", "", false},
		{"SST (°C)", fieldTemperature, "c", "", false},
		{"Depth fished (ft)", fieldDepth, "ft", "", false},
		{"Length type", fieldLengthType, "", "", false},
		{"Hook location", fieldHook, "", "", false},
		{"Hook type", fieldRemark, "", "", false},
		{"Pop-eye", "sign:bulging_eyes", "", "", false},
		{"Profundidad (m)", fieldDepth, "m", "", false},
		{"Profundidade em metros", "", "", "", false}, // "em" is no word known here: only a guess
		{"Espèce", fieldSpecies, "", "", false},
		{"Méthode de remise à l'eau", fieldMethod, "", "", false},
		{"Número de marca", fieldTag, "", "", false},
		{"Fish #", fieldSkip, "", "", false},
		{"# fish", fieldCount, "", "", false},
		{"Common name", fieldSpecies, "", "", false},
		{"Scientific Name", fieldScientific, "", "", false},
		{"Captain", fieldAngler, "", "", false},
		{"FKM", "", "", "", false},
		{"StartDate", "", "", "", false},
		{"", "", "", "", false},
	} {
		h, exact, ok := readHeading(c.text)
		if c.field == "" {
			assert.False(t, ok && exact, c.text)
			continue
		}
		assert.True(t, ok && exact, c.text)
		assert.Equal(t, c.field, h.field, c.text)
		assert.Equal(t, c.unit, h.unitWord, c.text)
		assert.Equal(t, c.kind, string(h.lengthType), c.text)
		assert.Equal(t, c.recapture, h.again > 0, c.text)
	}
}

func TestEveryHeadingOfTheListIsRead(t *testing.T) {
	for _, p := range known().phrases {
		text := ""
		for _, w := range p.words {
			text += w + " "
		}
		h, exact, ok := readHeading(text)
		assert.True(t, ok && exact, text)
		if h.field != p.field {
			// the same words in another language: the earlier line counts
			assert.Less(t, h.place, p.place, text)
		}
	}
}

func TestWordsOfTheListsMeanSomethingHere(t *testing.T) {
	v := known()
	for _, list := range []string{"method", "sign", "hook", "condition", "event", "month", "answer", "blank"} {
		assert.NotEmpty(t, v.words[list], list)
	}
	for cell, want := range map[string]string{
		"Vented with needle": "vented", "Surface": "surface", "not vented": "surface", "sent down on a weight": "recompressed", "KEPT": "kept",
	} {
		got, ok := v.meaning("method", cell)
		assert.True(t, ok, cell)
		assert.Equal(t, want, got, cell)
	}
	for _, cell := range []string{"vented and descended", "livewell", ""} {
		_, ok := v.meaning("method", cell)
		assert.False(t, ok, cell)
	}
}
