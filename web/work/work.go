// Package work runs what takes long, so many at a time, tells how far it is, and stops
// it when nobody wants it any more. It knows nothing of jobs.
package work

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"slices"
	"sync"
)

// State is where a task stands.
type State string

// The states of a task, in the order it goes through them; the last three end it.
const (
	Waiting   State = "waiting"
	Running   State = "running"
	Done      State = "done"
	Failed    State = "failed"
	Cancelled State = "cancelled"
)

// Over reports whether nothing more will happen.
func (s State) Over() bool { return s == Done || s == Failed || s == Cancelled }

// Result is what a task made: a file, its name and its kind as HTTP names kinds.
type Result struct {
	Name, Kind string
	Content    []byte
}

// Do is a piece of work. It tells how far it is by report, and ends soon after ctx does.
// A panic in it is its failure; one in a goroutine it starts is not caught.
type Do func(ctx context.Context, report func(done, all int, what string)) (Result, error)

// Status is a task at one moment.
type Status struct {
	State     State
	Done, All int    // steps; both 0 while nothing has been reported
	What      string // was done last
	Err       error  // why it failed
}

// Task is one piece of work on the bench.
type Task struct {
	ID, Owner, Title string

	key     string
	ctx     context.Context
	cancel  context.CancelFunc
	mu      sync.Mutex
	joined  int
	status  Status
	result  Result
	changed chan struct{} // closed at the next change
}

// Bench holds the tasks under way, and the last ones that are over.
type Bench struct {
	turns   chan struct{}
	mu      sync.Mutex
	tasks   map[string]*Task // by ID
	keys    map[string]*Task // by owner and key: the last one begun
	over    []*Task          // in the order in which they ended
	running sync.WaitGroup
}

// Bounds of what is kept: tasks that are over, the bytes of their results (though the
// last one stays however large it is), and tasks that wait or run.
const (
	mostKept    = 32
	mostBytes   = 96 << 20
	mostUnended = 200
)

// ErrBusy is why a task fails when too many wait before it.
var ErrBusy = errors.New("too much work is waiting; try again when some of it is done")

// ErrNotDone is the error for the result of a task that has none.
var ErrNotDone = errors.New("this work has no result")

// NewBench makes a bench where at most so many tasks run at once.
func NewBench(workers int) *Bench {
	return &Bench{turns: make(chan struct{}, max(workers, 1)), tasks: map[string]*Task{}, keys: map[string]*Task{}}
}

// Start begins a task, or finds the owner's task of the same key that is under way or
// done.
func (b *Bench) Start(key, owner, title string, do Do) *Task {
	key = owner + "\x00" + key
	b.mu.Lock()
	defer b.mu.Unlock()
	if t := b.keys[key]; t != nil && (t.State().State == Done || t.ctx.Err() == nil) {
		return t
	}
	ctx, cancel := context.WithCancel(context.Background())
	t := &Task{ID: rand.Text(), Owner: owner, Title: title, key: key, ctx: ctx, cancel: cancel,
		changed: make(chan struct{}), status: Status{State: Waiting}}
	b.tasks[t.ID], b.keys[key] = t, t
	if len(b.tasks)-len(b.over) > mostUnended {
		b.end(t, Status{State: Failed, Err: ErrBusy}, Result{})
		return t
	}
	b.running.Go(func() { b.run(t, do) })
	return t
}

// Find is the owner's task of a key that was begun last; nil when it is not kept.
func (b *Bench) Find(key, owner string) *Task {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.keys[owner+"\x00"+key]
}

// Task finds a task of an owner by its ID; those of others are not there for them.
func (b *Bench) Task(id, owner string) (*Task, bool) {
	b.mu.Lock()
	defer b.mu.Unlock()
	t, ok := b.tasks[id]
	return t, ok && t.Owner == owner
}

// Close cancels all tasks and waits until they have ended.
func (b *Bench) Close() {
	b.mu.Lock()
	for _, t := range b.tasks {
		t.Cancel()
	}
	b.mu.Unlock()
	b.running.Wait()
}

func (b *Bench) run(t *Task, do Do) {
	var result Result
	err := context.Canceled
	select {
	case b.turns <- struct{}{}:
		if t.ctx.Err() == nil { // of two ways open at once either may be taken
			t.set(Status{State: Running}, Result{})
			result, err = guarded(t, do)
		}
		<-b.turns
	case <-t.ctx.Done():
	}
	last := t.State()
	switch {
	case t.ctx.Err() != nil:
		last.State, result = Cancelled, Result{}
	case err != nil:
		last.State, last.Err, result = Failed, err, Result{}
	default:
		last.State, last.Done = Done, last.All
	}
	b.mu.Lock()
	b.end(t, last, result)
	b.mu.Unlock()
}

// guarded makes a panic in a piece of work its failure, so that the program goes on.
// The work has a goroutine of its own, because it may also end that.
func guarded(t *Task, do Do) (result Result, err error) {
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		err = errors.New("this work broke off")
		defer func() {
			if r := recover(); r != nil {
				err = fmt.Errorf("this work broke off: %v", r)
			}
		}()
		result, err = do(t.ctx, func(done, all int, what string) {
			t.set(Status{State: Running, Done: done, All: all, What: what}, Result{})
		})
	}()
	<-ended
	return result, err
}

// end puts a task among those that are over, and drops the oldest of them beyond what
// is kept. The bench is locked.
func (b *Bench) end(t *Task, last Status, result Result) {
	t.set(last, result)
	t.cancel()
	b.over = append(b.over, t)
	bytes, from := 0, len(b.over)
	for from > 0 && len(b.over)-from < mostKept {
		bytes += b.over[from-1].size()
		if bytes > mostBytes && from < len(b.over) {
			break
		}
		from--
	}
	for _, old := range b.over[:from] {
		delete(b.tasks, old.ID)
		if b.keys[old.key] == old {
			delete(b.keys, old.key)
		}
	}
	b.over = slices.Delete(b.over, 0, from)
}

// set notes where the task is, unless it is over: work may report late.
func (t *Task) set(s Status, r Result) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.status.State.Over() {
		return
	}
	t.status, t.result = s, r
	close(t.changed)
	t.changed = make(chan struct{})
}

func (t *Task) size() int {
	t.mu.Lock()
	defer t.mu.Unlock()
	return len(t.result.Content)
}

// State is where the task stands.
func (t *Task) State() Status {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.status
}

// Changed is closed at the next change. Ask for it before State, and none is missed.
func (t *Task) Changed() <-chan struct{} {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.changed
}

// Cancel stops the task. One that is over stays as it is.
func (t *Task) Cancel() { t.cancel() }

// Join counts one more who waits for the task. When the last of them leaves, nobody wants it
// any more, and it stops.
func (t *Task) Join() (leave func()) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.joined++
	return sync.OnceFunc(func() {
		t.mu.Lock()
		defer t.mu.Unlock()
		if t.joined--; t.joined == 0 {
			t.cancel()
		}
	})
}

// Wait returns how the task ended, with the error of one that failed, or where it stands when
// ctx ends before.
func (t *Task) Wait(ctx context.Context) (State, error) {
	for {
		changed := t.Changed()
		now := t.State()
		if now.State.Over() {
			return now.State, now.Err
		}
		select {
		case <-changed:
		case <-ctx.Done():
			return now.State, ctx.Err()
		}
	}
}

// Result is what the task made. The error is ErrNotDone, or why it failed.
func (t *Task) Result() (Result, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	switch t.status.State {
	case Done:
		return t.result, nil
	case Failed:
		return Result{}, t.status.Err
	}
	return Result{}, ErrNotDone
}
