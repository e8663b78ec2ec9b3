package main

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// What a container asks: 0 while the service does its work, 1 with its reason or where
// nothing answers, and no token is needed.
func TestReadyAsksTheServiceThatRunsHere(t *testing.T) {
	t.Setenv("DEEPWARD_TOKEN", "")
	why := ""
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		assert.Equal(t, "/readyz", r.URL.Path)
		if why != "" {
			http.Error(w, why, http.StatusServiceUnavailable)
		}
	}))
	address := strings.TrimPrefix(server.URL, "http://")
	code, out, errs := command(t, "", "serve", "--ready", "--health", address)
	assert.Equal(t, exitDone, code, errs)
	assert.Equal(t, "ready\n", out)
	why = "no poll has succeeded yet"
	code, _, errs = command(t, "", "serve", "--ready", "--health", address)
	assert.Equal(t, exitFailed, code)
	assert.Equal(t, "deepward: no poll has succeeded yet\n", errs)
	server.Close()
	code, _, errs = command(t, "", "serve", "--ready", "--health", address)
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, errs, "nothing answers at "+address)
	code, _, _ = command(t, "", "serve", "--ready", "--health", "")
	assert.Equal(t, exitUsage, code)

	for listens, want := range map[string]string{
		"0.0.0.0:9480": "127.0.0.1:9480", ":9480": "127.0.0.1:9480", "[::]:9480": "127.0.0.1:9480", "127.0.0.1:9480": "127.0.0.1:9480",
	} {
		assert.Equal(t, want, dialled(listens))
	}
}
