package export

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"deepward/store/unfinished"
)

// ToFile writes the log to a file that only its owner can read, as WriteFile does.
func ToFile(ctx context.Context, path string, reports Reports, o Options) error {
	return WriteFile(path, 0o600, func(w io.Writer) error { return Write(ctx, w, reports, o) })
}

// WriteFile writes a file that appears only when it is whole and on disk: what is
// interrupted leaves nothing behind, and a file that was there before stays as it was. What
// a killed process left in the folder is cleared away.
func WriteFile(path string, mode fs.FileMode, write func(io.Writer) error) error {
	_ = unfinished.Drop(filepath.Dir(path)) // what cannot be removed is in nobody's way
	f, err := unfinished.Beside(path, unfinished.Part)
	if err != nil {
		return fmt.Errorf("the file cannot be written there; choose another place: %w", err)
	}
	defer os.Remove(f.Name())
	if err := errors.Join(write(f), f.Chmod(mode), f.Sync(), f.Close()); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}
