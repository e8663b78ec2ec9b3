package learned

import (
	"bytes"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/advisor/packed"
)

// raw is the file of weights as it was trained.
func raw(t *testing.T) []byte {
	t.Helper()
	file, err := os.ReadFile("weights.bin")
	require.NoError(t, err)
	return file
}

func TestWeightsArePackedAsTheyStand(t *testing.T) {
	assert.True(t, bytes.Equal(raw(t), packed.Open(weightsFile)), "weights.bin has changed: go generate ./bot/understand/learned")
}

func TestWeightsThatDoNotFitAreRefused(t *testing.T) {
	whole := raw(t)
	for name, file := range map[string][]byte{
		"empty": nil, "foreign": []byte("something else"), "cut short": whole[:len(whole)-2],
		"longer": append(append([]byte(nil), whole...), 0, 0),
	} {
		_, err := Load(file)
		assert.ErrorIs(t, err, errWeights, name)
	}
}

func TestTheSameWordsGiveTheSameScores(t *testing.T) {
	names := map[string]uint8{"gag": 1}
	l := &Lexicon{Phrases: map[string][]int{}, Names: func(phrase string) uint8 { return names[phrase] }}
	words := []string{"gag", "40", "m", "3", "kg", "eyes", "out"}
	a, b := Trained().Read(l, words, Context{}), Trained().Read(l, words, Context{})
	assert.Equal(t, a, b)
	require.Len(t, a.Tags[Figures], len(words))
	assert.Equal(t, "B-depth_m", a.Tags[Figures][1])
	assert.Equal(t, "B-weight_kg", a.Tags[Figures][3])
	assert.Equal(t, "question", Trained().Acts[0])
	assert.Greater(t, a.Act[0], float32(0.5))
}

func TestFastExpIsClose(t *testing.T) {
	for x := float32(-20); x < 20; x += 0.37 {
		assert.InEpsilon(t, float64(exp(x))*float64(exp(-x)), 1, 1e-5, x)
	}
	assert.InDelta(t, 2.7182818, exp(1), 1e-5)
}

func TestSigmoidIsClose(t *testing.T) {
	for x := -20.0; x < 20; x += 0.037 {
		assert.InDelta(t, 1/(1+math.Exp(-x)), sigmoid(float32(x)), 4e-6, x)
		assert.InDelta(t, math.Tanh(x), tanh(float32(x)), 8e-6, x)
	}
}

func TestAMapByColumnsIsTheSame(t *testing.T) {
	weight := halves{2, 3, []byte{0, 0x3c, 0, 0x40, 0, 0x42, 0, 0x44, 0, 0x45, 0, 0x46}} // 1 to 6, IEEE 754
	bias := array{1, 2, []float32{10, 20}}
	l := linear{weight.array(), bias}
	x := []float32{0, 1, 0, 2, 0, -1}
	room := &scratch{}
	assert.Equal(t, []float32{1, 2, 3, 4, 5, 6}, l.weight.data)
	assert.Equal(t, []float32{12, 25, 9, 22}, l.all(room, x, 2))
	assert.Equal(t, l.all(room, x, 2), byColumns{weight.transposed(), bias}.all(room, x, 2))
	assert.Equal(t, []float32{12, 25}, l.one(x[:3]))
}
