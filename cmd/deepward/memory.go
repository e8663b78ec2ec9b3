package main

import (
	"context"
	"os"
	"runtime/debug"
	"time"
)

// How far memory grows beyond what is held before the garbage is collected, in percent. At
// work it is much: under a flood a fifth of the time went into collecting. At rest it is
// little: the patrol goes on through the store, and nobody waits for it.
const (
	spareAtWork = 300
	spareAtRest = 50
	// restAfter is how long nobody must have written, and lookEvery how soon it is seen that
	// somebody did.
	restAfter = 5 * time.Second
	lookEvery = time.Second
)

// easeMemory spares the collector while people write, and gives memory back to the system
// once nobody does, until ctx ends; unless GOGC says otherwise. writtenAt is when the last
// was kept, by the clock now.
func easeMemory(ctx context.Context, now, writtenAt func() time.Time) {
	if os.Getenv("GOGC") != "" {
		return
	}
	debug.SetGCPercent(spareAtWork)
	look := time.NewTicker(lookEvery)
	defer look.Stop()
	for resting := false; ctx.Err() == nil; {
		select {
		case <-ctx.Done():
		case <-look.C:
			if quiet := now().Sub(writtenAt()) > restAfter; quiet != resting {
				resting = quiet
				ease(resting)
			}
		}
	}
}

// ease sets the collector for rest or for work.
func ease(resting bool) {
	if !resting {
		debug.SetGCPercent(spareAtWork)
		return
	}
	debug.SetGCPercent(spareAtRest)
	debug.FreeOSMemory()
}
