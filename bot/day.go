package bot

import (
	"slices"
	"strings"
	"time"

	"deepward/advisor"
	"deepward/bot/understand"
	"deepward/store/catch"
)

// DoubtDay: the day that was told fits several days, or none that can be; the report
// stands under the day of its message until somebody says which.
const DoubtDay = "day_unsure"

const (
	// oldestCatch is how far back a catch is taken in here: older logs are imported.
	oldestCatch = 366 * 24 * time.Hour
	// plainlyPast is how far back a date without a year is taken for the last one: half
	// a year back it is as near to the next.
	plainlyPast = 183 * 24 * time.Hour
)

// awaitingDay is the session's word for a day that is asked for.
const awaitingDay = "day"

// reckoned is what a told day comes to, seen from a message.
type reckoned struct {
	// days are the days it can be; one that is sure stands alone and needs no asking.
	days []time.Time
	sure bool
	// why says what is wrong with a day that is not sure.
	why advisor.NoteCode
}

// The codes of what is wrong with a told day. Words[0] is the day as typed.
const (
	// DayWhich: it can be several days, or is told without the year that it needs.
	DayWhich advisor.NoteCode = "problem.day_which"
	// DayAhead: it is still to come.
	DayAhead advisor.NoteCode = "problem.day_ahead"
	// DayOld: it is more than a year ago.
	DayOld advisor.NoteCode = "problem.day_old"
	// DayNone: no calendar has it.
	DayNone advisor.NoteCode = "problem.day_none"
)

// here is a moment by the clock of the region; by UTC, the log's own, where none is set.
func (t *turn) here(at time.Time) time.Time {
	return at.UTC().Add(time.Duration(advisor.RegionNamed(t.region()).HoursAhead) * time.Hour)
}

// reckon finds the day that was told in a message that was sent then, by the clock of
// its place.
func reckon(d understand.Day, sent time.Time) reckoned {
	if d.Ago > 0 {
		return judge(midnight(sent.AddDate(0, 0, -d.Ago)), sent)
	}
	readings := [][2]int{{d.Month, d.DayOfMonth}}
	if d.Swapped {
		readings = append(readings, [2]int{d.DayOfMonth, d.Month})
	}
	if d.Year == 0 {
		return withoutYear(readings, sent)
	}
	if len(readings) == 1 {
		day, ok := onCalendar(d.Year, d.Month, d.DayOfMonth)
		if !ok {
			return reckoned{why: DayNone}
		}
		return judge(day, sent)
	}
	r := reckoned{why: DayWhich}
	var last reckoned
	for _, reading := range readings {
		day, ok := onCalendar(d.Year, reading[0], reading[1])
		if !ok {
			continue
		}
		if last = judge(day, sent); last.sure {
			r.days = append(r.days, day)
		}
	}
	if len(r.days) == 0 {
		return last
	}
	return r
}

// withoutYear takes the last such day before the message, if it is plainly that one.
func withoutYear(readings [][2]int, sent time.Time) reckoned {
	r := reckoned{why: DayWhich}
	for _, reading := range readings {
		for year := sent.Year(); year > sent.Year()-2; year-- {
			day, ok := onCalendar(year, reading[0], reading[1])
			if ok && judge(day, sent).sure {
				r.days = append(r.days, day)
				break
			}
		}
	}
	if len(r.days) == 0 {
		return reckoned{why: DayNone}
	}
	r.sure = len(readings) == 1 && sent.Sub(r.days[0]) < plainlyPast
	return r
}

// judge says whether a day can be that of a catch.
func judge(day, sent time.Time) reckoned {
	switch {
	case day.After(sent):
		return reckoned{why: DayAhead}
	case sent.Sub(day) > oldestCatch:
		return reckoned{why: DayOld}
	default:
		return reckoned{days: []time.Time{day}, sure: true}
	}
}

func midnight(at time.Time) time.Time {
	return time.Date(at.Year(), at.Month(), at.Day(), 0, 0, 0, 0, time.UTC)
}

func onCalendar(year, month, day int) (time.Time, bool) {
	at := time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC)
	return at, int(at.Month()) == month && at.Day() == day
}

// date puts a report under the day that was told, if it is sure; else the report stays
// under the day of its message and says so. It does nothing where no day was told.
func (t *turn) date(r *catch.Report, told *understand.Day) {
	if told == nil {
		return
	}
	if found := reckon(*told, t.here(t.origin.at)); found.sure {
		t.setDay(r, found.days[0], t.origin.at)
		return
	}
	r.Personal.Told = told
	if !contains(r.Flags, DoubtDay) {
		r.Flags = append(r.Flags, DoubtDay)
	}
}

// setDay puts a report under a day; on the day of its message the time is as near as
// known. The season follows the day.
func (t *turn) setDay(r *catch.Report, day, sent time.Time) {
	r.CaughtAt, r.DateOnly = day, true
	if midnight(t.here(sent)).Equal(day) {
		r.CaughtAt, r.DateOnly = sent, false
	}
	r.Season, r.Personal.Told = "", nil
	r.Flags = slices.DeleteFunc(r.Flags, func(flag string) bool { return flag == DoubtDay })
}

// redate gives a report that is changed the day that the new words tell. It returns
// what is wrong with a day that cannot be taken: the one before stays.
func (t *turn) redate(r *catch.Report, told *understand.Day) []understand.Problem {
	if told == nil {
		return nil
	}
	found := reckon(*told, t.here(t.origin.at))
	if !found.sure {
		return []understand.Problem{dayProblem(found, *told)}
	}
	t.setDay(r, found.days[0], t.origin.at)
	return nil
}

func dayProblem(found reckoned, told understand.Day) understand.Problem {
	return understand.Problem{Field: "day", Why: advisor.Note{Code: found.why, Words: []string{told.Words}}}
}

// doubtedDay is the day that the words of a report told and that is not sure.
func (t *turn) doubtedDay(r *catch.Report) (told understand.Day, found reckoned, ok bool) {
	if r.Personal.Told == nil || !contains(r.Flags, DoubtDay) || contains(r.Flags, Confirmed) {
		return told, found, false
	}
	found = reckon(*r.Personal.Told, t.here(r.CaughtAt)) // it stands under its message
	return *r.Personal.Told, found, !found.sure
}

// dayButtons offer the days that a doubtful one can be.
func (t *turn) dayButtons(r *catch.Report) (row []Button) {
	_, found, _ := t.doubtedDay(r)
	for _, day := range found.days {
		row = append(row, button(day.Format(time.DateOnly), pressDay, r.Number, day.Format(time.DateOnly)))
	}
	return row
}

// pressDay takes the day that was tapped, for all fish of the message whose day is not
// sure. Only a day that was offered is taken.
func (t *turn) pressDay(n uint64, detail string) error {
	r, err := t.ownReport(n)
	if err != nil {
		return err
	}
	if r == nil {
		return t.notice("press.not_yours")
	}
	_, found, _ := t.doubtedDay(r)
	i := slices.IndexFunc(found.days, func(day time.Time) bool { return day.Format(time.DateOnly) == detail })
	if i < 0 {
		return t.notice("press.old")
	}
	fish, err := t.fellows(r)
	if err != nil {
		return err
	}
	if err := t.putDay(fish, found.days[i]); err != nil {
		return err
	}
	return t.replace(t.confirmation(t.saved(fish), fish, nil))
}

// putDay keeps the day of those fish whose day was not sure.
func (t *turn) putDay(fish []*catch.Report, day time.Time) error {
	for _, f := range fish {
		if !contains(f.Flags, DoubtDay) {
			continue
		}
		t.setDay(f, day, f.CaughtAt)
		if err := t.tx.PutReport(f); err != nil {
			return err
		}
	}
	return nil
}

// fillDay takes words that answer which day it was: "12 Nov 2026", "yesterday".
func (t *turn) fillDay() (bool, error) {
	told := t.reading.OnlyDay()
	r, err := t.ownReport(t.session.Report)
	if err != nil || r == nil || told == nil {
		return false, err
	}
	found := reckon(*told, t.here(t.origin.at))
	if !found.sure {
		t.say(sayNote(t.voice, dayProblem(found, *told).Why))
		return true, nil
	}
	fish, err := t.fellows(r)
	if err != nil {
		return true, err
	}
	if err := t.putDay(fish, found.days[0]); err != nil {
		return true, err
	}
	t.saveSession(Session{Question: t.session.Question, Report: r.Number})
	t.corrected(fish, nil)
	return true, nil
}

// dated is a report in one line with the day that was told for it.
func (t *turn) dated(r *catch.Report) string {
	if !r.DateOnly {
		return t.describe(r)
	}
	return strings.Join([]string{t.describe(r), r.CaughtAt.Format(time.DateOnly)}, ", ")
}
