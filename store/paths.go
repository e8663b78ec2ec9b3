package store

import (
	"os"
	"path/filepath"
)

// DefaultPath is where the store lives when nobody says otherwise: the user's
// data directory.
func DefaultPath() string { return filepath.Join(dataDir(), "deepward", "deepward.db") }

// DefaultKeyFile is where the key lives when nobody says otherwise: the file
// named by DEEPWARD_KEY_FILE, else beside the user's configuration, which is not
// where the data is.
func DefaultKeyFile() string {
	if file := os.Getenv("DEEPWARD_KEY_FILE"); file != "" {
		return file
	}
	dir, err := os.UserConfigDir()
	if err != nil {
		dir = "."
	}
	return filepath.Join(dir, "deepward", "key")
}

func dataDir() string {
	if dir := os.Getenv("XDG_DATA_HOME"); dir != "" {
		return dir
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "."
	}
	return filepath.Join(home, ".local", "share")
}
