//go:build unix

package main

import (
	"os"
	"os/signal"
	"strconv"
	"syscall"
)

// confine lets this process make no file larger than DEEPWARD_TEST_LIMIT bytes: to
// it the disk is full then.
func confine() error {
	text := os.Getenv("DEEPWARD_TEST_LIMIT")
	if text == "" {
		return nil
	}
	n, err := strconv.ParseUint(text, 10, 64)
	if err != nil {
		return err
	}
	signal.Ignore(syscall.SIGXFSZ) // a write beyond the limit fails instead
	return syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: n, Max: n})
}
