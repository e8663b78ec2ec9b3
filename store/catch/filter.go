package catch

import (
	"iter"
	"time"
)

// Filter says which reports are wanted; the zero value means all that stand.
type Filter struct {
	// From and To bound the time of the catch, both included; zero is open.
	From, To time.Time
	Season   string
	// Chat also finds the reports that were shared with that club.
	Chat ClubID
	// Personal opens the sealed part too.
	Personal bool
	// Undone also finds what was taken back.
	Undone bool
}

// Takes is true for a report that the filter wants.
func (f Filter) Takes(r *Report) bool {
	return (f.Undone || !r.Undone) &&
		(f.Season == "" || r.Season == f.Season) &&
		(f.Chat == 0 || r.Chat == f.Chat || r.Club == f.Chat) &&
		(f.From.IsZero() || !r.CaughtAt.Before(f.From)) &&
		(f.To.IsZero() || !r.CaughtAt.After(f.To))
}

// Outside are the reports that the filter does not want, and every error.
func (f Filter) Outside(reports iter.Seq2[*Report, error]) iter.Seq2[*Report, error] {
	return func(yield func(*Report, error) bool) {
		for r, err := range reports {
			if err == nil && f.Takes(r) {
				continue
			}
			if !yield(r, err) {
				return
			}
		}
	}
}

// Listed walks reports that are at hand.
func Listed(reports []*Report) iter.Seq2[*Report, error] {
	return func(yield func(*Report, error) bool) {
		for _, r := range reports {
			if !yield(r, nil) {
				return
			}
		}
	}
}
