package store

import (
	"encoding/binary"
	"errors"
	"fmt"

	"github.com/fxamacker/cbor/v2"

	"deepward/store/catch"
)

// A record is a report as bytes: the length of the clear part, the clear part
// in CBOR with numbered fields, and the sealed part. The seal holds over both: a
// record in which anything was changed does not open. A field keeps its number
// for ever, so that old records stay readable.

var encMode, decMode = codecs()

func codecs() (cbor.EncMode, cbor.DecMode) {
	enc := cbor.CoreDetEncOptions()
	enc.Time = cbor.TimeRFC3339Nano
	em, err := enc.EncMode()
	if err != nil {
		panic("store: " + err.Error())
	}
	dm, err := cbor.DecOptions{}.DecMode()
	if err != nil {
		panic("store: " + err.Error())
	}
	return em, dm
}

// recordHead is the length of the clear part, in bytes.
const recordHead = 4

// errRecord marks bytes that are no record.
var errRecord = errors.New("record is damaged")

func (s *sealer) encodeRecord(whole *catch.Report) ([]byte, error) {
	r := sealGiven(*whole)
	clear, err := encMode.Marshal(r)
	if err != nil {
		return nil, fmt.Errorf("packing report %d: %w", r.Number, err)
	}
	personal, err := encMode.Marshal(r.Personal)
	if err != nil {
		return nil, fmt.Errorf("packing report %d: %w", r.Number, err)
	}
	out := binary.BigEndian.AppendUint32(make([]byte, 0, recordHead+len(clear)+len(personal)+32), uint32(len(clear)))
	out = append(out, clear...)
	return append(out, s.seal(personal, out)...), nil
}

// sealGiven moves words that name no known fish to the personal part: "log Bob Smith 40 m"
// names a person.
func sealGiven(r catch.Report) *catch.Report {
	if r.Personal.Given = ""; r.Species == "" {
		r.SpeciesGiven, r.Personal.Given = "", r.SpeciesGiven
	}
	return &r
}

// splitRecord cuts a record into what the seal is bound to, which ends with the
// clear part, and the sealed part.
func splitRecord(record []byte) (bound, sealed []byte, err error) {
	if len(record) < recordHead {
		return nil, nil, errRecord
	}
	n := int(binary.BigEndian.Uint32(record))
	if n < 0 || n > len(record)-recordHead {
		return nil, nil, errRecord
	}
	return record[:recordHead+n], record[recordHead+n:], nil
}

// decodeRecord fills r from a record whose seal opens; the personal part is filled
// only when asked.
func (s *sealer) decodeRecord(record []byte, r *catch.Report, personal bool) error {
	bound, sealed, err := splitRecord(record)
	if err != nil {
		return err
	}
	plain, err := s.open(sealed, bound)
	if err != nil {
		return fmt.Errorf("%w: %w", errRecord, err)
	}
	*r = catch.Report{}
	if err := decMode.Unmarshal(bound[recordHead:], r); err != nil {
		return fmt.Errorf("%w: %w", errRecord, err)
	}
	if !personal {
		return nil
	}
	return takePersonal(plain, r)
}

// takePersonal fills the personal part from what was sealed.
func takePersonal(plain []byte, r *catch.Report) error {
	if err := decMode.Unmarshal(plain, &r.Personal); err != nil {
		return fmt.Errorf("%w: %w", errRecord, err)
	}
	if r.SpeciesGiven == "" {
		r.SpeciesGiven = r.Personal.Given
	}
	r.Personal.Given = ""
	return nil
}
