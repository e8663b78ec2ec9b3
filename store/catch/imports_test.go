package catch_test

import (
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What sums, draws, writes and reads catches can be used, and tested, without a
// database: neither these packages nor their tests reach one by any way.
func TestCatchesNeedNoDatabase(t *testing.T) {
	for _, name := range []string{"catch", "season", "report", "export", "demo"} {
		assert.Empty(t, reached(t, "-deps", "-test", "deepward/store/"+name), name)
	}
	assert.Empty(t, reached(t, "-deps", "deepward/store/importer"))
	assert.NotEmpty(t, reached(t, "-deps", "deepward/store"), "the test would see one")
}

// reached lists the packages of the database that go list finds.
func reached(t *testing.T, args ...string) (list []string) {
	t.Helper()
	out, err := exec.Command("go", append([]string{"list"}, args...)...).Output()
	require.NoError(t, err)
	for _, path := range strings.Fields(string(out)) {
		if path == "deepward/store" || strings.Contains(path, "bbolt") {
			list = append(list, path)
		}
	}
	return list
}
