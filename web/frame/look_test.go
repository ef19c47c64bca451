package frame_test

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"scumble/examples"
	"scumble/web/board"
	"scumble/web/frame"
	"scumble/web/internal/webtest"
	"scumble/web/programme"
)

// held is a frame whose searches stand still, once begun, until they are let go; begun counts them.
func held(t *testing.T) (f *frame.Frame, begun *atomic.Int32, let func()) {
	f = webtest.Frame(t, programme.Place())
	gate := make(chan struct{})
	begun = &atomic.Int32{}
	first := &atomic.Bool{}
	f.Effort.Stop = func() bool {
		if first.CompareAndSwap(false, true) {
			begun.Add(1)
		}
		<-gate
		return false
	}
	let = sync.OnceFunc(func() { close(gate) })
	t.Cleanup(let)
	return f, begun, let
}

func until(t *testing.T, what string, ok func() bool) {
	t.Helper()
	for end := time.Now().Add(10 * time.Second); !ok(); time.Sleep(time.Millisecond) {
		if time.Now().After(end) {
			t.Fatal("never: " + what)
		}
	}
}

// TestOneSearchForAll: who asks for one text at once gets one and the same board, which stands
// for the text from then on.
func TestOneSearchForAll(t *testing.T) {
	f, begun, let := held(t)
	var asked sync.WaitGroup
	boards := make([]*board.Board, 8)
	for i := range boards {
		asked.Go(func() {
			var err error
			if boards[i], err = f.Long(context.Background(), examples.Bellwether); err != nil {
				t.Error(err)
			}
		})
	}
	until(t, "a search begun", func() bool { return begun.Load() > 0 })
	if f.Board(examples.Bellwether).Looked {
		t.Error("it was looked for before the search has ended")
	}
	let()
	asked.Wait()
	for _, b := range boards {
		if b != boards[0] || !b.Looked || b != f.Board(examples.Bellwether) {
			t.Fatal("two boards of one text")
		}
	}
}

// TestNobodyWaits: a search ends with the last who waits for it, not with the first, and what
// was shown stays.
func TestNobodyWaits(t *testing.T) {
	f, begun, let := held(t)
	ctx, leave := context.WithCancel(context.Background())
	other, leaveToo := context.WithCancel(context.Background())
	gone := make(chan error, 2)
	ask := func(ctx context.Context) {
		_, err := f.Long(ctx, examples.Bellwether)
		gone <- err
	}
	go ask(ctx)
	until(t, "a search begun", func() bool { return begun.Load() > 0 })
	go ask(other)
	leave()
	if err := <-gone; !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
	leaveToo()
	<-gone
	let()
	if b := f.Board(examples.Bellwether); b.Looked || b.Plan.Programme != b.Quick {
		t.Error("a search that was left has put its programme in")
	}
	if b, err := f.Long(context.Background(), examples.Bellwether); err != nil || !b.Looked {
		t.Errorf("looking again: %v", err)
	}
}

// TestThePageSaysWhatIsLookedFor until it is found; the stream ends then, and whoever asks for
// the page to wait, as without script, gets the answer.
func TestThePageSaysWhatIsLookedFor(t *testing.T) {
	f := webtest.Frame(t, programme.Place())
	id := webtest.Job(t, f, examples.Bellwether)
	p := f.Board(examples.Bellwether).Plan.Programme
	words := fmt.Sprintf("Looking for fewer visits and an earlier finish: %d site days, which no plan can do without", p.SiteDays)
	if !p.Proved() {
		words = fmt.Sprintf("Looking for a shorter programme: %d site days so far, no plan can need fewer than %d", p.SiteDays, p.Bound)
	}
	_, body := webtest.Page(t, f, id, "programme", "", frame.Owner)
	if !strings.Contains(body, words) || !strings.Contains(body, "look=long") {
		t.Error("the page does not say what is looked for")
	}
	mux := http.NewServeMux()
	if err := f.Routes(mux); err != nil {
		t.Fatal(err)
	}
	if code, body := webtest.Ask(mux, "/jobs/"+id+"/look?revision=1", frame.Owner); code != 200 || !strings.Contains(body, "Looking for") || !strings.Contains(body, `"state":"done"`) {
		t.Errorf("%d: %s", code, body)
	}
	if _, body = webtest.Page(t, f, id, "programme", "", frame.Owner); strings.Contains(body, "Looking for") {
		t.Error("it is still looked for")
	}
	if code, body := webtest.Ask(mux, "/jobs/"+id+"/look?revision=9", frame.Owner); code != 404 {
		t.Errorf("%d: %s", code, body)
	}
	if code, _ := webtest.Ask(mux, "/jobs/"+id+"/look", frame.Owner); code != 400 {
		t.Error(code)
	}
	other := webtest.Job(t, f, webtest.Changed(t, examples.Bellwether, "rooms[1].walls[0].length", "4.71 m"))
	if _, body = webtest.Page(t, f, other, "programme", "look=long", frame.Owner); strings.Contains(body, "Looking for") {
		t.Error("who waits for the page sees the quick programme")
	}
}
