package work

import (
	"encoding/json"
	"fmt"
	"net/http"
	"time"
)

// heartbeat keeps a stream alive through proxies that close silent ones.
const heartbeat = 15 * time.Second

// Stream tells how far a task is as server-sent events, until it is over or the reader
// goes away. Every event is {"state", "done", "all", "what"}; the last one is always sent.
func Stream(w http.ResponseWriter, r *http.Request, t *Task) {
	h := w.Header()
	h.Set("Content-Type", "text/event-stream")
	h.Set("Cache-Control", "no-store")
	h.Set("X-Accel-Buffering", "no")
	out := http.NewResponseController(w)
	_ = out.SetWriteDeadline(time.Time{}) // not every server has one to lift
	beat := time.NewTicker(heartbeat)
	defer beat.Stop()
	for {
		changed := t.Changed()
		now := t.Now()
		event, err := json.Marshal(struct {
			Progress
			Done int    `json:"done"`
			All  int    `json:"all"`
			Err  string `json:"error,omitempty"`
		}{now, now.Done, now.All, words(now.Err)})
		if err != nil {
			return
		}
		if _, err := fmt.Fprintf(w, "data: %s\n\n", event); err != nil || out.Flush() != nil || now.State.Over() {
			return
		}
		select {
		case <-changed:
		case <-r.Context().Done():
			return
		case <-beat.C:
			if _, err := fmt.Fprint(w, ": still here\n\n"); err != nil {
				return
			}
		}
	}
}

func words(err error) string {
	if err == nil {
		return ""
	}
	return err.Error()
}
