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

// notWritable is ErrReadOnly; where the file or its folder belongs to another user, as
// after a restore by root, it names the command that mends it.
func notWritable(path string) error {
	if hint := giveBack(path); hint != "" {
		return fmt.Errorf("%w: %s", ErrReadOnly, hint)
	}
	return ErrReadOnly
}

// giveBack says to whom a file belongs and how to get it back, or to whom the folder
// belongs that keeps this user out; "" where that is this user.
func giveBack(path string) string {
	me := os.Geteuid()
	if me == 0 {
		return ""
	}
	for name := path; ; name = filepath.Dir(name) {
		info, err := os.Stat(name)
		if err == nil {
			stat, ok := info.Sys().(*syscall.Stat_t)
			if ok && int(stat.Uid) == me && name == path {
				continue // its folder, then
			}
			if !ok || int(stat.Uid) == me {
				return ""
			}
			if info.IsDir() { // no command: it may be a folder of the system
				return fmt.Sprintf("the folder %s belongs to %s", name, userName(int(stat.Uid)))
			}
			return fmt.Sprintf("it belongs to %s; give it back with: sudo chown %s %s", userName(int(stat.Uid)), userName(me), name)
		}
		if name == filepath.Dir(name) {
			return ""
		}
	}
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

// unlock lets go of bbolt's lock; to close the file is not enough while it is mapped.
func unlock(file *os.File) { _ = syscall.Flock(int(file.Fd()), syscall.LOCK_UN) }
