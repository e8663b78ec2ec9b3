package store_test

import (
	"maps"
	"os"
	"os/exec"
	"testing"
)

// children are the programs that the test binary can be instead of a test.
func children() map[string]func(dir string) {
	list := map[string]func(string){"writer": writeUntilKilled}
	maps.Copy(list, confined())
	return list
}

// TestMain lets the test binary be a program of its own, to be killed or confined.
func TestMain(m *testing.M) {
	if child, ok := children()[os.Getenv("DEEPWARD_TEST_CHILD")]; ok {
		if err := confine(); err != nil {
			panic(err)
		}
		child(os.Getenv("DEEPWARD_TEST_DIR"))
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// child prepares the test binary as one of the children, at work in dir.
func child(name, dir string) *exec.Cmd {
	cmd := exec.Command("/proc/self/exe")
	if _, err := os.Stat(cmd.Path); err != nil {
		cmd = exec.Command(os.Args[0])
	}
	cmd.Env = append(os.Environ(), "DEEPWARD_TEST_CHILD="+name, "DEEPWARD_TEST_DIR="+dir)
	return cmd
}
