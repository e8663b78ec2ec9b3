package advisor

// NoteCode names one thing that an advice may tell.
type NoteCode string
