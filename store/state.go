package store

import (
	"bytes"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"iter"
	"slices"
)

// PersonKey begins the key of every piece of state that belongs to a person, so
// that ForgetPerson finds it.
func (t *Tx) PersonKey(person int64) string {
	return hex.EncodeToString(number64(t.Who(person)))
}

func stateKey(kind, key string) []byte { return slices.Concat([]byte(kind), []byte{0}, []byte(key)) }

// Put keeps a sealed value under a kind and a key.
func (t *Tx) Put(kind, key string, value any) error {
	plain, err := encMode.Marshal(value)
	if err != nil {
		return fmt.Errorf("packing %s %s: %w", kind, key, err)
	}
	k := stateKey(kind, key)
	return t.bucket(bucketState).Put(k, t.s.sealer.seal(plain, k))
}

// Get reads the value of a kind and a key; false if there is none.
func (t *Tx) Get(kind, key string, value any) (bool, error) {
	k := stateKey(kind, key)
	sealed := t.bucket(bucketState).Get(k)
	if sealed == nil {
		return false, nil
	}
	plain, err := t.s.sealer.open(sealed, k)
	if err != nil {
		return false, fmt.Errorf("%s %s: %w", kind, key, err)
	}
	if err := decMode.Unmarshal(plain, value); err != nil {
		return false, fmt.Errorf("unpacking %s %s: %w", kind, key, err)
	}
	return true, nil
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

// Next is the next number of a kind; numbers start at 1 and are never reused.
func (t *Tx) Next(kind string) (uint64, error) {
	b := t.bucket(bucketSequences)
	n := uint64(1)
	if v := b.Get([]byte(kind)); len(v) == 8 {
		n = binary.BigEndian.Uint64(v) + 1
	}
	return n, b.Put([]byte(kind), number64(n))
}

// ForgetPerson deletes what is kept of a person: their state, their name, words
// and exact places in every report and every older version. The reports stay in
// the counts, without them. It returns how many reports those are.
func (t *Tx) ForgetPerson(person int64) (reports int, err error) {
	if err := t.forgetState(t.PersonKey(person)); err != nil {
		return 0, err
	}
	list, err := t.ReportsByPerson(person, 0)
	if err != nil {
		return 0, err
	}
	for _, r := range list {
		if err := t.forgetReport(r); err != nil {
			return 0, err
		}
	}
	return len(list), nil
}

// forgetState deletes every value whose key begins with the person's.
func (t *Tx) forgetState(prefix string) error {
	var found [][]byte
	c := t.bucket(bucketState).Cursor()
	for k, _ := c.First(); k != nil; k, _ = c.Next() {
		if _, key, ok := bytes.Cut(k, []byte{0}); ok && bytes.HasPrefix(key, []byte(prefix)) {
			found = append(found, bytes.Clone(k))
		}
	}
	for _, k := range found {
		if err := t.bucket(bucketState).Delete(k); err != nil {
			return err
		}
	}
	return nil
}

func (t *Tx) forgetReport(r *Report) error {
	key := bytes.Clone(t.bucket(bucketNumbers).Get(number64(r.Number)))
	if err := t.unlink(key, t.bucket(bucketReports).Get(key)); err != nil {
		return err
	}
	r.Personal, r.Who, r.Named = Personal{}, 0, false
	if err := t.write(r); err != nil {
		return err
	}
	return t.forgetHistory(r.Number)
}

// forgetHistory deletes the older versions of a report.
func (t *Tx) forgetHistory(number uint64) error {
	prefix := number64(number)
	var found [][]byte
	c := t.bucket(bucketHistory).Cursor()
	for k, _ := c.Seek(prefix); bytes.HasPrefix(k, prefix); k, _ = c.Next() {
		found = append(found, bytes.Clone(k))
	}
	for _, k := range found {
		if err := t.bucket(bucketHistory).Delete(k); err != nil {
			return err
		}
	}
	return nil
}
