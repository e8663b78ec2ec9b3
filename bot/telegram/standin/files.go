package standin

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"time"
)

// download is the method under which spoilers see the fetching of a file.
const download = "download"

// mostFetched is the largest file that the real server gives a bot (Bot API, getFile).
const mostFetched = 20 << 20

// SendFile lets a person send a document in private and returns the number of the message.
func (s *Server) SendFile(person int64, name string, data []byte) int {
	s.mu.Lock()
	s.message++
	n := s.message
	id := fmt.Sprintf("file-%d", n)
	s.files[id] = data
	s.mu.Unlock()
	body, _ := json.Marshal(name)
	s.Push(fmt.Sprintf(`{"update_id":%%d,"message":{"message_id":%d,"date":%d,"chat":{"id":%d,"type":"private"},"from":{"id":%d,"is_bot":false,"first_name":"P%d"},"document":{"file_id":%q,"file_unique_id":%q,"file_name":%s,"file_size":%d}}}`,
		n, time.Now().Unix(), person, person, person, id, id, body, len(data)))
	return n
}

func (s *Server) getFile(w http.ResponseWriter, id string) {
	s.mu.Lock()
	data, ok := s.files[id]
	s.mu.Unlock()
	switch {
	case !ok:
		Refuse(w, http.StatusBadRequest, "Bad Request: invalid file_id", nil)
	case len(data) > mostFetched:
		Refuse(w, http.StatusBadRequest, "Bad Request: file is too big", nil)
	default:
		reply(w, map[string]any{"file_id": id, "file_unique_id": id, "file_size": len(data), "file_path": "documents/" + id})
	}
}

func (s *Server) download(w http.ResponseWriter, path string) {
	s.mu.Lock()
	data, ok := s.files[strings.TrimPrefix(path, "documents/")]
	s.mu.Unlock()
	if !ok {
		Refuse(w, http.StatusNotFound, "Not Found", nil)
		return
	}
	_, _ = w.Write(data)
}
