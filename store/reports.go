package store

import (
	"bytes"
	"encoding/base32"
	"encoding/binary"
	"iter"
	"slices"
	"strconv"
	"strings"

	bolt "go.etcd.io/bbolt"

	"deepward/store/catch"
)

// AddReport keeps a new report and returns its number. It sets Number, SavedAt
// when empty, Who, the 0.1 degree cell of an exact place, and the season that
// was open at that time.
func (t *Tx) AddReport(r *catch.Report) (uint64, error) {
	n, err := t.bucket(bucketReports).NextSequence()
	if err != nil {
		return 0, err
	}
	r.Number = n
	if r.SavedAt.IsZero() {
		r.SavedAt = t.now
	}
	if err := t.complete(r); err != nil {
		return 0, err
	}
	return n, t.write(r)
}

// complete fills what follows from the rest.
func (t *Tx) complete(r *catch.Report) (err error) {
	if r.Personal.Person != 0 {
		r.Who = t.Who(r.Personal.Person)
	}
	if r.Cell == nil && r.Personal.Lat != nil && r.Personal.Lon != nil {
		r.Cell = catch.CellOf(*r.Personal.Lat, *r.Personal.Lon)
	}
	if r.Season == "" {
		r.Season, err = t.SeasonAt(r.Chat, r.CaughtAt)
	}
	if r.Season == "" && r.Club != 0 && err == nil { // shared: it counts in the club's season
		r.Season, err = t.SeasonAt(r.Club, r.CaughtAt)
	}
	if err != nil {
		return err
	}
	return t.numberInLogs(r)
}

// numberInLogs gives a report its numbers in the logs that it counts in.
func (t *Tx) numberInLogs(r *catch.Report) (err error) {
	if r.LogNo == 0 {
		if r.LogNo, err = t.Next(logKind(r.Chat)); err != nil {
			return err
		}
	}
	switch {
	case r.Club == r.Chat && r.Club != 0:
		r.ClubNo = r.LogNo
	case r.Club != 0 && r.ClubNo == 0:
		r.ClubNo, err = t.Next(logKind(r.Club))
	}
	return err
}

// logKind is the sequence of the numbers in the log of a club.
func logKind(club catch.ClubID) string { return "log " + strconv.FormatInt(int64(club), 10) }

// PutReport corrects a report that is kept; the version before it goes into the
// history. ErrNoReport if there is none of that number.
func (t *Tx) PutReport(r *catch.Report) error {
	key := bytes.Clone(t.bucket(bucketNumbers).Get(number64(r.Number)))
	if key == nil {
		return ErrNoReport
	}
	old := t.bucket(bucketReports).Get(key)
	if err := t.keepVersion(r.Number, old); err != nil {
		return err
	}
	club, err := t.unlink(key, old)
	if err != nil {
		return err
	}
	if club != r.Club {
		r.ClubNo = 0 // it counts in another log from now on
	}
	r.ChangedAt = t.now
	if err := t.complete(r); err != nil {
		return err
	}
	return t.write(r)
}

// keepVersion copies a record into the history.
func (t *Tx) keepVersion(number uint64, record []byte) error {
	history := t.growing(bucketHistory)
	version, err := history.NextSequence()
	if err != nil {
		return err
	}
	return history.Put(append(number64(number), number64(version)...), bytes.Clone(record))
}

// Versions is how many older versions of a report are kept.
func (t *Tx) Versions(number uint64) (n int) {
	prefix := number64(number)
	c := t.bucket(bucketHistory).Cursor()
	for k, _ := c.Seek(prefix); bytes.HasPrefix(k, prefix); k, _ = c.Next() {
		n++
	}
	return n
}

// unlink takes a record and what leads to it out, and tells the club that it counted for.
func (t *Tx) unlink(key, record []byte) (catch.ClubID, error) {
	var old catch.Report
	if err := t.s.sealer.decodeRecord(record, &old, false); err != nil {
		return 0, err
	}
	for _, link := range links(&old) {
		if err := t.bucket(link.bucket).Delete(link.key); err != nil {
			return 0, err
		}
	}
	return old.Club, t.bucket(bucketReports).Delete(key)
}

// link is one entry of an index that leads to a report.
type link struct{ bucket, key []byte }

// links are all index entries of a report but the one by number.
func links(r *catch.Report) []link {
	n := number64(r.Number)
	list := make([]link, 0, 3)
	if r.Message != 0 {
		list = append(list, link{bucketMessages, slices.Concat(signed64(r.Chat), signed64(r.Message), n)})
	}
	if r.Who != 0 {
		list = append(list, link{bucketPeople, slices.Concat(number64(r.Who), n)})
	}
	if r.Tag != "" {
		list = append(list, link{bucketTags, slices.Concat([]byte(r.Tag), []byte{0}, n)})
	}
	return list
}

// reportKey sorts reports by time, then by number.
func reportKey(r *catch.Report) []byte {
	return append(signed64(r.CaughtAt.Unix()), number64(r.Number)...)
}

// write stores a report and what leads to it.
func (t *Tx) write(r *catch.Report) error {
	record, err := t.s.sealer.encodeRecord(r)
	if err != nil {
		return err
	}
	t.s.touched += len(record)
	key := reportKey(r)
	if err := t.growing(bucketReports).Put(key, record); err != nil {
		return err
	}
	if err := t.growing(bucketNumbers).Put(number64(r.Number), key); err != nil {
		return err
	}
	for _, link := range links(r) {
		if err := t.growing(link.bucket).Put(link.key, []byte{}); err != nil {
			return err
		}
	}
	return nil
}

// Report returns one report with its personal part, or ErrNoReport.
func (t *Tx) Report(number uint64) (*catch.Report, error) {
	key := t.bucket(bucketNumbers).Get(number64(number))
	if key == nil {
		return nil, ErrNoReport
	}
	r := new(catch.Report)
	if err := t.s.sealer.decodeRecord(t.bucket(bucketReports).Get(key), r, true); err != nil {
		return nil, &catch.Damaged{Number: number, Err: err}
	}
	if r.Number != number {
		return nil, &catch.Damaged{Number: number, Err: errRecord}
	}
	return r, nil
}

// ReportsByMessage returns the reports that a message made, in the order of the
// message; chat is the internal number.
func (t *Tx) ReportsByMessage(chat catch.ClubID, message int) ([]*catch.Report, error) {
	return t.linked(bucketMessages, slices.Concat(signed64(chat), signed64(message)))
}

// ReportsByPerson returns a person's reports, newest kept first; newest is how
// many at most, 0 for all.
func (t *Tx) ReportsByPerson(person catch.PersonID, newest int) ([]*catch.Report, error) {
	return t.reportsByWho(t.Who(person), newest)
}

func (t *Tx) reportsByWho(who uint64, newest int) ([]*catch.Report, error) {
	prefix := number64(who)
	var numbers []uint64
	for n := range backwards(t.bucket(bucketPeople), prefix) {
		if newest > 0 && len(numbers) == newest {
			break
		}
		numbers = append(numbers, n)
	}
	return t.reportsOf(numbers)
}

// backwards walks the report numbers behind a prefix from the last to the first.
func backwards(b *bolt.Bucket, prefix []byte) iter.Seq[uint64] {
	return func(yield func(uint64) bool) {
		c := b.Cursor()
		k, _ := c.Seek(append(bytes.Clone(prefix), bytes.Repeat([]byte{0xff}, 9)...))
		if k == nil {
			k, _ = c.Last()
		} else {
			k, _ = c.Prev()
		}
		for ; bytes.HasPrefix(k, prefix); k, _ = c.Prev() {
			if !yield(numberAt(k)) {
				return
			}
		}
	}
}

// ReportsByTag returns the reports of one tag that stand, the oldest first.
func (t *Tx) ReportsByTag(tag string) ([]*catch.Report, error) {
	list, err := t.linked(bucketTags, append([]byte(tag), 0))
	list = slices.DeleteFunc(list, func(r *catch.Report) bool { return r.Undone })
	slices.SortStableFunc(list, func(a, b *catch.Report) int { return a.CaughtAt.Compare(b.CaughtAt) })
	return list, err
}

// linked reads the reports of the index entries that are a prefix and a number.
func (t *Tx) linked(bucket, prefix []byte) ([]*catch.Report, error) {
	var numbers []uint64
	c := t.bucket(bucket).Cursor()
	for k, _ := c.Seek(prefix); bytes.HasPrefix(k, prefix); k, _ = c.Next() {
		if len(k) == len(prefix)+8 { // a longer one belongs to a longer tag
			numbers = append(numbers, numberAt(k))
		}
	}
	return t.reportsOf(numbers)
}

func (t *Tx) reportsOf(numbers []uint64) ([]*catch.Report, error) {
	list := make([]*catch.Report, 0, len(numbers))
	for _, n := range numbers {
		r, err := t.Report(n)
		if err != nil {
			return nil, err
		}
		list = append(list, r)
	}
	return list, nil
}

// numberAt is the report number at the end of an index key.
func numberAt(key []byte) uint64 {
	if len(key) < 8 {
		return 0
	}
	return binary.BigEndian.Uint64(key[len(key)-8:])
}

// Who is the keyed hash that stands for a person in this store; never 0.
func (t *Tx) Who(person catch.PersonID) uint64 {
	who, known := t.people[person]
	if !known {
		who = t.s.sealer.number("person", strconv.FormatInt(int64(person), 10))
		t.people[person] = who
	}
	return who
}

// Identifier names a report beyond this store; it tells nothing of how many others there
// are.
func (s *Store) Identifier(number uint64) string {
	return strings.ToLower(base32.StdEncoding.EncodeToString(s.sealer.digest("report", strconv.FormatUint(number, 10)))[:16])
}

// Pseudonym is the name that stands for a person in the exports of one season of one
// club; in another season, and in another club, the same person has another, so that
// nobody who has two logs can join them.
func (t *Tx) Pseudonym(club catch.ClubID, season string, who uint64) string {
	return t.s.Pseudonym(club, season, who)
}

// Pseudonym is the same outside a transaction.
func (s *Store) Pseudonym(club catch.ClubID, season string, who uint64) string {
	if who == 0 {
		return ""
	}
	return "angler-" + s.sealer.word("pseudonym", strconv.FormatInt(int64(club), 10), season, strconv.FormatUint(who, 10))
}
