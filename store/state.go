package store

import (
	"bytes"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"iter"
	"slices"
	"strconv"

	"deepward/store/catch"
)

// PersonKey begins the key of every piece of state that belongs to a person, so
// that ForgetPerson finds it.
func (t *Tx) PersonKey(person catch.PersonID) string {
	return WhoKey(t.Who(person))
}

// ClubCode is what a link to a club carries beside its number: a keyed hash that nobody
// guesses.
func (t *Tx) ClubCode(club catch.ClubID) string {
	return strconv.FormatUint(t.s.sealer.number("club link", strconv.FormatUint(uint64(club), 10)), 36)
}

// WhoKey begins the key of every piece of state of the person that a keyed hash stands for.
func WhoKey(who uint64) string { return hex.EncodeToString(number64(who)) }

func stateKey(kind, key string) []byte { return slices.Concat([]byte(kind), []byte{0}, []byte(key)) }

// Put keeps a sealed value under a kind and a key.
func (t *Tx) Put(kind, key string, value any) error {
	plain, err := encMode.Marshal(value)
	if err != nil {
		return fmt.Errorf("packing %s %s: %w", kind, key, err)
	}
	k := stateKey(kind, key)
	return t.bucket(bucketState).Put(k, t.s.sealer.seal(plain, place(bucketState, k)))
}

// Get reads the value of a kind and a key; false if there is none.
func (t *Tx) Get(kind, key string, value any) (bool, error) {
	k := stateKey(kind, key)
	sealed := t.bucket(bucketState).Get(k)
	if sealed == nil {
		return false, nil
	}
	plain, err := t.s.sealer.open(sealed, place(bucketState, k))
	if err != nil {
		return false, fmt.Errorf("%s %s: %w", kind, key, err)
	}
	if err := decMode.Unmarshal(plain, value); err != nil {
		return false, fmt.Errorf("unpacking %s %s: %w", kind, key, err)
	}
	return true, nil
}

// Has reports whether there is a value under a kind and a key.
func (t *Tx) Has(kind, key string) bool {
	return t.bucket(bucketState).Get(stateKey(kind, key)) != nil
}

// Delete takes a value out; one that is not there is no error.
func (t *Tx) Delete(kind, key string) error {
	return t.bucket(bucketState).Delete(stateKey(kind, key))
}

// Keys walks the keys of a kind that begin with a prefix, in order.
func (t *Tx) Keys(kind, prefix string) iter.Seq[string] {
	return func(yield func(string) bool) {
		start := stateKey(kind, prefix)
		c := t.bucket(bucketState).Cursor()
		for k, _ := c.Seek(start); bytes.HasPrefix(k, start); k, _ = c.Next() {
			if !yield(string(k[len(kind)+1:])) {
				return
			}
		}
	}
}

// reach lets the numbers of a kind go on behind n at the least.
func (t *Tx) reach(kind string, n uint64) error {
	b := t.bucket(bucketSequences)
	if v := b.Get([]byte(kind)); len(v) == 8 && binary.BigEndian.Uint64(v) >= n {
		return nil
	}
	return b.Put([]byte(kind), number64(n))
}

// Next is the next number of a kind; numbers start at 1 and are never reused.
func (t *Tx) Next(kind string) (uint64, error) {
	b := t.bucket(bucketSequences)
	n := uint64(1)
	if v := b.Get([]byte(kind)); len(v) == 8 {
		n = binary.BigEndian.Uint64(v) + 1
	}
	return n, b.Put([]byte(kind), number64(n))
}
