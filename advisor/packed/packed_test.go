package packed

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWhatIsPackedComesOutAsItWas(t *testing.T) {
	raw := []byte(strings.Repeat("lingcod,60,cm\n", 500))
	packed := Pack(raw)
	assert.Less(t, len(packed), len(raw)/20)
	assert.Equal(t, raw, Open(packed))
	assert.Equal(t, packed, Pack(raw), "the same file is packed in the same way")
	assert.Empty(t, Open(Pack(nil)))
}

func TestAFileIsPackedBesideItself(t *testing.T) {
	name := filepath.Join(t.TempDir(), "fish.csv")
	require.NoError(t, os.WriteFile(name, []byte("name\ncod\n"), 0o600))
	require.NoError(t, File(name))
	packed, err := os.ReadFile(name + ".gz")
	require.NoError(t, err)
	assert.Equal(t, "name\ncod\n", string(Open(packed)))
	assert.Error(t, File(name+".none"))
}

func TestADamagedFileIsAFaultOfTheBuild(t *testing.T) {
	packed := Pack([]byte(strings.Repeat("name\n", 50)))
	packed[15] ^= 0xff
	assert.Panics(t, func() { Open(packed) })
}
