package telegram

import (
	"maps"
	"sync"
	"time"
)

// known keeps what the server answered for as long as it is believed, so that not
// every message waits for the same call. The zero value is empty.
type known[K comparable, V any] struct {
	mu  sync.Mutex
	all map[K]believed[V]
}

type believed[V any] struct {
	value V
	until time.Time
}

func (k *known[K, V]) get(key K, now time.Time) (V, bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	b, ok := k.all[key]
	return b.value, ok && now.Before(b.until)
}

// put keeps a value; where there are most already, they all go.
func (k *known[K, V]) put(key K, value V, until time.Time, most int) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.all == nil || len(k.all) >= most {
		k.all = map[K]believed[V]{}
	}
	k.all[key] = believed[V]{value, until}
}

// forget drops those whose key is meant.
func (k *known[K, V]) forget(meant func(K) bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	maps.DeleteFunc(k.all, func(key K, _ believed[V]) bool { return meant(key) })
}
