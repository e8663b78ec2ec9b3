package season

import (
	"math"
	"time"

	"deepward/advisor"
	"deepward/store"
)

// leastDays is how long a tagged fish must have been at large before the end of
// the log to be counted: a fish tagged yesterday had no chance to be seen again.
const leastDays = 7

// tagged is one fish that was let go with a tag.
type tagged struct {
	method    advisor.Method
	depthM    *float64
	at        time.Time
	seen      bool
	twice     bool
	countable bool
}

// Recaptured compares how many tagged fish were seen again by the way they were
// released. Such a ratio reads as relative survival only if tags are lost,
// reported and met alike in both groups.
type Recaptured struct {
	// Methods holds X seen again of N, by method.
	Methods map[advisor.Method]Share
	// Ratio is sent down over let go at the top, with the score interval of
	// Koopman; Known is false when a group is empty.
	Ratio, RatioLow, RatioHigh float64
	Known                      bool
	// Adjusted is the same with each depth band compared within itself
	// (Mantel-Haenszel); NaN when it cannot be reckoned. Skipped counts the bands
	// that hold only one of the two.
	Adjusted, AdjustedLow, AdjustedHigh float64
	Skipped                             int
	// TrendZ and TrendP test whether fish from deeper are seen less (Cochran-Armitage).
	TrendZ, TrendP float64
	TrendKnown     bool
	// NeededEach is how many fish of each kind it would take to tell shares as far
	// apart as those seen, at 5 % and 80 % power; 0 when the log can tell already.
	NeededEach int
}

// Share is X of N.
type Share struct{ X, N int }

func (c *collector) tag(r *store.Report) {
	if r.Tag == "" {
		return
	}
	first := c.tags[r.Tag]
	alive := r.Outcome != advisor.Died && r.Outcome != advisor.TakenByOther && r.Method != advisor.Kept && r.Method != ""
	switch {
	case first == nil && !r.Recapture:
		c.tags[r.Tag] = &tagged{method: r.Method, depthM: r.DepthM, at: r.CaughtAt, countable: alive}
	case first == nil: // seen again, but the release is not in this log
	case r.CaughtAt.After(first.at) && r.Recapture:
		first.seen = true
	case !r.Recapture && !first.seen:
		first.twice = true
	}
}

func (c *collector) recaptured() Recaptured {
	out := Recaptured{Methods: map[advisor.Method]Share{}}
	strata := make([]Stratum, len(bandEdges))
	bands := make([]Band, len(bandEdges))
	cutOff := c.f.Last.Add(-leastDays * 24 * time.Hour)
	for _, t := range c.tags {
		switch {
		case t.twice:
			c.f.LeftOut[OutTagTwice]++
			continue
		case t.countable && t.at.After(cutOff) && !t.seen:
			c.f.LeftOut[OutTagTooNew]++
			continue
		case !t.countable:
			c.f.LeftOut[OutTagDead]++
			continue
		}
		x := 0
		if t.seen {
			x = 1
		}
		share := out.Methods[t.method]
		out.Methods[t.method] = Share{share.X + x, share.N + 1}
		if t.depthM == nil {
			continue
		}
		i, _, middle := DepthBand(*t.depthM)
		bands[i].X, bands[i].N, bands[i].Score = bands[i].X+x, bands[i].N+1, middle
		switch t.method {
		case advisor.Recompressed:
			strata[i].X1, strata[i].N1 = strata[i].X1+x, strata[i].N1+1
		case advisor.Surface:
			strata[i].X2, strata[i].N2 = strata[i].X2+x, strata[i].N2+1
		}
	}
	out.compare(strata, bands)
	return out
}

func (r *Recaptured) compare(strata []Stratum, bands []Band) {
	down, top := r.Methods[advisor.Recompressed], r.Methods[advisor.Surface]
	r.TrendZ, r.TrendP, _, r.TrendKnown = CochranArmitage(bands)
	if down.N == 0 || top.N == 0 {
		return
	}
	r.Known = true
	r.Ratio = float64(down.X) / float64(down.N) / (float64(top.X) / float64(top.N))
	r.RatioLow, r.RatioHigh = Koopman(down.X, down.N, top.X, top.N, 0.95)
	r.Adjusted, r.AdjustedLow, r.AdjustedHigh, r.Skipped = MantelHaenszel(strata, 0.95)
	if r.RatioLow <= 1 && r.RatioHigh >= 1 {
		r.NeededEach = fishNeeded(float64(down.X)/float64(down.N), float64(top.X)/float64(top.N))
	}
}

// fishNeeded is how many fish in each group tell two shares apart at 5 % (two-sided)
// with 80 % power, by the normal approximation of R's power.prop.test; 0 when the
// shares are the same, which no number of fish tells apart.
func fishNeeded(p1, p2 float64) int {
	if p1 == p2 {
		return 0
	}
	const power = 0.8
	mean := (p1 + p2) / 2
	a := z(0.95) * math.Sqrt(2*mean*(1-mean))
	b := z(2*power-1) * math.Sqrt(p1*(1-p1)+p2*(1-p2))
	return int(math.Ceil(math.Pow((a+b)/(p1-p2), 2)))
}
