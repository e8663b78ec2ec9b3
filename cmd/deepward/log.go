package main

import "log/slog"

// quietLog takes warnings to standard error as text: the commands at a keyboard
// need no more.
func quietLog(e env) *slog.Logger {
	return slog.New(slog.NewTextHandler(e.err, &slog.HandlerOptions{Level: slog.LevelWarn}))
}
