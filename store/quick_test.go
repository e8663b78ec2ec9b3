package store

import (
	"math"
	"math/rand/v2"
	"reflect"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/store/catch"
)

// anyValue fills a field with a value that is not its zero.
func anyValue(v reflect.Value, rng *rand.Rand) {
	switch v.Interface().(type) {
	case time.Time:
		at := time.Unix(rng.Int64N(4e9)-2e9, rng.Int64N(2)*rng.Int64N(1e9)).UTC()
		if rng.IntN(2) == 0 {
			at = at.In(time.FixedZone("", (rng.IntN(27*4)-52)*900))
		}
		v.Set(reflect.ValueOf(at))
		return
	}
	switch v.Kind() {
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int, reflect.Int16, reflect.Int64:
		v.SetInt(1 + rng.Int64()>>(48+rng.IntN(15)))
		if rng.IntN(2) == 0 {
			v.SetInt(-v.Int())
		}
	case reflect.Uint64:
		v.SetUint(1 + rng.Uint64()>>rng.IntN(64))
	case reflect.Float64:
		v.SetFloat([]float64{rng.NormFloat64(), float64(float32(rng.NormFloat64())), float64(rng.IntN(200)), 0.5, math.Ldexp(1, -24), -60000}[rng.IntN(6)])
	case reflect.String:
		v.SetString(strings.Repeat([]string{"gag", "é", "vivaneau "}[rng.IntN(3)], 1+rng.IntN(40)))
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		anyValue(v.Elem(), rng)
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1+rng.IntN(4), 4))
		for i := range v.Len() {
			anyValue(v.Index(i), rng)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			anyValue(v.Field(i), rng)
		}
	}
}

// stored are the fields of a report that its clear part has, by their numbers.
func stored(r *catch.Report) map[int]reflect.Value {
	fields := map[int]reflect.Value{}
	for _, f := range reflect.VisibleFields(reflect.TypeFor[catch.Report]()) {
		if n, err := strconv.Atoi(strings.Split(f.Tag.Get("cbor"), ",")[0]); err == nil && !f.Anonymous {
			fields[n] = reflect.ValueOf(r).Elem().FieldByIndex(f.Index)
		}
	}
	return fields
}

// What the walk's own reader makes of a report is what the library makes of it, for every
// field alone and for many at once, and it need not ask the library.
func TestWalkReadsReportsAsTheLibraryDoes(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(1, 2))
	quick := newRecordReader(newSealer(make([]byte, keySize)))
	same := func(r *catch.Report) {
		clear, err := encMode.Marshal(r)
		require.NoError(t, err)
		var byLibrary, own catch.Report
		require.NoError(t, decMode.Unmarshal(clear, &byLibrary))
		require.True(t, quick.clear.report(clear, &own), "left to the library: %+v", r)
		require.Equal(t, byLibrary, own)
	}
	numbers := stored(new(catch.Report))
	require.Len(t, numbers, 42, "fields of the clear part")
	for n := range numbers {
		for range 50 {
			r := new(catch.Report)
			anyValue(stored(r)[n], rng)
			same(r)
		}
	}
	for range 3000 {
		r := new(catch.Report)
		for _, field := range stored(r) {
			if rng.IntN(3) > 0 {
				anyValue(field, rng)
			}
		}
		same(r)
	}
}

// What is not as it was written goes to the library, which says what is wrong.
func TestWalkLeavesWhatIsStrangeToTheLibrary(t *testing.T) {
	s := newSealer(make([]byte, keySize))
	quick := newRecordReader(s)
	clear, err := encMode.Marshal(fullReport())
	require.NoError(t, err)
	var r catch.Report
	for i := range clear {
		assert.False(t, quick.clear.report(clear[:i], &r), "cut after %d bytes", i)
	}
	assert.False(t, quick.clear.report(append(clear, 0), &r), "a byte too many")
	assert.False(t, quick.clear.report(dayAhead, &r), "a zone that cannot be written")
	newer, err := encMode.Marshal(map[int]any{1: 7, 2: -3, 6: time.Unix(0, 0), 8: time.Unix(0, 0), 99: "a field to come"})
	require.NoError(t, err)
	assert.False(t, quick.clear.report(newer, &r))
	record, err := s.encodeRecord(fullReport())
	require.NoError(t, err)
	for _, personal := range []bool{false, true} {
		var own, byLibrary catch.Report
		require.NoError(t, quick.read(record, &own, personal))
		require.NoError(t, s.decodeRecord(record, &byLibrary, personal))
		assert.Equal(t, byLibrary, own)
	}
}

// dayAhead holds a time whose zone is a day ahead, which can be read and not written.
var dayAhead = append([]byte{0xa1, 0x06, 0x78, 0x19}, "2026-11-30T10:00:00+24:00"...)

func FuzzWalkReadsAsTheLibrary(f *testing.F) {
	clear, err := encMode.Marshal(fullReport())
	if err != nil {
		f.Fatal(err)
	}
	f.Add(clear)
	f.Add([]byte{0xa1, 0x06, 0xf6})
	f.Add(dayAhead)
	quick := newRecordReader(newSealer(make([]byte, keySize)))
	f.Fuzz(func(t *testing.T, clear []byte) {
		var own, byLibrary catch.Report
		if !quick.clear.report(clear, &own) {
			return
		}
		require.NoError(t, decMode.Unmarshal(clear, &byLibrary))
		again, err := encMode.Marshal(own)
		require.NoError(t, err)
		other, err := encMode.Marshal(byLibrary)
		require.NoError(t, err)
		require.Equal(t, other, again)
	})
}

func BenchmarkReadRecord(b *testing.B) {
	s := newSealer(make([]byte, keySize))
	r := fullReport()
	r.Season, r.SpeciesGiven, r.SpeciesSure, r.Method, r.Outcome = "Spring 2026", "gag", true, "recompressed", "swam_down"
	record, err := s.encodeRecord(r)
	require.NoError(b, err)
	b.Run("library", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			require.NoError(b, s.decodeRecord(record, r, false))
		}
	})
	b.Run("own", func(b *testing.B) {
		b.ReportAllocs()
		quick := newRecordReader(s)
		for b.Loop() {
			require.NoError(b, quick.read(record, r, false))
		}
	})
}
