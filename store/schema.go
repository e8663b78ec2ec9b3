package store

import (
	"bytes"
	"encoding/binary"

	bolt "go.etcd.io/bbolt"
)

// The buckets. Few and large; keys are big-endian, so that order of bytes is
// order of time and number.
var (
	bucketMeta      = []byte("meta")
	bucketReports   = []byte("reports")    // time | number → record
	bucketNumbers   = []byte("numbers")    // number → key in reports
	bucketMessages  = []byte("messages")   // chat | message | number → nothing
	bucketPeople    = []byte("people")     // who | number → nothing
	bucketTags      = []byte("tags")       // tag 0 number → nothing
	bucketHistory   = []byte("history")    // number | version → older record
	bucketChats     = []byte("chats")      // hash of the transport's number → number
	bucketChatsBack = []byte("chats_back") // number → sealed transport's number
	bucketState     = []byte("state")      // kind 0 key → sealed value
	bucketSequences = []byte("sequences")  // kind → last number
	bucketSeen      = []byte("seen")       // update → time
	bucketSeenTimes = []byte("seen_times") // time | update → nothing
	bucketOutbox    = []byte("outbox")     // chat | number → waiting reply
	bucketSeasons   = []byte("seasons")    // chat | name → season
	bucketImported  = []byte("imported")   // hash of a row's id → number | sealed id
	bucketOrigins   = []byte("origins")    // store | number there | moment → number here
	bucketOrigin    = []byte("origin")     // number here → store | number there | moment
)

var (
	metaSchema   = []byte("schema")
	metaKeyCheck = []byte("key_check")
	metaStoreID  = []byte("store_id")
	metaHashes   = []byte("hashes")   // the sealed secret of the hashes, once the key was changed
	metaNumbered = []byte("numbered") // the last report that a migration under way has numbered
	metaScrub    = []byte("scrub")    // there while pages of somebody forgotten are not overwritten
)

// schema is the version that this program writes: 1 was the first; 2 hides the
// ids of imported rows, binds sealed values to their bucket, and knows what was
// merged from where; 3 seals the clear part of a report together with the personal
// one, and seasons, so that nothing in them changes unseen; 4 seals names of fish that
// nobody knows, which may be people's; 5 may keep the secret of its
// hashes, and numbers the reports of each log; 6 numbers the fields of the fish that a talk
// remembers as those of a report.
const schema = 6

// version is 0 for a file that holds nothing; a bbolt file of somebody else's
// is refused before anything is written.
func (s *Store) version() (int, error) {
	version := 0
	err := s.db.View(func(tx *bolt.Tx) error {
		meta := tx.Bucket(bucketMeta)
		if meta == nil {
			if name, _ := tx.Cursor().First(); name != nil {
				return ErrNotAStore
			}
			return nil
		}
		v := meta.Get(metaSchema)
		if len(v) != 8 {
			return ErrNotAStore
		}
		version = int(binary.BigEndian.Uint64(v))
		return nil
	})
	return version, err
}

// checkKey opens a value that was sealed when the store was made.
func (s *Store) checkKey() error {
	return s.db.View(func(tx *bolt.Tx) error {
		meta := tx.Bucket(bucketMeta)
		if meta == nil {
			return ErrNotAStore
		}
		plain, err := s.sealer.open(meta.Get(metaKeyCheck), metaKeyCheck)
		if err != nil || !bytes.Equal(plain, meta.Get(metaStoreID)) {
			return ErrKeyWrong
		}
		return nil
	})
}

// number64 is a number as a sortable key.
func number64(n uint64) []byte { return binary.BigEndian.AppendUint64(nil, n) }

// signed64 is a signed number as a sortable key: the sign bit is flipped, so
// that negative ones, such as the numbers of groups, come first.
func signed64[N ~int64 | ~int](n N) []byte { return number64(uint64(n) ^ 1<<63) }
