package main

import (
	"fmt"
	"io"
	"os"
	"runtime"
	"strings"

	"deepward/bot/telegram"
)

// secretLimit is the largest secret that is read, in bytes.
const secretLimit = 4 << 10

// secret is what a file or the environment keeps from people.
type secret struct {
	text string
	// open is true when everybody on this machine may read the file.
	open bool
}

// findSecret takes a secret from the environment, else from a file; it is empty
// where neither has one.
func findSecret(env, file string) (secret, error) {
	if text := os.Getenv(env); text != "" || file == "" {
		return secret{text: text}, nil
	}
	f, err := os.Open(file)
	if err != nil {
		return secret{}, fmt.Errorf("reading a secret: %w", err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, secretLimit))
	if err != nil {
		return secret{}, fmt.Errorf("reading a secret: %w", err)
	}
	return secret{strings.TrimSpace(string(data)), readableByAll(file)}, nil
}

// readableByAll is true for a file that people other than its owner and group may
// read. A group is let pass: service managers hand secrets to one.
func readableByAll(path string) bool {
	info, err := os.Stat(path)
	return err == nil && runtime.GOOS != "windows" && info.Mode().Perm()&0o007 != 0
}

// advice says what to do about a secret that lies open.
func openAdvice(file string) string {
	return fmt.Sprintf("everybody on this machine may read %s: chmod 600 it, and if others had the chance, take a new secret", file)
}

// openKeyAdvice says what to do about a key that lies open.
func openKeyAdvice(file string) string {
	return fmt.Sprintf("everybody on this machine may read the key %s that seals people's names and places: chmod 600 it", file)
}

func (c serveCmd) token() (telegram.Token, secret, error) {
	s, err := findSecret("DEEPWARD_TOKEN", c.TokenFile)
	if err != nil {
		return telegram.Token{}, s, err
	}
	if s.text == "" && c.TokenFile == "" {
		return telegram.Token{}, s, telegram.ErrNoToken
	}
	t, err := telegram.NewToken(s.text)
	return t, s, err
}
