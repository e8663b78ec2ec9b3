//go:build unix

package store

import (
	"errors"
	"fmt"
	"os"
	"os/user"
	"strconv"
	"strings"
	"syscall"
)

// addressSpace is reserved for the file at opening, so that a long reader does
// not hold up a writer that must grow the map. It costs no memory.
const addressSpace = 1 << 30

// errReadOnlyDisk is what the system says of a disk that may not be written.
var errReadOnlyDisk error = syscall.EROFS

// notWritable is ErrReadOnly; where the file belongs to another user, as after a restore by
// root, it names the command that mends it.
func notWritable(path string) error {
	info, err := os.Stat(path)
	if err != nil {
		return ErrReadOnly
	}
	stat, ok := info.Sys().(*syscall.Stat_t)
	me := os.Geteuid()
	if !ok || int(stat.Uid) == me || me == 0 {
		return ErrReadOnly
	}
	return fmt.Errorf("%w: it belongs to %s; give it back with: sudo chown %s %s", ErrReadOnly, userName(int(stat.Uid)), userName(me), path)
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
