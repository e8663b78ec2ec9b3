//go:build unix

package store

import "slices"

// OwnedByRoot lets these files belong to root, as far as is told of them.
func OwnedByRoot(paths []string) {
	real := ownerOf
	ownerOf = func(path string) (owner int, folder, found bool) {
		owner, folder, found = real(path)
		if slices.Contains(paths, path) {
			owner = 0
		}
		return owner, folder, found
	}
}
