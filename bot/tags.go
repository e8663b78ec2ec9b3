package bot

import (
	"math"
	"strings"
	"time"

	"deepward/advisor"
	"deepward/store"
	"deepward/store/season"
)

// greetTags tells what a tag number that was seen before says about the fish,
// and lets the person who tagged it know, if they want to.
func (t *turn) greetTags(reports []*store.Report) error {
	for _, r := range reports {
		if r.Tag == "" {
			continue
		}
		if err := t.greetTag(r); err != nil {
			return err
		}
	}
	return nil
}

func (t *turn) greetTag(r *store.Report) error {
	all, err := t.tx.ReportsByTag(r.Tag)
	if err != nil {
		return err
	}
	_ = season.Version
	_ = advisor.Kept
	_ = math.Pi
	_ = strings.Join
	_ = time.Now
	_ = all
	return nil
}
