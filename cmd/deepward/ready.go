package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"time"
)

// readyPatience is how long a service that works takes to say so, with much to spare.
const readyPatience = 5 * time.Second

// askReady asks the service that runs here whether it does its work: a container that holds
// nothing but this program has no other means to ask.
func (c serveCmd) askReady(ctx context.Context, e env) error {
	if c.Health == "" {
		return usage("--ready needs the address that serve answers at: --health or DEEPWARD_HEALTH")
	}
	ctx, cancel := context.WithTimeout(ctx, readyPatience)
	defer cancel()
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://"+dialled(c.Health)+"/readyz", nil)
	if err != nil {
		return usage("--health %s: %v", c.Health, err)
	}
	resp, err := http.DefaultClient.Do(req)
	if err != nil {
		return fmt.Errorf("nothing answers at %s: start deepward serve, or name its address with --health", c.Health)
	}
	defer resp.Body.Close()
	says, _ := io.ReadAll(io.LimitReader(resp.Body, 1<<10))
	if resp.StatusCode != http.StatusOK {
		return errors.New(strings.TrimSpace(string(says)))
	}
	fmt.Fprintln(e.out, "ready")
	return nil
}

// dialled is the address to reach what listens at another: one that listens everywhere is
// here too.
func dialled(listens string) string {
	host, port, err := net.SplitHostPort(listens)
	if ip := net.ParseIP(host); err == nil && (host == "" || ip.IsUnspecified()) {
		return net.JoinHostPort("127.0.0.1", port) // no name: a container may know none
	}
	return listens
}
