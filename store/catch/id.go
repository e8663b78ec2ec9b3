package catch

// Four numbers that are easily taken for one another, each with a type of its own.
type (
	// ClubID is the number of a log in the store: a group's, or that of a person who
	// writes in private. It stays when a group gets a new number on the transport;
	// 0 is none.
	ClubID int64
	// ChatID is the number of a chat on the transport; 0 is none.
	ChatID int64
	// PersonID is the number of a person on the transport; 0 is nobody.
	PersonID int64
	// UpdateID is the number of one delivery by the transport; 0 is one that never
	// comes again.
	UpdateID int64
)
