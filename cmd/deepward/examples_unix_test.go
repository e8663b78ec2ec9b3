//go:build unix

package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/alecthomas/kong"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/bot/telegram/standin"
	"deepward/store"
	"deepward/store/catch"
	"deepward/store/demo"
)

// operator is a machine as an operator has it: the program on the path, a store with a
// club and its season, and the files that the examples name.
type operator struct {
	t   *testing.T
	dir string
	env []string
}

func newOperator(t *testing.T) operator {
	t.Helper()
	sh, err := exec.LookPath("sh")
	require.NoError(t, err, "this test needs a shell")
	api := standin.New()
	t.Cleanup(api.Close)
	o := operator{t: t, dir: t.TempDir()}
	o.write("bin/deepward", "#!"+sh+"\nDEEPWARD_TEST_CHILD=1 exec "+os.Args[0]+` "$@"`+"\n", 0o700)
	o.write("etc/token", standin.Token+"\n", 0o600)
	o.write("messages.txt", "gag 40 m 52 cm\nred snapper 45m 3kg\n", 0o600)
	o.write("old-log.csv", "date,species,depth (ft),length (in),method\n2019-05-01,red snapper,120,20,descended\n2019-05-02,gag,90,24,surface\n", 0o600)
	o.write("releases.csv", "tag,date,species,depth (m),method\nA1,2019-05-01,red snapper,40,descended\nA2,2019-05-02,red snapper,42,surface\n", 0o600)
	o.write("recaptures.csv", "tag,date\nA1,2019-08-01\n", 0o600)
	o.season("season.db", "key", 1)
	o.season("their-backup.db", "their.key", 2)
	o.season("var/lib/deepward/deepward.db", "var/lib/deepward-keys/key", 3)
	o.season("var/lib/deepward/backups/2026-05-01.db", "var/lib/deepward-keys/key", 3)
	o.env = append(os.Environ(), "PATH="+filepath.Join(o.dir, "bin")+":"+os.Getenv("PATH"), "HOME="+o.dir, "TMPDIR="+o.dir,
		"DEEPWARD_DB="+filepath.Join(o.dir, "season.db"), "DEEPWARD_KEY_FILE="+filepath.Join(o.dir, "key"),
		"DEEPWARD_API_URL="+api.URL, "DEEPWARD_HEALTH=")
	return o
}

func (o operator) write(name, text string, mode os.FileMode) {
	o.t.Helper()
	path := filepath.Join(o.dir, name)
	require.NoError(o.t, os.MkdirAll(filepath.Dir(path), 0o700))
	require.NoError(o.t, os.WriteFile(path, []byte(text), mode))
}

// season makes a store with an invented season named "Spring 2026".
func (o operator) season(db, key string, seed uint64) {
	o.t.Helper()
	s, err := store.Open(filepath.Join(o.dir, db), store.Options{KeyFile: filepath.Join(o.dir, key)})
	require.NoError(o.t, err, db)
	defer s.Close()
	require.NoError(o.t, s.Update(func(tx *store.Tx) error {
		chat, err := tx.ChatNumber(demo.Chat)
		if err != nil {
			return err
		}
		season := catch.Season{Name: "Spring 2026", Chat: chat, Opens: demo.Opens(), Closes: demo.Closes()}
		if err := tx.PutSeason(season); err != nil {
			return err
		}
		for _, r := range demo.Reports(40, chat, seed) {
			r.Season = season.Name
			if _, err := tx.AddReport(r); err != nil {
				return err
			}
		}
		return nil
	}))
}

// run runs one line of a shell, as printed but for the folder of the token.
func (o operator) run(line string) {
	o.t.Helper()
	line = strings.NewReplacer("/etc/deepward/", filepath.Join(o.dir, "etc")+"/", "/var/lib/", o.dir+"/var/lib/").Replace(line)
	cmd := exec.Command("sh", "-ec", line)
	cmd.Dir, cmd.Env, cmd.Stdin = o.dir, o.env, strings.NewReader("quit\n")
	out, err := cmd.CombinedOutput()
	assert.NoError(o.t, err, "%s\n%s", line, out)
}

var example = regexp.MustCompile(`(?m)^    ((?:[A-Z_]+=\S+ )?(?:deepward|chown|chmod) .*)$`)

// untried are the lines that do not end by themselves, show a page or need systemd; what serve does
// is tested by the served program, the page by the manual's own test.
var untried = regexp.MustCompile(`deepward serve$|man -l|systemctl`)

// Every command's --help has an example, and each works as printed.
func TestExamplesOfTheHelpWorkAsPrinted(t *testing.T) {
	t.Parallel()
	o := newOperator(t)
	parser, err := kong.New(&cli{}, kong.Name("deepward"), kong.Bind(env{}))
	require.NoError(t, err)
	for _, c := range parser.Model.Leaves(true) {
		detail := c.Detail
		if detail == "" && c.Parent != nil {
			detail = c.Parent.Detail
		}
		found := example.FindAllStringSubmatch(detail, -1)
		assert.NotEmpty(t, found, "%s has no example", c.FullPath())
		for _, e := range found {
			if !untried.MatchString(e[1]) {
				o.run(e[1])
			}
		}
	}
}

// Every command of the README works as written there.
func TestCommandsOfTheReadmeWorkAsWritten(t *testing.T) {
	t.Parallel()
	o := newOperator(t)
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	found := example.FindAllStringSubmatch(string(readme), -1)
	require.Greater(t, len(found), 10)
	for _, e := range found {
		line, _, _ := strings.Cut(e[1], "   ") // what it does stands beside it
		if !untried.MatchString(line) {
			o.run(line)
		}
	}
}

// bash itself completes them.
func TestBashCompletesCommandsAndFlags(t *testing.T) {
	bash, err := exec.LookPath("bash")
	require.NoError(t, err, "this test needs bash")
	_, script, _ := command(t, "", "completion", "bash")
	for typed, want := range map[string]string{"rep": "report", "season ne": "new", "export --form": "--format"} {
		words := strings.Fields("deepward " + typed)
		ask := script + "\nCOMP_WORDS=(" + strings.Join(words, " ") + "); COMP_CWORD=" + string(rune('0'+len(words)-1)) + "\n_deepward\necho ${COMPREPLY[@]}\n"
		out, err := exec.Command(bash, "-c", ask).CombinedOutput()
		require.NoError(t, err, string(out))
		assert.Equal(t, want, strings.TrimSpace(string(out)), typed)
	}
}
