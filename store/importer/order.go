package importer

import (
	"slices"
	"time"
)

// onlyOrder is the only order in which some columns of dates make sense: no day to come,
// none caught again before it was let go, and the days between as told.
func (in *reading) onlyOrder(open []*Column) (only DateOrder, found bool) {
	if len(open) == 0 {
		return "", false
	}
	possible := []DateOrder{DayMonthYear, MonthDayYear, YearMonthDay}
	for _, c := range open {
		orders, _ := in.possibleOrders(c)
		possible = slices.DeleteFunc(possible, func(o DateOrder) bool { return !slices.Contains(orders, o) })
	}
	possible = slices.DeleteFunc(possible, func(o DateOrder) bool { return !in.sensible(open, o) })
	if len(possible) != 1 {
		return "", false
	}
	return possible[0], true
}

// sensible is true when no line contradicts itself with the open columns in that order.
func (in *reading) sensible(open []*Column, o DateOrder) bool {
	for _, c := range open {
		c.order = o
	}
	defer func() {
		for _, c := range open {
			c.order = ""
		}
	}()
	for b := range in.looking {
		first, _, ok := b.day(slot{field: fieldDate})
		again, _, ok2 := b.day(slot{fieldDate, 1})
		if ok && in.toCome(first.time()) || ok2 && in.toCome(again.time()) || ok && ok2 && again.before(first) {
			return false
		}
		if days, told := b.measured(slot{field: fieldLiberty}, 0, maxDays, saying("")); ok && ok2 && told && apart(first, again, days.high) {
			return false
		}
	}
	return true
}

// apart is true when two days do not lie so many days from each other, by 2 or more.
func apart(first, again civil, days float64) bool {
	off := again.time().Sub(first.time()).Hours()/24 - days
	return off >= 2 || off <= -2
}

// toCome is true for a time at which no fish can have been caught yet.
func (in *reading) toCome(t time.Time) bool {
	return !in.Now.IsZero() && t.After(in.Now.Add(tomorrow))
}

func (c civil) time() time.Time {
	return time.Date(c.year, time.Month(c.month), c.day, 0, 0, 0, 0, time.UTC)
}
