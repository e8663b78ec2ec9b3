package main

import (
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot/telegram/standin"
)

var settings = []string{"db", "health", "webhook-url", "webhook-cert", "no-limits"}

func TestConfigurationIsRefusedWithTheLineAndANearName(t *testing.T) {
	for text, want := range map[string]string{
		"# a line\n\nwebhok-url: https://a.example": `line 3: there is no setting "webhok-url"; did you mean "webhook-url"?`,
		"helth: x":                         `line 1: there is no setting "helth"; did you mean "health"?`,
		"rumpelstiltskin: x":               `line 1: there is no setting "rumpelstiltskin"; deepward serve --help lists them`,
		"db: a\ndb: b":                     "line 2",
		"health: a\ntoken: 123456:x":       "line 2: a secret does not stand here; put it in a file of its own and name that with token-file",
		"webhook-secret: x":                "webhook-secret-file",
		"db: [a, b]":                       "line 1: db takes one value",
		"db: {a: b}":                       "line 1: db takes one value",
		"- db":                             `line 1: write one "name: value" a line`,
		"just words":                       `line 1: write one "name: value" a line`,
		"db: \"a":                          `not written as lines of "name: value"`,
		"db: a\n\thealth: b":               `not written as lines of "name: value"`,
		strings.Repeat("#", configLimit+1): "larger than 65536 bytes",
	} {
		_, err := parseConfig([]byte(text), settings)
		require.Error(t, err, text)
		assert.Contains(t, err.Error(), want)
		assert.NotContains(t, err.Error(), "123456:x", "a secret is not repeated")
	}
}

func TestConfigurationIsRead(t *testing.T) {
	c, err := parseConfig([]byte("# all\ndb: /var/lib/x y.db # here\nhealth: \"\"\nno-limits: yes\n"), settings)
	require.NoError(t, err)
	assert.Equal(t, config{"db": {"/var/lib/x y.db", 2}, "health": {"", 3}, "no-limits": {"yes", 4}}, c)
	for _, empty := range []string{"", "# nothing\n", "---\n", "~"} {
		c, err := parseConfig([]byte(empty), settings)
		require.NoError(t, err, empty)
		assert.Empty(t, c)
	}
}

// Whatever a file holds, it is read or refused in one line, and only known
// settings come out.
func FuzzConfig(f *testing.F) {
	f.Add([]byte("db: a\nhealth: \"\"\n"))
	f.Add([]byte("webhok-url: x"))
	f.Add([]byte("a: &x [*x]\n? b\n: c\n<<: *x"))
	f.Fuzz(func(t *testing.T, data []byte) {
		c, err := parseConfig(data, settings)
		if err != nil && c != nil {
			t.Fatal("refused and taken")
		}
		for name, s := range c {
			if !contains(settings, name) || s.line < 1 {
				t.Fatalf("%q: %+v", name, s)
			}
		}
	})
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

// written puts a file of a test in its place.
func written(t *testing.T, name, text string, mode os.FileMode) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, []byte(text), mode))
	require.NoError(t, os.Chmod(path, mode))
	return path
}

// freeAddress is one that nothing listens on: a fixed port may be in use, or only just
// have been.
func freeAddress(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer l.Close()
	return l.Addr().String()
}

// Flags win over the environment, the environment over the file, the file over
// what is built in: each is told apart by the address that check names.
func TestFlagsWinOverEnvironmentOverFile(t *testing.T) {
	api := standin.New()
	defer api.Close()
	t.Setenv("DEEPWARD_TOKEN", "")
	inFile, inEnvironment, asFlag := freeAddress(t), freeAddress(t), freeAddress(t)
	file := written(t, "c.yaml", "api-url: "+api.URL+"\nhealth: "+inFile+"\ntoken-file: "+written(t, "token", standin.Token, 0o600)+"\n", 0o644)
	check := func(args ...string) string {
		code, out, errs := command(t, "", append(append([]string{"serve", "--check"}, where(t)...), args...)...)
		require.Equal(t, exitDone, code, out+errs)
		return out
	}
	assert.Contains(t, check("--config", file), inFile+" is free")
	t.Setenv("DEEPWARD_HEALTH", inEnvironment)
	assert.Contains(t, check("--config", file), inEnvironment+" is free")
	assert.Contains(t, check("--config", file, "--health", asFlag), asFlag+" is free")
	t.Setenv("DEEPWARD_CONFIG", file)
	t.Setenv("DEEPWARD_HEALTH", "")
	assert.NotContains(t, check(), "is free", "an empty setting of the environment is one too")
}

func TestConfigurationFaultsAreOneLine(t *testing.T) {
	for name, c := range map[string]struct {
		path string
		want string
	}{
		"missing":   {filepath.Join(t.TempDir(), "none.yaml"), "no such file"},
		"folder":    {t.TempDir(), "cannot be read"},
		"unknown":   {written(t, "c.yaml", "\nhelth: x\n", 0o644), `c.yaml: line 2: there is no setting "helth"; did you mean "health"?`},
		"check":     {written(t, "c.yaml", "check: true\n", 0o644), `there is no setting "check"`},
		"no number": {written(t, "c.yaml", "no-limits: perhaps\n", 0o644), "no-limits"},
		"old name":  {written(t, "c.yaml", "play-aside: perhaps\n", 0o644), "--retry-failed"},
	} {
		code, out, errs := command(t, "", "serve", "--config", c.path)
		assert.Equal(t, exitUsage, code, name)
		assert.Empty(t, out, name)
		assert.Contains(t, errs, c.want, name)
		assert.Equal(t, 1, strings.Count(errs, "\n"), "%s: %q", name, errs)
	}
}
