package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"deepward/store"
	"deepward/store/catch"
)

// oldLog writes a past log of two fish.
func oldLog(t *testing.T) string { return oldLogOf(t, "gag") }

func oldLogOf(t *testing.T, fish string) string {
	file := filepath.Join(t.TempDir(), "old.csv")
	log := "Date,Species,Depth (m),Method\n2024-05-02," + fish + ",40,surface\n2024-06-02," + fish + ",50,sent down\n"
	require.NoError(t, os.WriteFile(file, []byte(log), 0o600))
	return file
}

func TestImportMakesTheClubAndItsSeason(t *testing.T) {
	w := where(t)
	for _, club := range [][]string{nil, {"--club", "Tern Bank Anglers"}, {"--club", "tern bank anglers"}} {
		code, out, errs := command(t, "", append(append([]string{"import", oldLog(t), "--season", "Spring 2024", "--keep"}, club...), w...)...)
		require.Equal(t, exitDone, code, errs+out)
	}
	code, out, errs := command(t, "", append([]string{"season"}, w...)...)
	require.Equal(t, exitDone, code, errs)
	assert.Contains(t, lines(out), "1 - Spring 2024 2024-05-02 2024-06-02 closed 2")
	assert.Contains(t, lines(out), "2 Tern Bank Anglers Spring 2024 2024-05-02 2024-06-02 closed 2", "the same name is the same club")
	code, _, errs = command(t, "", append([]string{"import", oldLog(t), "--chat", "9", "--keep"}, w...)...)
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, errs, "--club NAME")
}

// A log that was taken in before anybody wrote to the bot belonged to the first who did.
func TestImportedLogIsNobodysPrivateChat(t *testing.T) {
	w := where(t)
	code, _, errs := command(t, "", append([]string{"import", oldLog(t), "--keep"}, w...)...)
	require.Equal(t, exitDone, code, errs)
	s, err := store.Open(w[1], store.Options{KeyFile: w[3]})
	require.NoError(t, err)
	defer s.Close()
	require.NoError(t, s.Update(func(tx *store.Tx) error {
		number, err := tx.ChatNumber(4711)
		assert.Equal(t, catch.ClubID(2), number)
		return err
	}))
}

func TestMergedClubsKeepTheirNames(t *testing.T) {
	w, other := where(t), where(t)
	for fish, at := range map[string][]string{"gag": w, "red snapper": other} {
		code, _, errs := command(t, "", append([]string{"import", oldLogOf(t, fish), "--club", "Tern Bank Anglers", "--keep"}, at...)...)
		require.Equal(t, exitDone, code, errs)
	}
	for range 2 {
		code, _, errs := command(t, "", append([]string{"merge", other[1], "--with-key", other[3], "--keep"}, w...)...)
		require.Equal(t, exitDone, code, errs)
	}
	_, out, _ := command(t, "", append([]string{"season"}, w...)...)
	assert.Contains(t, lines(out), "1 Tern Bank Anglers in no season 2")
	assert.Contains(t, lines(out), "2 Tern Bank Anglers in no season 2", "two stores, two clubs, whatever they are called")
}
