package main

import (
	"errors"
	"io"
	"os"
)

// writeFile writes a whole file, or leaves what was there: it grows beside its
// place and takes it when it is done.
func writeFile(path string, write func(io.Writer) error) error {
	part := path + ".part"
	f, err := os.Create(part)
	if err != nil {
		return err
	}
	if err := errors.Join(write(f), f.Close()); err != nil {
		os.Remove(part)
		return err
	}
	return os.Rename(part, path)
}
