//go:build !unix

package unfinished

import (
	"os"
	"time"
)

// Locks of this kind are not to be had here: what is a day old is taken for abandoned.
const abandonedAfter = 24 * time.Hour

// Hold does nothing here.
func Hold(*os.File) {}

func abandoned(path string) bool {
	info, err := os.Stat(path)
	return err == nil && time.Since(info.ModTime()) > abandonedAfter
}
