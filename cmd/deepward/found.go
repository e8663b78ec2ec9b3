package main

import (
	"cmp"
	"errors"
	"fmt"
	"iter"
	"maps"
	"slices"
	"strings"
	"time"

	"deepward/bot"
	"deepward/store"
	"deepward/store/catch"
)

// reportSeq is a walk of reports.
type reportSeq = iter.Seq2[*catch.Report, error]

// nothingFound says why a filter finds nothing, and what there is instead: a page about
// nothing would look like a season without fish.
func nothingFound(tx *store.Tx, f catch.Filter) error {
	titles, err := bot.ClubTitles(tx)
	if err != nil {
		return err
	}
	if _, known := tx.TransportChat(f.Chat); f.Chat != 0 && !known {
		return fmt.Errorf("there is no club %d here; there are %s", f.Chat, clubsNamed(titles))
	}
	seasons, first, last, err := held(tx, f.Chat)
	switch {
	case err != nil:
		return err
	case first.IsZero():
		return errors.New("there is no report here yet; deepward import takes an old log in")
	case f.Season != "" && !slices.Contains(seasons, f.Season):
		return fmt.Errorf("no report counts in a season %q; there are %s (deepward season shows them)", f.Season, seasonNames(seasons))
	default:
		return fmt.Errorf("no report is from these days; those here run from %s to %s", first.Format(time.DateOnly), last.Format(time.DateOnly))
	}
}

// held are the seasons that the reports of a club name, or of all, and their days.
func held(tx *store.Tx, club catch.ClubID) (seasons []string, first, last time.Time, err error) {
	found := map[string]bool{}
	for r, err := range catch.Readable(tx.Reports(catch.Filter{Chat: club}), func(uint64) {}) {
		if err != nil {
			return nil, first, last, err
		}
		if found[r.Season] = true; first.IsZero() || r.CaughtAt.Before(first) {
			first = r.CaughtAt
		}
		if r.CaughtAt.After(last) {
			last = r.CaughtAt
		}
	}
	delete(found, "")
	return slices.Sorted(maps.Keys(found)), first, last, nil
}

func seasonNames(names []string) string {
	if len(names) == 0 {
		return "reports in no season only"
	}
	list := make([]string, len(names))
	for i, n := range names {
		list[i] = fmt.Sprintf("%q", n)
	}
	return strings.Join(list, ", ")
}

func clubsNamed(titles map[catch.ClubID]string) string {
	var list []string
	for _, n := range slices.Sorted(maps.Keys(titles)) {
		list = append(list, fmt.Sprintf("%d (%s)", n, cmp.Or(titles[n], "no name")))
	}
	if len(list) == 0 {
		return "none"
	}
	return strings.Join(list, ", ")
}

// countsIn notes the clubs and the seasons that the reports that pass count in.
func countsIn(reports reportSeq, clubs map[catch.ClubID]bool, seasons map[string]bool) reportSeq {
	return func(yield func(*catch.Report, error) bool) {
		for r, err := range reports {
			if err == nil {
				clubs[cmp.Or(r.Club, r.Chat)], seasons[r.Season] = true, true
			}
			if !yield(r, err) {
				return
			}
		}
	}
}

// only is the one thing in a set, zero if there are several or none.
func only[T comparable](set map[T]bool) (one T) {
	if len(set) == 1 {
		for one = range set {
		}
	}
	return one
}

// oneClub refuses to add several clubs up as if they were one, unless that is wanted.
func oneClub(tx *store.Tx, clubs map[catch.ClubID]bool) error {
	titles, err := bot.ClubTitles(tx)
	if err != nil {
		return err
	}
	maps.DeleteFunc(titles, func(n catch.ClubID, _ string) bool { return !clubs[n] })
	if len(titles) < 2 {
		return nil
	}
	return usage("these are reports of several clubs: %s; choose one with --chat, or add them up with --all-clubs", clubsNamed(titles))
}
