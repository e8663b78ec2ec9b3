package main

import (
	"fmt"
	"os"
	"regexp"
	"strconv"
	"testing"

	"github.com/alecthomas/kong"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// serveFlags are the flags of deepward serve.
func serveFlags(t *testing.T) []*kong.Flag {
	t.Helper()
	parser, err := kong.New(new(cli))
	require.NoError(t, err)
	ctx, err := parser.Parse([]string{"serve"})
	require.NoError(t, err)
	return ctx.Selected().Flags
}

// What is handed out to run the program with knows the program: a setting that was
// renamed would keep the service from starting.
func TestDeployedSettingsExist(t *testing.T) {
	var names, variables []string
	for _, f := range serveFlags(t) {
		names, variables = append(names, f.Name), append(variables, f.Tag.Envs...)
	}
	sample, err := os.ReadFile("deploy/deepward.yaml")
	require.NoError(t, err)
	for _, text := range []string{string(sample), regexp.MustCompile(`(?m)^# ([a-z-]+: )`).ReplaceAllString(string(sample), "$1")} {
		c, err := parseConfig([]byte(text), namesOf(serveFlags(t)))
		require.NoError(t, err)
		assert.GreaterOrEqual(t, len(c), 4)
	}
	for _, file := range []string{"deploy/deepward.service", "deploy/Containerfile"} {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		for _, flag := range regexp.MustCompile(`serve.* --([a-z-]+)`).FindAllStringSubmatch(string(text), -1) {
			assert.Contains(t, names, flag[1], file)
		}
		for _, variable := range regexp.MustCompile(`DEEPWARD_[A-Z_]+`).FindAllString(string(text), -1) {
			assert.Contains(t, variables, variable, file)
		}
	}
	unit, err := os.ReadFile("deploy/deepward.service")
	require.NoError(t, err)
	stop := regexp.MustCompile(`TimeoutStopSec=(\d+)`).FindStringSubmatch(string(unit))
	require.NotNil(t, stop)
	seconds, err := strconv.Atoi(stop[1])
	require.NoError(t, err)
	assert.Greater(t, seconds, 10, "a stop may take 10 s")
	assert.Contains(t, string(unit), "Type=notify", "the program says when it is ready")
	assert.Contains(t, string(unit), "Restart=on-failure", "also where it ends itself, or is stuck")
	assert.Contains(t, string(unit), fmt.Sprintf("RestartPreventExitStatus=%d\n", exitUsage), "another start would change nothing")
	assert.Contains(t, string(unit), "StartLimitBurst=", "a token that is refused is not tried for ever")
	watchdog := regexp.MustCompile(`WatchdogSec=(\d+)`).FindStringSubmatch(string(unit))
	require.NotNil(t, watchdog)
	seconds, err = strconv.Atoi(watchdog[1])
	require.NoError(t, err)
	assert.GreaterOrEqual(t, seconds, 30, "a stop, of up to 10 s, must not be taken for a stuck service")
	assert.NotContains(t, string(unit), "RestrictAddressFamilies=AF_INET AF_INET6\n", "it is told over a unix socket")
	assert.Contains(t, string(unit), "--config /etc/deepward/deepward.yaml")
}
