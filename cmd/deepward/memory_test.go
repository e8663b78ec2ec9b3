package main

import (
	"context"
	"runtime/debug"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
)

// percent is what the collector is set to.
func percent() int {
	p := debug.SetGCPercent(100)
	debug.SetGCPercent(p)
	return p
}

func TestMemoryIsGivenBackAtRestAndTakenAtWork(t *testing.T) {
	t.Setenv("GOGC", "")
	before := percent()
	defer func() { debug.SetGCPercent(before) }()
	synctest.Test(t, func(t *testing.T) {
		ctx, stop := context.WithCancel(t.Context())
		var written atomic.Int64
		written.Store(time.Now().UnixNano())
		go easeMemory(ctx, time.Now, func() time.Time { return time.Unix(0, written.Load()) })
		time.Sleep(3 * time.Second)
		assert.Equal(t, spareAtWork, percent())
		time.Sleep(4 * time.Second)
		assert.Equal(t, spareAtRest, percent(), "nobody wrote for five seconds")
		written.Store(time.Now().UnixNano())
		time.Sleep(2 * time.Second)
		assert.Equal(t, spareAtWork, percent(), "somebody writes again")
		stop()
		synctest.Wait()
	})
}

func TestMemoryIsLeftAsTheOperatorSetIt(t *testing.T) {
	t.Setenv("GOGC", "80")
	before := percent()
	easeMemory(t.Context(), time.Now, time.Now)
	assert.Equal(t, before, percent())
}
