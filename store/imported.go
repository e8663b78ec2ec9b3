package store

// Imported reports whether a row of an import is in the store already; id is
// what makes the row the same row again.
func (t *Tx) Imported(id string) bool {
	return t.bucket(bucketImported).Get(t.importKey(id)) != nil
}

// MarkImported remembers that a row of an import made that report.
func (t *Tx) MarkImported(id string, report uint64) error {
	key := t.importKey(id)
	sealed := t.s.sealer.seal([]byte(id), place(bucketImported, key))
	return t.bucket(bucketImported).Put(key, append(number64(report), sealed...))
}

// importKey hides the id, which may hold a name out of the row.
func (t *Tx) importKey(id string) []byte { return t.s.sealer.digest("import", id) }

// importOf reads an entry back.
func (t *Tx) importOf(key, value []byte) (id string, report uint64, err error) {
	if len(value) < 8 {
		return "", 0, errRecord
	}
	plain, err := t.s.sealer.open(value[8:], place(bucketImported, key))
	return string(plain), numberAt(value[:8]), err
}
