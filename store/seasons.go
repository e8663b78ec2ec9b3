package store

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"time"
)

// Season is a span of time whose reports a club counts together.
type Season struct {
	Name string `cbor:"1,keyasint"`
	// Chat is the club's internal number.
	Chat int64 `cbor:"2,keyasint"`
	// Opens and Closes bound it, both included.
	Opens  time.Time `cbor:"3,keyasint"`
	Closes time.Time `cbor:"4,keyasint"`
	// Closed is true when no more reports are taken into it.
	Closed bool `cbor:"5,keyasint,omitempty"`
}

// Clashes is true for two open seasons of one club that share a day: a report must
// belong to one.
func (s Season) Clashes(other Season) bool {
	return s.Chat == other.Chat && s.Name != other.Name && !s.Closed && !other.Closed &&
		!other.Closes.Before(s.Opens) && !s.Closes.Before(other.Opens)
}

func seasonKey(chat int64, name string) []byte { return append(signed64(chat), name...) }

// PutSeason keeps a season under its chat and name.
func (t *Tx) PutSeason(s Season) error {
	value, err := encMode.Marshal(s)
	if err != nil {
		return fmt.Errorf("packing season %s: %w", s.Name, err)
	}
	return t.bucket(bucketSeasons).Put(seasonKey(s.Chat, s.Name), value)
}

// Season returns one season of a chat; false if there is none of that name.
func (t *Tx) Season(chat int64, name string) (Season, bool, error) {
	var s Season
	value := t.bucket(bucketSeasons).Get(seasonKey(chat, name))
	if value == nil {
		return s, false, nil
	}
	return s, true, decMode.Unmarshal(value, &s)
}

// Seasons returns the seasons of a chat in order of opening; chat 0 is all.
func (t *Tx) Seasons(chat int64) ([]Season, error) {
	var prefix []byte
	if chat != 0 {
		prefix = signed64(chat)
	}
	var list []Season
	c := t.bucket(bucketSeasons).Cursor()
	for k, v := c.Seek(prefix); k != nil && bytes.HasPrefix(k, prefix); k, v = c.Next() {
		var s Season
		if err := decMode.Unmarshal(v, &s); err != nil {
			return nil, fmt.Errorf("unpacking a season: %w", err)
		}
		list = append(list, s)
	}
	slices.SortStableFunc(list, func(a, b Season) int { return a.Opens.Compare(b.Opens) })
	return list, nil
}

// SeasonAt is the name of the open season of a chat that holds that moment, ""
// if there is none.
func (t *Tx) SeasonAt(chat int64, at time.Time) (string, error) {
	seasons, err := t.Seasons(chat)
	if err != nil || chat == 0 {
		return "", err
	}
	for _, s := range slices.Backward(seasons) {
		if !s.Closed && !at.Before(s.Opens) && !at.After(s.Closes) {
			return s.Name, nil
		}
	}
	return "", nil
}

// CellOf is the cell of the 0.1 degree grid that holds a place on WGS 84.
func CellOf(lat, lon float64) *Cell {
	return &Cell{Lat: int16(math.Floor(lat * 10)), Lon: int16(math.Floor(lon * 10))}
}
