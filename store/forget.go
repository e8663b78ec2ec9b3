package store

import (
	"bytes"
	"fmt"
	"slices"

	bolt "go.etcd.io/bbolt"
)

// ForgetPerson deletes what is kept of a person: their state, their name, words
// and exact places in every report and every older version, and where their
// private chat was. The reports stay in the counts, without them. It returns how
// many reports those are. Traces in the unused room of the file, all of them
// sealed, go with Compact.
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
	if err := t.forgetHistory(t.Who(person), list); err != nil {
		return 0, err
	}
	return len(list), t.forgetChat(person)
}

// forgetState deletes every value whose key begins with the person's.
func (t *Tx) forgetState(prefix string) error {
	return deleteWhere(t.bucket(bucketState), func(k, _ []byte) (bool, error) {
		_, key, ok := bytes.Cut(k, []byte{0})
		return ok && bytes.HasPrefix(key, []byte(prefix)), nil
	})
}

func (t *Tx) forgetReport(r *Report) error {
	key := bytes.Clone(t.bucket(bucketNumbers).Get(number64(r.Number)))
	if err := t.unlink(key, t.bucket(bucketReports).Get(key)); err != nil {
		return err
	}
	r.Personal, r.Who, r.Named = Personal{}, 0, false
	return t.write(r)
}

// forgetHistory deletes the older versions of the reports, and those of reports
// that were the person's before a correction gave them to somebody else.
func (t *Tx) forgetHistory(who uint64, list []*Report) error {
	numbers := make([]uint64, len(list))
	for i, r := range list {
		numbers[i] = r.Number
	}
	slices.Sort(numbers)
	var old Report
	return deleteWhere(t.bucket(bucketHistory), func(k, record []byte) (bool, error) {
		if err := t.s.sealer.decodeRecord(record, &old, false); err != nil {
			return false, fmt.Errorf("older version of a report: %w", err)
		}
		_, mine := slices.BinarySearch(numbers, old.Number)
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
