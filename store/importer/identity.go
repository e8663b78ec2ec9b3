package importer

import (
	"crypto/sha256"
	"encoding/base32"
	"encoding/hex"
	"strconv"
	"strings"
	"time"

	"deepward/store/catch"
)

// invented stands for a tag number that is still to be made.
const invented = "?"

// inventedPrefix begins the tag numbers that were made here.
const inventedPrefix = "ROW"

// identify gives each report its identity and makes the tag numbers that are
// missing. Two rows that say the same are told apart by how many came before:
// both fish are kept, and neither is added again by the same file.
func (in *reading) identify() {
	count := in.seen
	if count == nil {
		count = newSeen()
	}
	count.begin()
	for i := range in.sheet.Rows {
		id := ""
		for k := range in.sheet.Rows[i].Entries {
			e := &in.sheet.Rows[i].Entries[k]
			if k == 0 || !(in.later && e.Report.Recapture) {
				said := canonical(e.Report)
				id = identity(said, count.occurrence(said))
				e.ID = id
			} else {
				e.ID = id + again(k) // of the release before it
			}
			if e.Report.Tag == invented {
				e.Report.Tag = inventedTag(id)
			}
		}
	}
}

// again ends the identity of the k-th recapture of a row.
func again(k int) string {
	if k == 1 {
		return "-again"
	}
	return "-again" + strconv.Itoa(k)
}

// canonical is what a report says, in one form whatever the file. What is sealed in
// the store has no part in it: a fingerprint of a name or an exact place would give
// it away to whoever tries them all.
func canonical(r *catch.Report) string {
	var b strings.Builder
	add := func(text string) { b.WriteString(text + "|") }
	number := func(x *float64) {
		if x != nil {
			b.WriteString(strconv.FormatFloat(*x, 'f', 3, 64))
		}
		add("")
	}
	add("1") // the version of this form
	if r.DateOnly {
		add(r.CaughtAt.Format(time.DateOnly))
	} else {
		add(r.CaughtAt.Format("2006-01-02T15:04"))
	}
	add(spaced(r.SpeciesGiven))
	for _, x := range []*float64{r.DepthM, r.DepthMinM, r.WeightKg, r.LengthCm, r.ReleaseDepthM, r.MinutesOnDeck, r.SurfaceTempC} {
		number(x)
	}
	for i := range r.WeightsOz {
		number(&r.WeightsOz[i])
	}
	for _, s := range r.Signs {
		add(string(s))
	}
	for _, word := range []string{string(r.LengthType), string(r.Method), string(r.Hook), string(r.Behaviour), string(r.Outcome), r.Tag} {
		add(word)
	}
	for _, yes := range []bool{r.SignsLooked, r.Bleeding, r.Predators, r.Recapture} {
		add(strconv.FormatBool(yes))
	}
	if r.Cell != nil {
		add(strconv.Itoa(int(r.Cell.Lat)) + " " + strconv.Itoa(int(r.Cell.Lon)))
	}
	return b.String()
}

func identity(said string, occurrence int) string {
	sum := sha256.Sum256([]byte(said + strconv.Itoa(occurrence)))
	return hex.EncodeToString(sum[:16])
}

// inventedTag is a tag number made from an identity: 50 bits, so that some thousand
// fish do not meet by chance.
func inventedTag(id string) string {
	raw, _ := hex.DecodeString(id) // made by identity
	return inventedPrefix + base32.StdEncoding.EncodeToString(raw)[:10]
}
