package main

import (
	"log/slog"
	"os"
	"os/signal"
	"syscall"
)

// heedHangups keeps a hang-up, as a closing terminal or a log rotation sends it, from
// ending the service: it writes to standard error, so no file is to be opened anew, and
// settings are read at the start only. The caller calls stop at the end.
func heedHangups(log *slog.Logger) (stop func()) {
	hangups := make(chan os.Signal, 1)
	signal.Notify(hangups, syscall.SIGHUP)
	go func() {
		for range hangups {
			log.Info("a hang-up changes nothing: the log goes to standard error; restart to take new settings")
		}
	}()
	return func() {
		signal.Stop(hangups)
		close(hangups)
	}
}
