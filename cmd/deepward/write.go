package main

import (
	"io"
	"io/fs"
	"os"

	"github.com/alecthomas/kong"

	"deepward/store"
	"deepward/store/export"
)

// The modes of files that are written.
const (
	// forOwner is for what holds people's words or names.
	forOwner fs.FileMode = 0o600
	// forAll is for what is made to be passed on.
	forAll fs.FileMode = 0o644
)

// writeFile writes a whole file, or leaves what was there.
func writeFile(path string, mode fs.FileMode, write func(io.Writer) error) error {
	if err := mayReplace(path); err != nil {
		return err
	}
	return export.WriteFile(path, mode, write)
}

// mayReplace refuses to write over a store, a key or a configuration, by what the file
// holds, whatever it is called.
func mayReplace(path string) error {
	if path == "" || path == "-" {
		return nil
	}
	if err := store.MayReplace(path); err != nil {
		return err
	}
	if info, err := os.Stat(path); err != nil || info.Size() > configLimit {
		return nil // no configuration, and perhaps a log of a million rows
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return nil
	}
	if c, err := parseConfig(data, serveSettings()); err == nil && len(c) > 0 {
		return usage("%s is a configuration of deepward; name another file", path)
	}
	return nil
}

// serveSettings are the names that a configuration may have.
func serveSettings() (names []string) {
	parser, err := kong.New(&cli{}, kong.Bind(env{}))
	if err != nil {
		return nil
	}
	for _, command := range parser.Model.Children {
		if command.Name == "serve" {
			names = namesOf(command.Flags)
		}
	}
	return names
}
