package work

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

// await waits until a task is over.
func await(t *testing.T, task *Task) Status {
	t.Helper()
	for {
		changed := task.Changed()
		if s := task.State(); s.State.Over() {
			return s
		}
		select {
		case <-changed:
		case <-t.Context().Done():
			t.Fatal("the task does not end")
		}
	}
}

func makes(name string, bytes int) Do {
	return func(_ context.Context, report func(done, all int, what string)) (Result, error) {
		report(1, 2, "half")
		return Result{Name: name, Content: make([]byte, bytes)}, nil
	}
}

// untilCancelled says that it has begun, and ends with ctx.
func untilCancelled(begun chan<- struct{}) Do {
	return func(ctx context.Context, _ func(done, all int, what string)) (Result, error) {
		begun <- struct{}{}
		<-ctx.Done()
		return Result{Name: "half made"}, ctx.Err()
	}
}

func TestTaskGoesToItsEnd(t *testing.T) {
	b := NewBench(1)
	task := b.Start("pack", "ada", "The papers", makes("pack.zip", 3))
	if s := await(t, task); s.State != Done || s.Done != 2 || s.All != 2 || s.Err != nil {
		t.Errorf("%+v", s)
	}
	r, err := task.Result()
	if err != nil || r.Name != "pack.zip" || len(r.Content) != 3 || task.Owner != "ada" || task.Title != "The papers" {
		t.Errorf("%+v %v", r, err)
	}
	if found, ok := b.Task(task.ID, task.Owner); !ok || found != task {
		t.Error("the task is not found by its id")
	}
	task.Cancel()
	if _, err := task.Result(); err != nil {
		t.Errorf("cancelled when it was done: %v", err)
	}
}

// The same key finds the task that runs or is done, and begins anew after one that
// failed or is being cancelled; another owner has tasks of his own.
func TestSameKeyIsTheSameTask(t *testing.T) {
	b := NewBench(4)
	begun := make(chan struct{}, 4)
	first := b.Start("k", "ada", "", untilCancelled(begun))
	<-begun
	if b.Start("k", "ada", "", makes("", 0)) != first {
		t.Error("one that runs is begun again")
	}
	other := b.Start("k", "ben", "", makes("", 0))
	if other == first || await(t, other).State != Done {
		t.Error("two owners share a task")
	}
	first.Cancel()
	second := b.Start("k", "ada", "", func(context.Context, func(int, int, string)) (Result, error) { return Result{}, errors.New("no ink") })
	if second == first || await(t, first).State != Cancelled {
		t.Error("one that is cancelled stands for a new one")
	}
	if s := await(t, second); s.State != Failed || s.Err.Error() != "no ink" {
		t.Errorf("%+v", s)
	}
	if _, err := second.Result(); err == nil || err.Error() != "no ink" {
		t.Error(err)
	}
	third := b.Start("k", "ada", "", makes("", 0))
	if third == second || await(t, third).State != Done || b.Start("k", "ada", "", nil) != third {
		t.Error("one that is done is begun again, or one that failed is not")
	}
}

// No more run at once than there are workers, however many are begun and cancelled.
func TestManyCancels(t *testing.T) {
	const workers = 3
	b := NewBench(workers)
	var running, most atomic.Int32
	var all sync.WaitGroup
	for i := range mostUnended {
		all.Go(func() {
			task := b.Start(fmt.Sprint(i), "ada", "", func(ctx context.Context, report func(int, int, string)) (Result, error) {
				if now := running.Add(1); now > most.Load() {
					most.Store(now)
				}
				defer running.Add(-1)
				for n := range 50 {
					report(n, 50, "step")
					if ctx.Err() != nil {
						return Result{}, ctx.Err()
					}
					runtime.Gosched()
				}
				return Result{Content: []byte{1}}, nil
			})
			for range i % 7 {
				runtime.Gosched()
			}
			if i%2 == 0 {
				task.Cancel()
			}
			s := await(t, task)
			if i%2 == 1 && s.State != Done || i%2 == 0 && s.State != Done && s.State != Cancelled {
				t.Errorf("%d: %+v", i, s)
			}
			if r, err := task.Result(); (err == nil) != (s.State == Done) || (len(r.Content) == 1) != (s.State == Done) {
				t.Errorf("%d: %s with %d bytes: %v", i, s.State, len(r.Content), err)
			}
		})
	}
	all.Wait()
	b.Close() // all are put away
	if most.Load() > workers {
		t.Errorf("%d ran at once", most.Load())
	}
	if len(b.over) > mostKept || len(b.tasks) != len(b.over) || len(b.keys) != len(b.over) {
		t.Errorf("%d tasks and %d keys are kept, %d in order", len(b.tasks), len(b.keys), len(b.over))
	}
}

// A task that waits can be cancelled before its turn, and never runs.
func TestWaitingTaskIsCancelled(t *testing.T) {
	b := NewBench(1)
	begun := make(chan struct{}, 1)
	first := b.Start("1", "ada", "", untilCancelled(begun))
	<-begun
	second := b.Start("2", "ada", "", func(context.Context, func(int, int, string)) (Result, error) {
		t.Error("it runs")
		return Result{}, nil
	})
	if s := second.State(); s.State != Waiting {
		t.Errorf("%+v", s)
	}
	second.Cancel()
	if s := await(t, second); s.State != Cancelled || first.State().State != Running {
		t.Errorf("%+v", s)
	}
	b.Close()
	if s := first.State(); s.State != Cancelled {
		t.Errorf("closed: %+v", s)
	}
}

// Work that breaks off in whatever way is a failed task, and its place is free again.
func TestBrokenWorkFails(t *testing.T) {
	b := NewBench(1)
	for name, do := range map[string]Do{
		"panic": func(context.Context, func(int, int, string)) (Result, error) { panic("no such wall") },
		"nil":   func(context.Context, func(int, int, string)) (Result, error) { panic(new(runtime.PanicNilError)) },
		"exit": func(context.Context, func(int, int, string)) (Result, error) {
			runtime.Goexit()
			return Result{}, nil
		},
	} {
		if s := await(t, b.Start(name, "ada", "", do)); s.State != Failed || s.Err == nil || !strings.Contains(s.Err.Error(), "broke off") {
			t.Errorf("%s: %+v", name, s)
		}
	}
	if s := await(t, b.Start("after", "ada", "", makes("", 1))); s.State != Done {
		t.Errorf("after those: %+v", s)
	}
}

// A report that comes late changes nothing.
func TestLateReport(t *testing.T) {
	b := NewBench(1)
	var late func(int, int, string)
	task := b.Start("k", "ada", "", func(_ context.Context, report func(int, int, string)) (Result, error) {
		late = report
		return Result{Content: []byte("x")}, nil
	})
	before := await(t, task)
	late(1, 9, "late")
	if r, err := task.Result(); task.State() != before || err != nil || string(r.Content) != "x" {
		t.Errorf("%+v after %+v", task.State(), before)
	}
}

// What is kept is bounded in number and bytes; the last result stays.
func TestResultsAreForgotten(t *testing.T) {
	b := NewBench(1)
	large := b.Start("large", "ada", "", makes("large", mostBytes+1))
	await(t, large)
	b.Close() // the bench has put it away
	if _, ok := b.Task(large.ID, large.Owner); !ok {
		t.Fatal("a result is gone before anybody can fetch it")
	}
	var tasks []*Task
	for i := range mostKept + 5 {
		tasks = append(tasks, b.Start(fmt.Sprint(i), "ada", "", makes("", 1)))
		await(t, tasks[i])
	}
	b.Close()
	if _, ok := b.Task(large.ID, large.Owner); ok {
		t.Error("more bytes are kept than may be")
	}
	for i, task := range tasks {
		if _, ok := b.Task(task.ID, task.Owner); ok != (i >= 5) {
			t.Errorf("task %d of %d is kept: %v", i, len(tasks), ok)
		}
	}
	if again := b.Start("0", "ada", "", makes("", 1)); again == tasks[0] {
		t.Error("a task that was dropped is found by its key")
	}
}

func TestTooMuchWaits(t *testing.T) {
	b := NewBench(1)
	begun := make(chan struct{}, mostUnended)
	for i := range mostUnended {
		b.Start(fmt.Sprint(i), "ada", "", untilCancelled(begun))
	}
	over := b.Start("more", "ada", "", makes("", 0))
	if s := over.State(); s.State != Failed || !errors.Is(s.Err, ErrBusy) {
		t.Errorf("%+v", s)
	}
	b.Close()
	if again := b.Start("more", "ada", "", makes("", 0)); await(t, again).State != Done {
		t.Error("the bench stays full")
	}
}

func TestIDsAreNotGuessed(t *testing.T) {
	b := NewBench(1)
	seen := map[string]bool{}
	for i := range 100 {
		id := b.Start(fmt.Sprint(i), "ada", "", makes("", 0)).ID
		if seen[id] || len(id) < 22 { // 128 bits in letters of 6 bits at most
			t.Errorf("id %q", id)
		}
		seen[id] = true
	}
	b.Close()
}

// read takes the events of a stream until it ends.
func read(t *testing.T, r *http.Response) (events []event, ids []string) {
	t.Helper()
	lines := bufio.NewScanner(r.Body)
	for lines.Scan() {
		if id, ok := strings.CutPrefix(lines.Text(), "id: "); ok {
			ids = append(ids, id)
		}
		if data, ok := strings.CutPrefix(lines.Text(), "data: "); ok {
			var e event
			if err := json.Unmarshal([]byte(data), &e); err != nil {
				t.Errorf("%s: %v", data, err)
			}
			events = append(events, e)
		}
	}
	return events, ids
}

func serve(t *testing.T, b *Bench, task *Task) *httptest.Server {
	t.Helper()
	left := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { b.Stream(w, r, task) }))
	t.Cleanup(left.Close)
	return left
}

func TestStreamTellsToTheEnd(t *testing.T) {
	b := NewBench(1)
	steps := make(chan int)
	task := b.Start("k", "ada", "", func(_ context.Context, report func(int, int, string)) (Result, error) {
		for n := range steps {
			report(n, 10, "wall\n\ndata: 3") // what would part an event in two
		}
		return Result{}, errors.New("no ink")
	})
	server := serve(t, b, task)
	response, err := http.Get(server.URL)
	if err != nil {
		t.Fatal(err)
	}
	defer response.Body.Close()
	if kind := response.Header.Get("Content-Type"); kind != "text/event-stream" {
		t.Error(kind)
	}
	for n := range 10 {
		steps <- n
	}
	close(steps)
	events, ids := read(t, response)
	last := events[len(events)-1]
	if last.State != Failed || last.Err != "no ink" || len(ids) != 1 || ids[0] != ended {
		t.Errorf("the last of %d events is %+v, ids %v", len(events), last, ids)
	}
	at := -1
	for _, e := range events {
		if e.Done < at || e.State == Running && e.All > 0 && e.What != "wall\n\ndata: 3" {
			t.Errorf("%+v after step %d", e, at)
		}
		at = e.Done
	}
	// One who comes after the end is told so; one who has been told is sent away.
	for _, back := range []struct {
		id   string
		code int
		n    int
	}{{"", http.StatusOK, 1}, {ended, http.StatusNoContent, 0}} {
		r, _ := http.NewRequest("GET", server.URL, nil)
		r.Header.Set("Last-Event-ID", back.id)
		response, err := http.DefaultClient.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		if events, _ := read(t, response); response.StatusCode != back.code || len(events) != back.n {
			t.Errorf("back with %q: %s, %v", back.id, response.Status, events)
		}
		response.Body.Close()
	}
}

// A reader who goes away ends the stream and not the work.
func TestReaderGoesAway(t *testing.T) {
	b := NewBench(1)
	begun, further := make(chan struct{}, 1), make(chan struct{})
	task := b.Start("k", "ada", "", func(ctx context.Context, _ func(int, int, string)) (Result, error) {
		begun <- struct{}{}
		<-further
		return Result{}, ctx.Err()
	})
	<-begun
	gone := make(chan struct{})
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		b.Stream(w, r, task)
		close(gone)
	}))
	defer server.Close()
	ctx, leave := context.WithCancel(t.Context())
	r, _ := http.NewRequestWithContext(ctx, "GET", server.URL, nil)
	response, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	leave()
	response.Body.Close()
	<-gone
	close(further)
	if s := await(t, task); s.State != Done {
		t.Errorf("%+v", s)
	}
}

// TestWaitedFor: a task that was joined stops when the last who waits leaves, however often
// one of them leaves, and one that nobody joined goes on.
func TestWaitedFor(t *testing.T) {
	b := NewBench(2)
	defer b.Close()
	until := func(ctx context.Context, _ func(int, int, string)) (Result, error) {
		<-ctx.Done()
		return Result{}, ctx.Err()
	}
	task := b.Start("k", "o", "t", until)
	first, second := task.Join(), task.Join()
	first()
	first()
	short, cancel := context.WithTimeout(context.Background(), 20*time.Millisecond)
	defer cancel()
	if state, err := task.Wait(short); state.Over() || !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("%s, %v", state, err)
	}
	if b.Find("k", "o") != task || b.Find("k", "other") != nil {
		t.Error("it is not found by its key")
	}
	second()
	if state, err := task.Wait(context.Background()); state != Cancelled || err != nil {
		t.Errorf("%s, %v", state, err)
	}
	failed := b.Start("f", "o", "t", func(context.Context, func(int, int, string)) (Result, error) { return Result{}, errors.New("so") })
	if state, err := failed.Wait(context.Background()); state != Failed || err == nil {
		t.Errorf("%s, %v", state, err)
	}
}
