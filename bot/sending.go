package bot

import (
	"io"
	"os"
	"path/filepath"
	"time"
)

// Sending is a reply on its way out.
type Sending struct {
	ID    uint64
	Reply Reply
	// Who is a keyed hash of Reply.For, 0 for nobody: a person's share of a group is noted by it.
	Who uint64
	// Tries counts the failed deliveries, NotBefore is when to try again.
	Tries     int
	QueuedAt  time.Time
	NotBefore time.Time
	// Stated is true when the far side asked to wait until NotBefore: then all that is
	// for this chat waits, and keeps its order.
	Stated bool
}

// Settled is what became of a sending.
type Settled struct {
	Sending
	// Message is the number that the message got, 0 if it has none.
	Message int
	// RetryAt is when to try again; zero when there is nothing left to do.
	RetryAt time.Time
	// Calls are those that were made for it, where the limit of a group counts them.
	Calls []Call
}

// File is a picture or document that was made for a reply.
type File struct {
	// Name is what the person sees it called; "" when there is only the caption.
	Name string
	// Path is where it lies; Data is its content when Path is empty.
	Path string
	Data []byte
	// Caption goes with it, "" for none.
	Caption string
	// Buttons stand under it, instead of those of the reply, where there is only the caption.
	Buttons [][]Button
	// Cleanup takes it away after sending; nil if there is nothing to do.
	Cleanup func()
}

// Done takes the file away.
func (f File) Done() {
	if f.Cleanup != nil {
		f.Cleanup()
	}
}

// CopyTo puts the file into a folder under its own name and returns the path.
func (f File) CopyTo(dir string) (string, error) {
	path := filepath.Join(dir, filepath.Base(f.Name))
	data := f.Data
	if f.Path != "" {
		in, err := os.Open(f.Path)
		if err != nil {
			return "", err
		}
		defer in.Close()
		out, err := os.Create(path)
		if err != nil {
			return "", err
		}
		if _, err := io.Copy(out, in); err != nil {
			out.Close()
			return "", err
		}
		return path, out.Close()
	}
	return path, os.WriteFile(path, data, 0o600)
}
