package frame

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"runtime"
	"strconv"
	"strings"

	"scumble/schedule"
	"scumble/web/board"
	"scumble/web/work"
)

// searches is how many searches run at once (own default): one on a small machine, so that
// pages stay quick beside it.
func searches() int { return max(1, min(2, runtime.GOMAXPROCS(0)/2)) }

// Long is the board of a text once its programme was looked for at length: what papers are
// made of, and what a client is shown. Who asks waits; those who ask for the same share one
// search, which ends when nobody waits for it any more.
func (f *Frame) Long(ctx context.Context, text []byte) (*board.Board, error) {
	for {
		if b := f.Board(text); b.Looked {
			return b, nil
		}
		t, leave := f.look(text)
		state, err := t.Wait(ctx)
		leave()
		if errors.Is(err, work.ErrBusy) {
			return nil, &Refused{http.StatusServiceUnavailable, "too many programmes are being looked for", "try again in a minute"}
		}
		if err != nil || ctx.Err() != nil || state == work.Failed {
			return nil, errOr(err, ctx.Err())
		}
	}
}

func errOr(err, other error) error {
	if err != nil {
		return err
	}
	return other
}

// look joins the search for a better programme of a text, or begins it.
func (f *Frame) look(text []byte) (t *work.Task, leave func()) {
	entry := f.boards.entry(text)
	t = f.searching.Start(fmt.Sprintf("look %d", entry.number), "", "A better programme", func(ctx context.Context, report func(done, all int, what string)) (work.Result, error) {
		b := entry.board.Load()
		if b.Looked {
			return work.Result{}, nil
		}
		steps := 0
		report(steps, 0, lookWords(b))
		best, err := b.Look(f.effort(ctx), func(on *board.Board) {
			if ctx.Err() == nil {
				steps++
				f.boards.better(entry, on)
				report(steps, 0, lookWords(on))
			}
		})
		if err != nil || ctx.Err() != nil {
			return work.Result{}, errOr(err, ctx.Err())
		}
		f.boards.better(entry, best)
		return work.Result{}, nil
	})
	return t, t.Join()
}

// effort is how long to look, until ctx ends.
func (f *Frame) effort(ctx context.Context) schedule.Effort {
	e := f.Effort
	if e.Placements == 0 {
		e.Placements, e.Conflicts = schedule.Full.Placements, schedule.Full.Conflicts
	}
	also := e.Stop
	e.Stop = func() bool { return ctx.Err() != nil || also != nil && also() }
	return e
}

func lookWords(b *board.Board) string {
	p := b.Plan.Programme
	switch {
	case p == nil:
		return ""
	case p.Proved():
		return fmt.Sprintf("Looking for fewer visits and an earlier finish: %s, which no plan can do without.", Counted(p.SiteDays, "site day", "site days"))
	}
	return fmt.Sprintf("Looking for a shorter programme: %s so far, no plan can need fewer than %d.", Counted(p.SiteDays, "site day", "site days"), p.Bound)
}

// Look is what a page says while a better programme is looked for.
type Look struct {
	Words  string
	Stream string // tells how far it is
	Long   string // the same page, once it was looked for at length
}

// Look is nil when there is nothing more to look for.
func (s *Sheet) Look() *Look {
	if s.Board.Looked || s.Board.Plan.Programme == nil {
		return nil
	}
	mark := "?"
	if strings.Contains(s.Here(), "?") {
		mark = "&"
	}
	return &Look{Words: lookWords(s.Board), Stream: fmt.Sprintf("/jobs/%s/look?revision=%d", s.Job.ID, s.Revision.Number), Long: s.Here() + mark + "look=long"}
}

// watch streams how far the search for a revision is; a reader who goes leaves the search.
func (f *Frame) watch(w http.ResponseWriter, r *http.Request) {
	number, err := strconv.Atoi(r.URL.Query().Get("revision"))
	if err != nil {
		f.Fail(w, r, &Refused{http.StatusBadRequest, "the address does not say which revision is meant", "load the page again"})
		return
	}
	revision, err := f.Store.Revision(r.Context(), r.PathValue("job"), number)
	if err != nil {
		f.Fail(w, r, err)
		return
	}
	t, leave := f.look(revision.Text)
	defer func() { leave() }()
	for t.State().State == work.Cancelled && r.Context().Err() == nil { // the last reader before left just now
		leave()
		t, leave = f.look(revision.Text)
	}
	f.searching.Stream(w, r, t)
}

// Aside makes something long out of a text beside the searches, once for all who ask, and keeps
// it; key tells what. It goes on when the page is left.
func (f *Frame) Aside(text []byte, key, kind string, make func(schedule.Effort) ([]byte, error)) {
	key = f.TextKey(text) + "/" + key
	f.searching.Start(key, "", key, func(ctx context.Context, _ func(done, all int, what string)) (work.Result, error) {
		_, err := f.Kept(ctx, key, kind, func() ([]byte, error) {
			made, err := make(f.effort(ctx))
			return made, errOr(err, ctx.Err())
		})
		return work.Result{}, err
	})
}

// Made is what was made aside, and otherwise where that stands; "" while nobody has asked.
func (f *Frame) Made(ctx context.Context, text []byte, key string) (content []byte, state work.State) {
	key = f.TextKey(text) + "/" + key
	if content, _, ok := f.Store.Cached(ctx, key); ok {
		return content, work.Done
	}
	if t := f.searching.Find(key, ""); t != nil {
		return nil, t.State().State
	}
	return nil, ""
}

// StreamAside tells how far something made aside is.
func (f *Frame) StreamAside(w http.ResponseWriter, r *http.Request, text []byte, key string) {
	t := f.searching.Find(f.TextKey(text)+"/"+key, "")
	if t == nil {
		f.Fail(w, r, &Refused{http.StatusNotFound, "nobody has asked for this yet", "load the page again"})
		return
	}
	f.searching.Stream(w, r, t)
}

// StopAside stops what is being made aside.
func (f *Frame) StopAside(text []byte, key string) {
	if t := f.searching.Find(f.TextKey(text)+"/"+key, ""); t != nil {
		t.Cancel()
	}
}
