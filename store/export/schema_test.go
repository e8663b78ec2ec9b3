package export

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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

func exists(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}
