package export

import (
	"cmp"
	"slices"
	"time"

	"deepward/advisor"
	"deepward/store/catch"
)

// job is one export under way: what was asked for, and what is worth remembering
// from one report to the next.
type job struct {
	Options
	columns []Column
	grid    *grid
	names   map[nameKey]string
	chats   map[catch.ClubID]chatName
	row     row
	// id and value are where the row's identifier and one value are written.
	id, value []byte
}

type chatName struct {
	name    string
	private bool
}

type nameKey struct {
	club   catch.ClubID
	season string
	who    uint64
}

func newJob(o Options) (*job, error) {
	g, err := newGrid(o.GridDeg)
	if err != nil {
		return nil, err
	}
	j := &job{Options: o, grid: g, names: map[nameKey]string{}, chats: map[catch.ClubID]chatName{}}
	for _, c := range Columns() {
		if !c.Words || o.WithWords {
			j.columns = append(j.columns, c)
		}
	}
	return j, nil
}

// row is one report with what follows from it. It is filled again for each.
type row struct {
	*catch.Report
	job *job
	// cell is the place on the grid that was asked for; placed is false for none.
	cell   gridCell
	placed bool
	// fish is the catalogue's entry, nil if there is none.
	fish *advisor.Species
	// id is the identifier of the report, once it was asked for.
	id []byte
	// sign is the one of the report's signs that is being written.
	sign int
}

// of fills the row with a report.
func (j *job) of(r *catch.Report) *row {
	cell, placed := j.grid.cellOf(r)
	fish := j.row.fish
	if fish == nil || fish.ScientificName != r.Species {
		fish = advisor.LookUp(r.Species)
	}
	j.row = row{Report: r, job: j, cell: cell, placed: placed, fish: fish}
	return &j.row
}

// nameGiven is the name of the fish as the angler gave it. One that nobody knows may be a
// person's: it is among what people wrote.
func (x *row) nameGiven() string {
	if x.Species == "" && !x.job.WithWords {
		return ""
	}
	return x.SpeciesGiven
}

// angler is a name only where the person agreed and names were asked for.
func (x *row) angler() string {
	if x.job.WithNames && x.Named && x.Personal.Name != "" {
		return x.Personal.Name
	}
	return x.job.pseudonym(cmp.Or(x.Club, x.Chat), x.Season, x.Who)
}

// pseudonym remembers the names it asked for: they cost a keyed hash each.
func (j *job) pseudonym(club catch.ClubID, season string, who uint64) string {
	if who == 0 || j.Pseudonym == nil {
		return ""
	}
	k := nameKey{club, season, who}
	name, known := j.names[k]
	if !known {
		name = j.Pseudonym(club, season, who)
		j.names[k] = name
	}
	return name
}

// chat remembers what it was told of a chat.
func (j *job) chat(number catch.ClubID) chatName {
	c, known := j.chats[number]
	if !known && j.Chat != nil {
		c.name, c.private = j.Chat(number)
		j.chats[number] = c
	}
	return c
}

// chatNumber is the number of the group a report was told in; false for none and for
// a private chat.
func (x *row) chatNumber() (float64, bool) {
	return float64(x.Chat), x.Chat != 0 && !x.private()
}

// private is true for a report told in one person's own chat; what was imported
// belongs to a club, whether or not it has a chat.
func (x *row) private() bool {
	return x.Chat != 0 && x.Origin == "" && x.job.chat(x.Chat).private
}

func (x *row) chatName() string {
	if x.private() {
		return "private"
	}
	return x.job.chat(x.Chat).name
}

// clock writes a time of day with its zone, and without where nobody told which it was: a
// Z would make it another time.
func (x *row) clock(b []byte, t time.Time) []byte {
	b = appendClock(b, t)
	if slices.Contains(x.Flags, catch.ZoneUnknown) {
		return b
	}
	return appendZone(b, t)
}

// when is the time as it may go out: to the minute only beside places finer than
// 0.1 degree, else to the full hour, for the minute tells who knows the boats of
// that day where it was (Chapman 2020, on what else gives a place away).
func (x *row) when() time.Time {
	if x.job.grid.fine() {
		return x.CaughtAt
	}
	_, offset := x.CaughtAt.Zone()
	into := (x.CaughtAt.Unix() + int64(offset)) % 3600
	if into < 0 {
		into += 3600
	}
	return x.CaughtAt.Add(-time.Duration(into) * time.Second)
}
