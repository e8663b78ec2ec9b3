//go:build !unix

package store

func keepOwner(string, string) {}
