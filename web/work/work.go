// Package work runs what takes long, so many at a time, tells how far it is, and stops
// it when nobody wants it any more. It knows nothing of jobs.
package work

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"sync"
)

// State is where a task stands.
type State string

// The states of a task.
const (
	Waiting   State = "waiting"
	Running   State = "running"
	Done      State = "done"
	Failed    State = "failed"
	Cancelled State = "cancelled"
)

// Over reports whether nothing more will happen.
func (s State) Over() bool { return s == Done || s == Failed || s == Cancelled }

// Result is what a task made: a file.
type Result struct {
	Name, Kind string
	Content    []byte
}

// Do is a piece of work. It tells how far it is by report, and ends soon after ctx does.
type Do func(ctx context.Context, report func(done, all int, what string)) (Result, error)

// Progress is a task at one moment.
type Progress struct {
	State     State  `json:"state"`
	Done, All int    `json:"-"`
	What      string `json:"what"`
	Err       error  `json:"-"`
}

// Task is one piece of work on the bench.
type Task struct {
	ID, Owner, Title string
	key              string
	cancel           context.CancelFunc
	mu               sync.Mutex
	now              Progress
	result           Result
	changed          chan struct{} // closed at the next change
}

// Bench holds the tasks.
type Bench struct {
	turns chan struct{}
	mu    sync.Mutex
	tasks map[string]*Task // by ID
	order []string         // oldest first
	keys  map[string]*Task
}

// What is kept of finished tasks.
const (
	mostKept  = 32
	mostBytes = 96 << 20
)

// NewBench makes a bench where so many tasks run at once.
func NewBench(workers int) *Bench {
	return &Bench{turns: make(chan struct{}, max(workers, 1)), tasks: map[string]*Task{}, keys: map[string]*Task{}}
}

// Start begins a task, or finds the one of the same key that is under way or done. Only
// its owner should be shown it.
func (b *Bench) Start(key, owner, title string, do Do) *Task {
	b.mu.Lock()
	defer b.mu.Unlock()
	if t := b.keys[owner+"\x00"+key]; t != nil {
		if s := t.Now().State; s != Failed && s != Cancelled {
			return t
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	t := &Task{ID: rand.Text(), Owner: owner, Title: title, key: owner + "\x00" + key, cancel: cancel, changed: make(chan struct{}),
		now: Progress{State: Waiting, What: "waiting for its turn"}}
	b.tasks[t.ID], b.keys[t.key] = t, t
	b.order = append(b.order, t.ID)
	b.forget()
	go b.run(ctx, t, do)
	return t
}

func (b *Bench) run(ctx context.Context, t *Task, do Do) {
	defer t.cancel()
	select {
	case b.turns <- struct{}{}:
		defer func() { <-b.turns }()
	case <-ctx.Done():
		t.set(Progress{State: Cancelled}, Result{})
		return
	}
	t.set(Progress{State: Running}, Result{})
	result, err := guarded(ctx, t, do)
	last := t.Now()
	switch {
	case ctx.Err() != nil:
		last.State, result = Cancelled, Result{}
	case err != nil:
		last.State, last.Err = Failed, err
	default:
		last.State, last.Done = Done, last.All
	}
	t.set(last, result)
	b.mu.Lock()
	b.forget()
	b.mu.Unlock()
}

// guarded turns a panic in a task into its failure: the program goes on.
func guarded(ctx context.Context, t *Task, do Do) (result Result, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("this work broke off (%v); what was saved is safe", r)
		}
	}()
	return do(ctx, func(done, all int, what string) {
		t.set(Progress{State: Running, Done: done, All: all, What: what}, Result{})
	})
}

// forget drops the oldest finished tasks beyond what is kept.
func (b *Bench) forget() {
	bytes := 0
	for i := len(b.order) - 1; i >= 0; i-- {
		t := b.tasks[b.order[i]]
		t.mu.Lock()
		over, size := t.now.State.Over(), len(t.result.Content)
		t.mu.Unlock()
		bytes += size
		if over && (len(b.order)-i > mostKept || bytes > mostBytes) {
			delete(b.tasks, t.ID)
			if b.keys[t.key] == t {
				delete(b.keys, t.key)
			}
			b.order = append(b.order[:i], b.order[i+1:]...)
		}
	}
}

// Task finds a task by its ID.
func (b *Bench) Task(id string) (*Task, bool) {
	b.mu.Lock()
	defer b.mu.Unlock()
	t, ok := b.tasks[id]
	return t, ok
}

func (t *Task) set(p Progress, r Result) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.now.State.Over() {
		return
	}
	t.now = p
	if p.State == Done {
		t.result = r
	}
	close(t.changed)
	t.changed = make(chan struct{})
}

// Now is where the task stands.
func (t *Task) Now() Progress {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.now
}

// Changed is closed at the next change.
func (t *Task) Changed() <-chan struct{} {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.changed
}

// Cancel stops the task.
func (t *Task) Cancel() { t.cancel() }

// ErrNotDone is returned while there is no result.
var ErrNotDone = errors.New("this work has no result yet")

// Result is what the task made.
func (t *Task) Result() (Result, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	switch t.now.State {
	case Done:
		return t.result, nil
	case Failed:
		return Result{}, t.now.Err
	}
	return Result{}, ErrNotDone
}
