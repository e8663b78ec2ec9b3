package standin

import (
	"net/http"
	"sync/atomic"
	"time"
)

// Exchange is one call that a fault may spoil.
type Exchange struct {
	W      http.ResponseWriter
	R      *http.Request
	Method string
	Params map[string]string
	server *Server
}

// Accept does what the call asks for, unseen by the caller.
func (x *Exchange) Accept() {
	x.server.answer(nowhere{http.Header{}}, x.R, x.Method, x.Params)
}

// nowhere is where an answer goes that nobody gets.
type nowhere struct{ header http.Header }

func (n nowhere) Header() http.Header         { return n.header }
func (n nowhere) Write(p []byte) (int, error) { return len(p), nil }
func (n nowhere) WriteHeader(int)             {}

// Spoiler answers a call in place of the server; it returns false to let the call
// through.
type Spoiler func(x *Exchange) bool

// Spoil puts a spoiler in; nil takes it out.
func (s *Server) Spoil(f Spoiler) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.spoil = f
}

// Fault is a spoiler that needs to know no more than the call.
type Fault func(w http.ResponseWriter, method string, params map[string]string) bool

// SetFault puts a fault in; nil takes it out.
func (s *Server) SetFault(f Fault) {
	if f == nil {
		s.Spoil(nil)
		return
	}
	s.Spoil(func(x *Exchange) bool { return f(x.W, x.Method, x.Params) })
}

// On is a fault of one method only.
func On(method string, f Spoiler) Spoiler {
	return func(x *Exchange) bool { return x.Method == method && f(x) }
}

// Times is a fault of the first n calls that come to it: On("sendMessage",
// Times(2, Flood(1))).
func Times(n int64, f Spoiler) Spoiler {
	var calls atomic.Int64
	return func(x *Exchange) bool { return calls.Add(1) <= n && f(x) }
}

// Flood is the answer to too many calls: 429, wait so many seconds.
func Flood(seconds int) Spoiler {
	return Says(http.StatusTooManyRequests, "Too Many Requests: retry later", map[string]any{"retry_after": seconds})
}

// Says is an error of the Bot API with its code, description and parameters.
func Says(code int, text string, parameters map[string]any) Spoiler {
	return func(x *Exchange) bool {
		Refuse(x.W, code, text, parameters)
		return true
	}
}

// Page is a proxy's page instead of an answer.
func Page(status int) Spoiler {
	return func(x *Exchange) bool {
		x.W.Header().Set("Content-Type", "text/html")
		x.W.WriteHeader(status)
		x.W.Write([]byte("<html><body>Bad Gateway</body></html>"))
		return true
	}
}

// Body is some other answer: cut off, or no JSON.
func Body(text string) Spoiler {
	return func(x *Exchange) bool {
		x.W.Write([]byte(text))
		return true
	}
}

// Reset loses the connection before the call is done.
func Reset(*Exchange) bool { panic(http.ErrAbortHandler) }

// ResetAfter does what the call asks for and loses the connection then.
func ResetAfter(x *Exchange) bool {
	x.Accept()
	panic(http.ErrAbortHandler)
}

// Hang never answers.
func Hang(x *Exchange) bool {
	<-x.R.Context().Done()
	return true
}

// SlowBody begins an answer at once and takes so long for the rest of it.
func SlowBody(d time.Duration) Spoiler {
	return func(x *Exchange) bool {
		x.Accept()
		x.W.Write([]byte(`{"ok":true,`))
		if f, ok := x.W.(http.Flusher); ok {
			f.Flush()
		}
		select {
		case <-time.After(d):
		case <-x.R.Context().Done():
		}
		x.W.Write([]byte(`"result":true}`))
		return true
	}
}
