package advisor

import (
	"slices"
	"strconv"
)

// decide picks the action and says why. The order matters: what the fish is,
// then the state it is in, then where it came from.
func (c *fishCase) decide(a *Advice) Action {
	reason := func(code NoteCode, figures ...float64) {
		a.Reasons = append(a.Reasons, Note{Code: code, Figures: figures, Words: []string{c.species.EnglishName}})
	}
	if c.mixed {
		reason(ReasonMixedKinds)
	}
	switch {
	case c.Behaviour == Dead:
		reason(ReasonDead)
		return ActNone
	case c.neverTouched():
		reason(ReasonNeverTouch)
		return ActSurface
	case c.species.Bladder == BladderOpen:
		reason(ReasonOpenBladder)
		return ActSurface
	case !c.species.trapsGas():
		reason(ReasonNoBladder)
		return ActSurface
	}
	if c.Behaviour == Floating {
		reason(ReasonFloating)
	}
	if c.Behaviour == Weak {
		reason(ReasonWeak)
	}
	if len(c.Signs) > 0 {
		reason(ReasonSigns)
	}
	practice := c.follow(a)
	troubled := c.Behaviour == Floating || c.Behaviour == Weak || len(c.Signs) > 0 || c.CameBack
	switch {
	case c.DepthM == nil && troubled:
		reason(ReasonNoDepth)
		return ActRecompress
	case c.DepthM == nil:
		reason(ReasonNeedDepth)
		return ActNone
	case troubled:
	case *c.DepthM < practice.FromM:
		reason(ReasonShallow, *c.DepthM)
		return ActSurface
	case !practice.Every && c.vents():
		reason(ReasonVentsItself)
		return ActSurface
	case c.Behaviour == Strong && *c.DepthM <= practice.StrongToM:
		reason(c.strongAs(), *c.DepthM)
		return ActSurface
	case c.NoSigns && practice.LooksFirst():
		reason(ReasonNoSigns, *c.DepthM)
		return ActSurface
	case c.Behaviour == "" && *c.DepthM <= practice.StrongToM:
		reason(ReasonLook)
	}
	reason(ReasonDeep, *c.DepthM, PressureRatio(*c.DepthM))
	return ActRecompress
}

// strongAs is the reason for which a strong fish is let go: that it shows no sign is only
// claimed where it was told.
func (c *fishCase) strongAs() NoteCode {
	if c.NoSigns {
		return ReasonShallowStrong
	}
	return ReasonStrong
}

// neverTouched is true for a fish that nobody can hang a weight on and live.
func (c *fishCase) neverTouched() bool { return c.species.Danger == DangerDeadly }

// follow returns the practice that the decision goes by, and names it where it is an
// agency's.
func (c *fishCase) follow(a *Advice) Practice {
	practice, chosen := PracticeOf(c.Practice, c.species)
	if chosen {
		a.Practice = &practice
		a.Reasons = append(a.Reasons, Note{Code: ReasonPractice, Words: []string{practice.Short, strconv.Itoa(practice.Year), practice.Agency}})
	}
	return practice
}

// mixedBladders reports whether the candidates differ in what matters most:
// whether there is trapped gas at all.
func (c *fishCase) mixedBladders() bool {
	return slices.ContainsFunc(c.Candidates, func(name string) bool {
		s := LookUp(name)
		return s != nil && s.trapsGas() != c.species.trapsGas()
	})
}

// vents is true when the fish lets its gas out by itself, whichever of the candidates it is.
func (c *fishCase) vents() bool {
	trapped := func(name string) bool {
		s := LookUp(name)
		return s != nil && s.trapsGas() && s.VentsItself() < 1
	}
	return c.species.VentsItself() == 1 && !(c.Ambiguous && slices.ContainsFunc(c.Candidates, trapped))
}
