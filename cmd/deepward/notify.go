package main

import (
	"net"
	"os"
	"strconv"
	"time"
)

// systemd is told how the service does, over the socket that it names in
// NOTIFY_SOCKET (sd_notify(3)); without one nobody is. Three words into a datagram
// socket are all of the protocol that is needed, so no library is.
type systemd struct{ socket string }

func (s systemd) Ready()    { s.tell("READY=1") }
func (s systemd) Alive()    { s.tell("WATCHDOG=1") }
func (s systemd) Stopping() { s.tell("STOPPING=1") }

// tell sends one word. A supervisor that does not listen is no fault of the
// service: it notices by itself what it is not told.
func (s systemd) tell(word string) {
	if s.socket == "" {
		return
	}
	// A name that begins with @ is an abstract one; net knows that form.
	conn, err := net.DialUnix("unixgram", nil, &net.UnixAddr{Name: s.socket, Net: "unixgram"})
	if err != nil {
		return
	}
	defer conn.Close()
	_ = conn.SetWriteDeadline(time.Now().Add(time.Second))
	_, _ = conn.Write([]byte(word))
}

// supervisor reads what systemd set for this process: where to tell, and how often
// to say that the service is alive, which is half of the time that systemd allows;
// 0 if it does not ask.
func supervisor(getenv func(string) string) (s systemd, every time.Duration) {
	s.socket = getenv("NOTIFY_SOCKET")
	pid := getenv("WATCHDOG_PID")
	if s.socket == "" || pid != "" && pid != strconv.Itoa(os.Getpid()) {
		return s, 0
	}
	micros, err := strconv.ParseInt(getenv("WATCHDOG_USEC"), 10, 64)
	if err != nil || micros <= 0 {
		return s, 0
	}
	return s, time.Duration(micros) * time.Microsecond / 2
}
