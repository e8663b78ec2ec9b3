package main

import (
	"fmt"
	"os"
	"strconv"
	"strings"
	"time"
)

// ticks are the units in which Linux tells the time of a processor, a second
// (proc_pid_stat(5), sysconf(3): 100 wherever Go runs).
const ticks = 100

// processorOf is the time that a process has had of the processors.
func processorOf(pid int) (time.Duration, error) {
	stat, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	if err != nil {
		return 0, err
	}
	_, after, _ := strings.Cut(string(stat), ") ") // the name may hold blanks
	const user, system = 11, 12                    // of the fields behind it
	fields := strings.Fields(after)
	if len(fields) <= system {
		return 0, fmt.Errorf("the time of process %d is not told", pid)
	}
	var n int64
	for _, f := range fields[user : system+1] {
		more, err := strconv.ParseInt(f, 10, 64)
		if err != nil {
			return 0, err
		}
		n += more
	}
	return time.Duration(n) * time.Second / ticks, nil
}

// memory reads a figure of a process's memory in MB: VmHWM is the most it had,
// VmRSS what it has, RssAnon what of that is no part of a file.
func memory(pid int, field string) (float64, error) {
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		return 0, err
	}
	for line := range strings.Lines(string(status)) {
		var kB float64
		if rest, ok := strings.CutPrefix(line, field+":"); ok {
			_, err := fmt.Sscan(rest, &kB)
			return kB / 1024, err
		}
	}
	return 0, fmt.Errorf("%s is not told", field)
}
