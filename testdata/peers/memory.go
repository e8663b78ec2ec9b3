package main

import (
	"fmt"
	"os"
	"strings"
)

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
