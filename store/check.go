package store

import (
	"bytes"
	"context"
	"errors"
	"fmt"

	bolt "go.etcd.io/bbolt"

	"deepward/store/catch"
)

// Check reads the whole store: that every report can be read and opened, that
// every index leads to its report and misses none, that every sealed value
// opens, and the file itself. It changes nothing.
func (s *Store) Check(ctx context.Context) error {
	// What is stored comes first: it finds pages that would end the program in
	// bbolt's check, which runs on a goroutine where they cannot be caught.
	err := s.View(func(t *Tx) error {
		defer t.advise(notNeeded)
		return guarded(func() error { return t.checkContent(ctx) })
	})
	if err != nil && ctx.Err() == nil && !errors.Is(err, ErrNotAStore) {
		err = fmt.Errorf("%w; restore a backup with deepward backup --restore, or take what can be read with --salvage", err)
	}
	if err != nil {
		return explain(s.path, err)
	}
	// bbolt's check must not run beside a writer, so it keeps writers out.
	tx, err := s.db.Begin(!s.db.IsReadOnly())
	if err != nil {
		return explain(s.path, err)
	}
	defer tx.Rollback()
	defer (&Tx{tx: tx}).advise(notNeeded)
	return explain(s.path, checkPages(tx))
}

// checkPages tells of the first fault that bbolt finds.
func checkPages(tx *bolt.Tx) error {
	if err := guarded(func() error { return checkLengths(tx) }); err != nil {
		return err
	}
	var first error
	for err := range tx.Check() {
		if first == nil {
			first = fmt.Errorf("%w (%w)", ErrNotAStore, err)
		}
	}
	return first
}

// checkLengths finds pages that claim to go on beyond the file: bbolt's own check
// would count every page of what they claim.
func checkLengths(tx *bolt.Tx) error {
	if tx.DB().IsReadOnly() {
		return nil // bbolt knows no free pages then
	}
	last := int(tx.Size()) / tx.DB().Info().PageSize
	for id := 0; id < last; id++ {
		p, err := tx.Page(id)
		if err != nil {
			return err
		}
		if p != nil && p.Type != "free" && id+p.OverflowCount >= last {
			return errPages
		}
		if p != nil && p.Type != "free" {
			id += p.OverflowCount
		}
	}
	return nil
}

func (t *Tx) checkContent(ctx context.Context) error {
	c := t.checker(ctx)
	for _, p := range parts {
		if err := c.walk(p); err != nil {
			return err
		}
	}
	return nil
}

// part is one bucket and how an entry of it is checked.
type part struct {
	bucket []byte
	entry  func(c *checker, k, v []byte) error
}

// parts are all buckets.
var parts = []part{
	{bucketReports, (*checker).report},
	{bucketNumbers, (*checker).number},
	{bucketMessages, (*checker).index},
	{bucketPeople, (*checker).index},
	{bucketTags, (*checker).index},
	{bucketHistory, (*checker).version},
	{bucketState, sealedIn(bucketState)},
	{bucketChatsBack, sealedIn(bucketChatsBack)},
	{bucketImported, (*checker).imported},
	{bucketOutbox, (*checker).waiting},
	{bucketSeasons, (*checker).season},
	{bucketOrigins, (*checker).origin},
	{bucketOrigin, (*checker).from},
	{bucketChats, nothing}, {bucketSequences, nothing},
	{bucketSeen, nothing}, {bucketSeenTimes, nothing}, {bucketMeta, nothing},
}

func nothing(_ *checker, _, _ []byte) error { return nil }

// checker counts what the reports say must be in each index.
type checker struct {
	t     *Tx
	ctx   context.Context
	r     catch.Report
	links map[string]int
	read  int // bytes since the pages were last let go
}

func (t *Tx) checker(ctx context.Context) *checker {
	// An index without reports must be empty.
	links := map[string]int{string(bucketMessages): 0, string(bucketPeople): 0, string(bucketTags): 0}
	return &checker{t: t, ctx: ctx, links: links}
}

// walk checks each entry of a bucket, and then that there are as many as the
// reports asked for.
func (c *checker) walk(p part) error {
	b := c.t.bucket(p.bucket)
	if b == nil {
		return fmt.Errorf("%w (%s is missing)", ErrNotAStore, p.bucket)
	}
	n := 0
	err := b.ForEach(func(k, v []byte) error {
		n++
		if c.read += len(k) + len(v); c.read > window {
			c.t.advise(notNeeded)
			c.read = 0
		}
		if err := errors.Join(c.ctx.Err(), p.entry(c, k, v)); err != nil {
			return fmt.Errorf("%s: %w", p.bucket, err)
		}
		return nil
	})
	if want, counted := c.links[string(p.bucket)]; err == nil && counted && n != want {
		return fmt.Errorf("%w (%s has %d entries, its reports need %d)", ErrNotAStore, p.bucket, n, want)
	}
	return err
}

func (c *checker) report(k, v []byte) error {
	if err := c.t.s.sealer.decodeRecord(v, &c.r, true); err != nil {
		return fmt.Errorf("report %d: %w", numberAt(k), err)
	}
	if !bytes.Equal(c.t.bucket(bucketNumbers).Get(number64(c.r.Number)), k) || !bytes.Equal(reportKey(&c.r), k) {
		return fmt.Errorf("%w (report %d is not where its number leads)", ErrNotAStore, c.r.Number)
	}
	c.links[string(bucketNumbers)]++
	for _, link := range links(&c.r) {
		c.links[string(link.bucket)]++
		if c.t.bucket(link.bucket).Get(link.key) == nil {
			return fmt.Errorf("%w (report %d is missing in %s)", ErrNotAStore, c.r.Number, link.bucket)
		}
	}
	return nil
}

func (c *checker) number(k, v []byte) error {
	if c.t.bucket(bucketReports).Get(v) == nil {
		return fmt.Errorf("%w (report %d is not there)", ErrNotAStore, numberAt(k))
	}
	return nil
}

func (c *checker) index(k, _ []byte) error {
	if c.t.bucket(bucketNumbers).Get(number64(numberAt(k))) == nil {
		return fmt.Errorf("%w (report %d is not there)", ErrNotAStore, numberAt(k))
	}
	return nil
}

func (c *checker) version(_, v []byte) error { return c.t.s.sealer.decodeRecord(v, &c.r, true) }

func sealedIn(bucket []byte) func(c *checker, k, v []byte) error {
	return func(c *checker, k, v []byte) error {
		_, err := c.t.s.sealer.open(v, place(bucket, k))
		return err
	}
}

func (c *checker) imported(k, v []byte) error {
	_, _, err := c.t.importOf(k, v)
	return err
}

func (c *checker) waiting(k, v []byte) error {
	_, err := c.t.outgoing(k, v)
	return err
}

func (c *checker) season(k, v []byte) error {
	_, err := c.t.seasonOf(k, v)
	return err
}

// origin: what came from elsewhere leads to a report here.
func (c *checker) origin(_, v []byte) error { return c.number(v, c.t.bucket(bucketNumbers).Get(v)) }

// from: a report that knows where it came from is found by that.
func (c *checker) from(k, v []byte) error {
	if !bytes.Equal(c.t.bucket(bucketOrigins).Get(v), k) {
		return fmt.Errorf("%w (report %d is not found by where it came from)", ErrNotAStore, numberAt(k))
	}
	return nil
}
