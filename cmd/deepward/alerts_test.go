package main

import (
	"io"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot/telegram/standin"
)

// A rule about a figure that is not there never fires: each that an example rule names is
// in /metrics, with its label, before anything went wrong.
func TestAlertRulesNameFiguresThatAreThere(t *testing.T) {
	t.Parallel()
	api := standin.New()
	defer api.Close()
	dir, address := t.TempDir(), freeAddress(t)
	child := serveChild(t, api, filepath.Join(dir, "t.db"), filepath.Join(dir, "key"),
		"DEEPWARD_BACKUP_DIR="+filepath.Join(dir, "copies"), "DEEPWARD_HEALTH="+address)
	defer func() {
		require.NoError(t, child.Process.Signal(os.Interrupt))
		require.NoError(t, child.Wait())
	}()
	get := func(path string) (body string, code int) {
		r, err := http.Get("http://" + address + path)
		if err != nil {
			return "", 0
		}
		defer r.Body.Close()
		text, _ := io.ReadAll(r.Body)
		return string(text), r.StatusCode
	}
	require.Eventually(t, func() bool { _, code := get("/readyz"); return code == http.StatusOK }, 20*time.Second, 20*time.Millisecond)
	metrics, _ := get("/metrics")

	rules, err := os.ReadFile("deploy/alerts.yaml")
	require.NoError(t, err)
	named := regexp.MustCompile(`\b((?:deepward|process|go)_[a-z_]+)(?:\{([^}]*)\})?`)
	n := 0
	for line := range strings.Lines(string(rules)) {
		_, expression, is := strings.Cut(line, "expr:")
		if !is {
			continue
		}
		for _, m := range named.FindAllStringSubmatch(expression, -1) {
			label := regexp.MustCompile(`job="[^"]*",?`).ReplaceAllString(m[2], "") // of the scrape
			series := regexp.MustCompile(`(?m)^` + m[1] + `(\{[^}]*` + regexp.QuoteMeta(label) + `[^}]*\})? `)
			assert.Regexp(t, series, metrics, "in: %s", expression)
			n++
		}
	}
	assert.Greater(t, n, 6)
}
