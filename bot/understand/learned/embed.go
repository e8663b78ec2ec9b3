package learned

import (
	_ "embed"
	"sync"
)

//go:embed weights.bin
var weightsFile []byte

// Trained is the network that the program carries with it. It is unpacked when the
// first message needs it.
var Trained = sync.OnceValue(func() *Net {
	n, err := Load(weightsFile)
	if err != nil {
		panic("learned: embedded weights: " + err.Error())
	}
	return n
})
