package importer

import (
	"crypto/sha256"
	"encoding/base32"
	"encoding/hex"
	"strconv"

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
	var said []byte
	for i := range in.sheet.Rows {
		id := ""
		for k := range in.sheet.Rows[i].Entries {
			e := &in.sheet.Rows[i].Entries[k]
			if k == 0 || !(in.later && e.Report.Recapture) {
				said = appendCanonical(said[:0], e.Report)
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

// appendCanonical writes what a report says, in one form whatever the file. What is sealed in
// the store has no part in it: a fingerprint of a name or an exact place would give
// it away to whoever tries them all.
func appendCanonical(b []byte, r *catch.Report) []byte {
	b = append(b, "1|"...) // the version of this form
	form := "2006-01-02T15:04|"
	if r.DateOnly {
		form = "2006-01-02|"
	}
	b = r.CaughtAt.AppendFormat(b, form)
	b = append(append(b, spaced(r.SpeciesGiven)...), '|')
	for _, x := range [...]*float64{r.DepthM, r.DepthMinM, r.WeightKg, r.LengthCm, r.ReleaseDepthM, r.MinutesOnDeck, r.SurfaceTempC} {
		if x != nil {
			b = strconv.AppendFloat(b, *x, 'f', 3, 64)
		}
		b = append(b, '|')
	}
	for _, oz := range r.WeightsOz {
		b = append(strconv.AppendFloat(b, oz, 'f', 3, 64), '|')
	}
	for _, s := range r.Signs {
		b = append(append(b, s...), '|')
	}
	for _, word := range [...]string{string(r.LengthType), string(r.Method), string(r.Hook), string(r.Behaviour), string(r.Outcome), r.Tag} {
		b = append(append(b, word...), '|')
	}
	for _, yes := range [...]bool{r.SignsLooked, r.Bleeding, r.Predators, r.Recapture} {
		b = append(strconv.AppendBool(b, yes), '|')
	}
	if r.Cell != nil {
		b = append(strconv.AppendInt(b, int64(r.Cell.Lat), 10), ' ')
		b = append(strconv.AppendInt(b, int64(r.Cell.Lon), 10), '|')
	}
	return b
}

// identity is made from what a report says and from how often that was said.
func identity(said []byte, occurrence int) string {
	sum := sha256.Sum256(strconv.AppendInt(said, int64(occurrence), 10))
	return hex.EncodeToString(sum[:16])
}

// inventedTag is a tag number made from an identity: 50 bits, so that some thousand
// fish do not meet by chance.
func inventedTag(id string) string {
	raw, _ := hex.DecodeString(id) // made by identity
	return inventedPrefix + base32.StdEncoding.EncodeToString(raw)[:10]
}
