package store

import (
	"bytes"
	"slices"
	"time"

	bolt "go.etcd.io/bbolt"

	"deepward/store/catch"
)

// ForgetPerson deletes what is kept of a person: their state, their name, words
// and exact places in every report and every older version, and where their
// private chat was, and which messages made the reports. The reports stay in the counts,
// without them. It returns how many reports those are. The room that this frees in the
// file is overwritten right after, or in the quiet where the file is large or a view is open. That it was done is remembered by keyed hashes, so that
// neither Restore nor Merge brings anything of before back.
func (t *Tx) ForgetPerson(person catch.PersonID) (reports int, err error) {
	f := forgotten{Who: t.Who(person), Chat: t.chatAlias(catch.ChatID(person)), At: t.now}
	return t.forget(f, catch.ChatID(person))
}

// forgotten is a person who was forgotten, by keyed hashes only.
type forgotten struct {
	Who uint64 `cbor:"1,keyasint"`
	// Chat stands for the person's private chat.
	Chat []byte    `cbor:"2,keyasint"`
	At   time.Time `cbor:"3,keyasint"`
}

const kindErased = "erased"

// forgottenKey does not begin as the keys of a person's own state do.
func forgottenKey(who uint64) string { return "who/" + WhoKey(who) }

// ForgottenAt is when a person was last forgotten in this store; zero if never.
func (t *Tx) ForgottenAt(person catch.PersonID) (time.Time, error) {
	return t.forgottenAt(t.Who(person))
}

func (t *Tx) forgottenAt(who uint64) (time.Time, error) {
	var f forgotten
	_, err := t.Get(kindErased, forgottenKey(who), &f)
	return f.At, err
}

// forget does what ForgetPerson says; transport is where the private chat is.
func (t *Tx) forget(f forgotten, transport catch.ChatID) (reports int, err error) {
	if err := t.askToScrub(); err != nil {
		return 0, err
	}
	if err := t.forgetState(WhoKey(f.Who)); err != nil {
		return 0, err
	}
	list, err := t.reportsByWho(f.Who, 0)
	if err != nil {
		return 0, err
	}
	for _, r := range list {
		if err := t.forgetReport(r); err != nil {
			return 0, err
		}
	}
	if err := t.forgetHistory(f.Who, list); err != nil {
		return 0, err
	}
	if err := t.forgetChat(f.Chat, transport); err != nil {
		return 0, err
	}
	return len(list), t.Put(kindErased, forgottenKey(f.Who), f)
}

// forgottenPeople lists who was forgotten here.
func (t *Tx) forgottenPeople() ([]forgotten, error) {
	return valuesOf[forgotten](t, kindErased, "")
}

// forgetAgain forgets in a copy of before whom a store with the same key has
// forgotten since, and returns how many people that are.
func (t *Tx) forgetAgain(list []forgotten) (people int, err error) {
	for _, f := range list {
		known, err := t.forgottenAt(f.Who)
		if err != nil {
			return people, err
		}
		if !known.Before(f.At) { // the copy was made after it
			continue
		}
		number, _, _ := chatOf(t.bucket(bucketChats).Get(f.Chat))
		transport, _ := t.TransportChat(number)
		if _, err := t.forget(f, transport); err != nil {
			return people, err
		}
		people++
	}
	return people, nil
}

// forgetState deletes every value whose key begins with the person's.
func (t *Tx) forgetState(prefix string) error {
	return deleteWhere(t.bucket(bucketState), func(k, _ []byte) (bool, error) {
		_, key, ok := bytes.Cut(k, []byte{0})
		return ok && bytes.HasPrefix(key, []byte(prefix)), nil
	})
}

func (t *Tx) forgetReport(r *catch.Report) error {
	key := bytes.Clone(t.bucket(bucketNumbers).Get(number64(r.Number)))
	if _, err := t.unlink(key, t.bucket(bucketReports).Get(key)); err != nil {
		return err
	}
	r.Personal, r.Who, r.Named = catch.Personal{}, 0, false
	r.Message, r.Part, r.Thread = 0, 0, 0 // a message leads to who wrote it
	if r.Species == "" {
		r.SpeciesGiven = "" // a name that nobody knows may be a person's
	}
	return t.write(r)
}

// forgetHistory deletes the older versions of the reports, and those of reports
// that were the person's before a correction gave them to somebody else.
func (t *Tx) forgetHistory(who uint64, list []*catch.Report) error {
	numbers := make([]uint64, len(list))
	for i, r := range list {
		numbers[i] = r.Number
	}
	slices.Sort(numbers)
	var old catch.Report
	return deleteWhere(t.bucket(bucketHistory), func(k, record []byte) (bool, error) {
		_, mine := slices.BinarySearch(numbers, numberAt(k[:min(8, len(k))]))
		if err := t.s.sealer.decodeRecord(record, &old, false); err != nil {
			return mine, nil // damaged: it must not keep the rest from being forgotten
		}
		return mine || old.Who == who, nil
	})
}

// deleteWhere deletes the entries that gone chooses; they are collected first,
// for a cursor skips entries when what it stands on is deleted.
func deleteWhere(b *bolt.Bucket, gone func(k, v []byte) (bool, error)) error {
	var found [][]byte
	err := b.ForEach(func(k, v []byte) error {
		ok, err := gone(k, v)
		if ok {
			found = append(found, bytes.Clone(k))
		}
		return err
	})
	if err != nil {
		return err
	}
	for _, k := range found {
		if err := b.Delete(k); err != nil {
			return err
		}
	}
	return nil
}
