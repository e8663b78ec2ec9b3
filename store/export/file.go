package export

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

// ToFile writes the log to a file that appears only when it is whole: an
// interrupted export leaves nothing behind, and a file that was there before stays
// as it was. Only its owner can read the file.
func ToFile(ctx context.Context, path string, reports Reports, o Options) (err error) {
	temp, err := os.CreateTemp(filepath.Dir(path), ".export-*")
	if err != nil {
		return fmt.Errorf("the export cannot be written there; choose another place: %w", err)
	}
	defer func() {
		if err != nil {
			temp.Close()
			os.Remove(temp.Name())
		}
	}()
	if err := Write(ctx, temp, reports, o); err != nil {
		return err
	}
	if err := errors.Join(temp.Sync(), temp.Close()); err != nil {
		return err
	}
	return os.Rename(temp.Name(), path)
}
