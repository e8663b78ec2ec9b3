package learned

import (
	_ "embed"
	"sync"

	"deepward/advisor/packed"
)

//go:generate go run deepward/advisor/pack weights.bin

//go:embed weights.bin.gz
var weightsFile []byte

// Trained is the network that the program carries with it. It is unpacked when the
// first message needs it.
var Trained = sync.OnceValue(func() *Net {
	n, err := Load(packed.Open(weightsFile))
	if err != nil {
		panic("learned: embedded weights: " + err.Error())
	}
	return n
})
