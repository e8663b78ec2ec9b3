package store

import (
	"bytes"
	"iter"
	"maps"
	"slices"
)

// Imported reports whether a row of an import is in the store already; id is
// what makes the row the same row again.
func (t *Tx) Imported(id string) bool {
	return t.bucket(bucketImported).Get(t.importKey(id)) != nil
}

// KnownImports are those of the rows of an import, by their ids, that are in the store
// already. The keys are hashes, strewn over all pages: looked up in their order, each page
// is read once.
func (t *Tx) KnownImports(ids []string) map[string]bool {
	list := t.inKeyOrder(slices.Values(ids))
	t.importKeys = make(map[string][]byte, len(list))
	known := map[string]bool{}
	b := t.bucket(bucketImported)
	for _, one := range list {
		if t.importKeys[one.id] = one.key; b.Get(one.key) != nil {
			known[one.id] = true
		}
	}
	return known
}

// importID is the id of a row and the key that hides it.
type importID struct {
	key []byte
	id  string
}

// inKeyOrder sorts ids by their keys.
func (t *Tx) inKeyOrder(ids iter.Seq[string]) (list []importID) {
	for id := range ids {
		list = append(list, importID{t.importKey(id), id})
	}
	slices.SortFunc(list, func(a, b importID) int { return bytes.Compare(a.key, b.key) })
	return list
}

// MarkImported remembers that a row of an import made that report.
func (t *Tx) MarkImported(id string, report uint64) error {
	return t.MarkImports(map[string]uint64{id: report})
}

// MarkImports remembers the reports that rows of an import made, by the id of the row. The
// keys are written in their order, so that each page is found once and grows at its end.
func (t *Tx) MarkImports(reports map[string]uint64) error {
	b := t.bucket(bucketImported)
	for _, one := range t.inKeyOrder(maps.Keys(reports)) {
		sealed := t.s.sealer.seal([]byte(one.id), place(bucketImported, one.key))
		if err := b.Put(one.key, append(number64(reports[one.id]), sealed...)); err != nil {
			return err
		}
	}
	return nil
}

// importKey hides the id, which may hold a name out of the row.
func (t *Tx) importKey(id string) []byte {
	if key, known := t.importKeys[id]; known {
		return key
	}
	return t.s.sealer.digest("import", id)
}

// importOf reads an entry back.
func (t *Tx) importOf(key, value []byte) (id string, report uint64, err error) {
	if len(value) < 8 {
		return "", 0, errRecord
	}
	plain, err := t.s.sealer.open(value[8:], place(bucketImported, key))
	return string(plain), numberAt(value[:8]), err
}
