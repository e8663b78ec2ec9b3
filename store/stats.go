package store

// Stats are the figures that an operator watches.
type Stats struct {
	// Reports is how many were ever kept, those taken back included.
	Reports uint64
	// Waiting is how many replies wait to be delivered.
	Waiting int
	// FileBytes is the size of the data, FreeBytes how much of it is room that
	// deleted values left: it is used again, and Compact gives it back.
	FileBytes, FreeBytes int64
	Schema               int
}

// Stats reads the figures without a walk over the reports; all are zero once the
// store is closed.
func (s *Store) Stats() (stats Stats) {
	_ = s.View(func(t *Tx) error {
		free := s.db.Stats()
		stats = Stats{
			Reports:   t.bucket(bucketReports).Sequence(), // numbers are never given twice, nor reports deleted
			Waiting:   t.OutboxLen(),
			FileBytes: t.tx.Size(),
			FreeBytes: int64(free.FreePageN+free.PendingPageN) * int64(s.db.Info().PageSize),
			Schema:    schema,
		}
		return nil
	})
	return stats
}
