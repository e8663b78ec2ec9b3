package main

import (
	"strings"

	"deepward/bot/understand"
)

// regionNamed reads a --region as people write it; "" stays "".
func regionNamed(text string) (string, error) {
	if text == "" {
		return "", nil
	}
	region, ok := understand.FindRegion(text)
	if !ok {
		return "", usage("no region %q; known are %s", text, strings.Join(understand.Regions(), ", "))
	}
	return region, nil
}
