package export

import (
	"encoding/xml"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/store/catch"
)

// The archive's two XML files by our own reader; by the xmllint of libxml2 where it
// is there; and against the public schemas when DEEPWARD_SCHEMAS names a folder that
// has tdwg_dwc_text.xsd (repository tdwg/dwc) or eml-gbif-profile.xsd
// (gbif/eml-profile), with what they import.
func TestArchiveIsValidByTheGivenSchemas(t *testing.T) {
	data := written(t, DwCA, season(50))
	_, err := openArchive(data)
	require.NoError(t, err, "by our own reader")
	for name, schema := range map[string]string{"meta.xml": "tdwg_dwc_text.xsd", "eml.xml": "eml-gbif-profile.xsd"} {
		file := filepath.Join(t.TempDir(), name)
		require.NoError(t, os.WriteFile(file, fileIn(t, data, name), 0o600))
		for _, args := range lints(schema) {
			out, err := exec.Command("xmllint", append(args, file)...).CombinedOutput()
			assert.NoError(t, err, "%s by %s: %s", name, schema, out)
		}
	}
}

// lints are the ways to run xmllint, none where it is not there.
func lints(schema string) (list [][]string) {
	if _, err := exec.LookPath("xmllint"); err != nil {
		return nil
	}
	list = append(list, []string{"--noout", "--nonet"})
	if path := filepath.Join(os.Getenv("DEEPWARD_SCHEMAS"), schema); os.Getenv("DEEPWARD_SCHEMAS") != "" && exists(path) {
		list = append(list, []string{"--noout", "--nonet", "--schema", path})
	}
	return list
}

// profile is what GBIF's metadata profile allows below each element that eml.xml has, in
// order: from eml-gbif-profile.xsd, version 1.3 (repository gbif/eml-profile, commit 03e1abf),
// read there and copied by hand; "+" is for what must be there.
var profile = map[string][]string{
	"dataset": {
		"alternateIdentifier", "shortName", "title+", "creator+", "metadataProvider", "associatedParty", "pubDate+", "language", "abstract+",
		"keywordSet", "additionalInfo", "intellectualRights", "licensed", "distribution", "coverage", "purpose", "maintenance", "contact+",
		"publisher", "methods", "project", "literatureCited",
	},
	"abstract":                {"para+"},
	"intellectualRights":      {"para+"},
	"geographicCoverage":      {"geographicDescription+", "boundingCoordinates+"},
	"boundingCoordinates":     {"westBoundingCoordinate+", "eastBoundingCoordinate+", "northBoundingCoordinate+", "southBoundingCoordinate+"},
	"temporalCoverage":        {"rangeOfDates", "singleDateTime"},
	"rangeOfDates":            {"beginDate+", "endDate+"},
	"taxonomicCoverage":       {"generalTaxonomicCoverage", "taxonomicClassification+"},
	"taxonomicClassification": {"taxonRankName", "taxonRankValue+", "commonName"},
	// An agent begins with names in any order; ours have the person first.
	"creator":          {"individualName", "organizationName", "positionName", "address", "phone", "electronicMailAddress", "onlineUrl", "userId"},
	"metadataProvider": {"individualName", "organizationName", "positionName", "address", "phone", "electronicMailAddress", "onlineUrl", "userId"},
	"contact":          {"individualName", "organizationName", "positionName", "address", "phone", "electronicMailAddress", "onlineUrl", "userId"},
	"coverage":         {"geographicCoverage", "temporalCoverage", "taxonomicCoverage"},
}

// element is an XML element with those below it.
type element struct {
	XMLName xml.Name
	Below   []element `xml:",any"`
}

func TestMetadataHasTheElementsOfThePublicProfileInItsOrder(t *testing.T) {
	for _, o := range []func(*Options){func(*Options) {}, func(o *Options) {
		o.Contact, o.License = "Ada Fenwright <ada@example.org>", Licenses[0]
	}, func(o *Options) { o.Invented = true }} {
		with := options(DwCA)
		o(&with)
		for _, list := range [][]*catch.Report{season(50), fixed(), nil} {
			var eml element
			require.NoError(t, xml.Unmarshal(fileIn(t, writtenWith(t, list, with), "eml.xml"), &eml))
			require.Len(t, eml.Below, 1)
			assert.Equal(t, xml.Name{Space: "https://eml.ecoinformatics.org/eml-2.2.0", Local: "eml"}, eml.XMLName)
			assertOfProfile(t, eml.Below[0])
		}
	}
}

func assertOfProfile(t *testing.T, e element) {
	t.Helper()
	allowed, known := profile[e.XMLName.Local]
	at := 0
	found := map[string]bool{}
	for _, b := range e.Below {
		name := b.XMLName.Local
		found[name] = true
		assertOfProfile(t, b)
		if !known {
			continue
		}
		place := slices.IndexFunc(allowed, func(a string) bool { return strings.TrimSuffix(a, "+") == name })
		assert.GreaterOrEqual(t, place, at, "%s in %s", name, e.XMLName.Local)
		at = max(at, place)
	}
	for _, a := range allowed {
		if must, ok := strings.CutSuffix(a, "+"); ok {
			assert.True(t, found[must], "%s in %s", must, e.XMLName.Local)
		}
	}
}

func exists(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}
