//go:build !unix

package store_test

func confined() map[string]func(dir string) { return nil }

func confine() error { return nil }
