package store

import (
	"cmp"
	"crypto/sha256"
	"fmt"
	"slices"
	"strings"
	"time"

	"deepward/store/catch"
)

// What cannot be used is set aside, sealed, for whoever mends the program: it is
// not lost, but it holds what people wrote, so it is kept only for a while.
const (
	asideFor  = 14 * 24 * time.Hour
	asideMost = 200      // the oldest beyond go
	asideSize = 64 << 10 // bytes; no update of a person's is larger

	kindAside = "aside"
	// unknownPerson stands where a person's key would; it is nobody's.
	unknownPerson = "-"
)

var asides = passing{kindAside, "what was set aside", asideFor, asideMost}

// Aside is something that was set aside, as it came.
type Aside struct {
	// Number is the update's, or the waiting reply's when Reply is set.
	Number int64 `cbor:"1,keyasint"`
	// Reply is true for a reply whose seal does not open: Raw is then its bytes in
	// the store.
	Reply bool `cbor:"2,keyasint,omitempty"`
	// Why says in a few words what was wrong; it quotes nobody.
	Why string    `cbor:"3,keyasint"`
	At  time.Time `cbor:"4,keyasint"`
	// Raw is what came. Cut is true when it was longer than is kept.
	Raw []byte `cbor:"5,keyasint"`
	Cut bool   `cbor:"6,keyasint,omitempty"`
}

// asideName is the end of the key: the same thing set aside again is kept once. What
// has no number goes by what it holds.
func (a Aside) asideName() string {
	if a.Number == 0 {
		return fmt.Sprintf("/%t/0/%x", a.Reply, sha256.Sum256(a.Raw))
	}
	return fmt.Sprintf("/%t/%d", a.Reply, a.Number)
}

// SetAside keeps what cannot be used: for 14 days, the newest 200, 64 kB of each.
// It goes with ForgetPerson when person is known, not 0.
func (t *Tx) SetAside(person catch.PersonID, a Aside) error {
	who := unknownPerson
	if person != 0 {
		who = t.PersonKey(person)
	}
	a.At = t.now
	if len(a.Raw) > asideSize {
		a.Raw, a.Cut = a.Raw[:asideSize], true
	}
	key := fmt.Sprintf("%s/%016x%s", who, a.At.UnixNano(), a.asideName())
	for k := range t.Keys(kindAside, who+"/") {
		if strings.HasSuffix(k, a.asideName()) { // from its first time on the days count
			key, a.At = k, keptAt(k)
			break
		}
	}
	if err := t.Put(kindAside, key, a); err != nil {
		return err
	}
	return asides.drop(t, "", asideMost)
}

// TakeBack drops an update that was set aside and could be used after all.
func (t *Tx) TakeBack(person catch.PersonID, update catch.UpdateID) error {
	name := Aside{Number: int64(update)}.asideName()
	for _, who := range []string{t.PersonKey(person), unknownPerson} {
		for _, key := range slices.Collect(t.Keys(kindAside, who+"/")) {
			if strings.HasSuffix(key, name) {
				return t.Delete(kindAside, key)
			}
		}
	}
	return nil
}

// SetAsides lists what was set aside, the oldest first.
func (t *Tx) SetAsides() ([]Aside, error) { return t.setAsides("") }

// SetAsidesOf lists what is known to be a person's.
func (t *Tx) SetAsidesOf(person catch.PersonID) ([]Aside, error) {
	return t.setAsides(t.PersonKey(person) + "/")
}

func (t *Tx) setAsides(prefix string) (list []Aside, err error) {
	list, err = valuesOf[Aside](t, kindAside, prefix)
	slices.SortFunc(list, func(a, b Aside) int { return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Number, b.Number)) })
	return list, err
}

// AnySetAside reports whether anything is.
func (t *Tx) AnySetAside() bool {
	for range t.Keys(kindAside, "") {
		return true
	}
	return false
}

// PlayAgain hands the updates that were set aside out, the oldest first, and lets
// them count as not seen. They stay until TakeBack drops them or their time is over.
func (t *Tx) PlayAgain() (raws [][]byte, err error) {
	list, err := t.SetAsides()
	if err != nil {
		return nil, err
	}
	for _, a := range list {
		if a.Reply || a.Cut || len(a.Raw) == 0 {
			continue
		}
		if err := t.bucket(bucketSeen).Delete(signed64(a.Number)); err != nil {
			return nil, err
		}
		raws = append(raws, a.Raw)
	}
	return raws, nil
}

// SetAsideDamaged sets waiting replies aside whose seal does not open, and returns
// their numbers: they can be sent to nobody, and must not keep the others waiting
// or copies from passing their check.
func (s *Store) SetAsideDamaged() (numbers []uint64, err error) {
	damaged := map[string][]byte{}
	find := func(t *Tx) error {
		return t.bucket(bucketOutbox).ForEach(func(k, v []byte) error {
			if _, err := t.outgoing(k, v); err != nil {
				damaged[string(k)] = slices.Clone(v)
				numbers = append(numbers, numberAt(k))
			}
			return nil
		})
	}
	if err := s.View(find); err != nil || len(damaged) == 0 {
		return nil, err
	}
	err = s.Update(func(t *Tx) error {
		for k, v := range damaged {
			if err := t.SetAside(0, Aside{Number: int64(numberAt([]byte(k))), Reply: true, Why: "its seal does not open", Raw: v}); err != nil {
				return err
			}
			if err := t.bucket(bucketOutbox).Delete([]byte(k)); err != nil {
				return err
			}
		}
		return nil
	})
	return numbers, err
}
