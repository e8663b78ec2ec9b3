//go:build unix

package store

import (
	"errors"
	"fmt"
	"os"
	"os/user"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
)

// addressSpace is reserved for the file at opening, so that a long reader does
// not hold up a writer that must grow the map. It costs no memory.
const addressSpace = 1 << 30

// errReadOnlyDisk is what the system says of a disk that may not be written.
var errReadOnlyDisk error = syscall.EROFS

// giveBack says to whom a file belongs and how to get it back, or to whom the folder
// belongs that keeps this user out; "" where that is this user.
func giveBack(path string) string {
	me := os.Geteuid()
	if me == 0 {
		return ""
	}
	for name := path; ; name = filepath.Dir(name) {
		owner, folder, found := ownerOf(name)
		switch {
		case found && owner == me && name != path:
			return ""
		case found && owner != me && folder: // no command: it may be a folder of the system
			return fmt.Sprintf("the folder %s belongs to %s", name, userName(owner))
		case found && owner != me:
			return fmt.Sprintf("it belongs to %s; give it back with: sudo chown %s %s", userName(owner), userName(me), name)
		case name == filepath.Dir(name):
			return ""
		}
	}
}

// ownerOf is the user that a file or folder belongs to. It is a variable for tests.
var ownerOf = func(path string) (owner int, folder, found bool) {
	info, err := os.Stat(path)
	if err != nil {
		return 0, false, false
	}
	stat, ok := info.Sys().(*syscall.Stat_t)
	if !ok {
		return 0, false, false
	}
	return int(stat.Uid), info.IsDir(), true
}

// userName is the name of a user, or the number of one that has none.
func userName(id int) string {
	if u, err := user.LookupId(strconv.Itoa(id)); err == nil {
		return u.Username
	}
	return strconv.Itoa(id)
}

// noRoom reports whether an error says that nothing more fits: on the disk, in
// the user's quota, or in one file.
func noRoom(err error) bool {
	for _, full := range []syscall.Errno{syscall.ENOSPC, syscall.EDQUOT, syscall.EFBIG} {
		// bbolt drops the cause when it fails to grow the file and keeps its words.
		if errors.Is(err, full) || err != nil && strings.HasSuffix(err.Error(), full.Error()) {
			return true
		}
	}
	return false
}

// ignoreUnsupported lets pass that some file systems cannot sync a folder.
func ignoreUnsupported(err error) error {
	if errors.Is(err, syscall.EINVAL) || errors.Is(err, syscall.ENOTSUP) {
		return nil
	}
	return err
}

// unlock lets go of a file early: of bbolt's lock, for to close the file is not enough while
// it is mapped, or of one that hold took.
func unlock(file *os.File) { _ = syscall.Flock(int(file.Fd()), syscall.LOCK_UN) }
