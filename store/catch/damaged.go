package catch

import (
	"errors"
	"fmt"
	"iter"
)

// Damaged is the error of one report that cannot be read; those after it can.
type Damaged struct {
	Number uint64
	// Err is what is wrong with it.
	Err error
}

func (d *Damaged) Error() string {
	return fmt.Sprintf("report %d cannot be read (%v); take the rest into a fresh store with deepward backup --salvage FILE", d.Number, d.Err)
}

func (d *Damaged) Unwrap() error { return d.Err }

// Readable walks the reports that can be read. Each that cannot is left out and
// named to left, at every walk anew; any other error ends the walk.
func Readable(reports iter.Seq2[*Report, error], left func(number uint64)) iter.Seq2[*Report, error] {
	return func(yield func(*Report, error) bool) {
		for r, err := range reports {
			var damaged *Damaged
			if errors.As(err, &damaged) {
				left(damaged.Number)
				continue
			}
			if !yield(r, err) {
				return
			}
		}
	}
}
