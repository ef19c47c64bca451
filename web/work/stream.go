package work

import (
	"encoding/json"
	"fmt"
	"net/http"
	"time"
)

// heartbeat keeps a stream alive through proxies that close silent ones.
const heartbeat = 15 * time.Second

// ended is the id of the last event of a stream. A browser that comes back with it is
// told to stay away, as it would come back for ever.
const ended = "ended"

// event is what a stream tells of a task.
type event struct {
	State State  `json:"state"`
	Done  int    `json:"done"`
	All   int    `json:"all"`
	What  string `json:"what"`
	Err   string `json:"error,omitempty"` // why it failed
}

// Stream tells how far a task is as server-sent events, until it is over or the reader
// goes away. The data of each is {"state", "done", "all", "what", "error"}; the state
// that ends the task is always sent, with the id "ended". The task goes on without a
// reader.
func (b *Bench) Stream(w http.ResponseWriter, r *http.Request, t *Task) {
	if r.Header.Get("Last-Event-ID") == ended {
		w.WriteHeader(http.StatusNoContent)
		return
	}
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
		now := t.State()
		if err := tell(w, now); err != nil || out.Flush() != nil || now.State.Over() {
			return
		}
		select {
		case <-changed:
		case <-r.Context().Done():
			return
		case <-beat.C:
		}
	}
}

func tell(w http.ResponseWriter, now Status) error {
	e := event{State: now.State, Done: now.Done, All: now.All, What: now.What}
	if now.Err != nil {
		e.Err = now.Err.Error()
	}
	data, err := json.Marshal(e)
	if err != nil {
		return err
	}
	if now.State.Over() {
		data = append([]byte("id: "+ended+"\ndata: "), data...)
	} else {
		data = append([]byte("data: "), data...)
	}
	_, err = fmt.Fprintf(w, "%s\n\n", data)
	return err
}
