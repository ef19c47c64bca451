package api

import (
	"context"
	"errors"
	"fmt"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"scumble/sheets"
	"scumble/web/board"
	"scumble/web/frame"
	"scumble/web/work"
)

// file is an answer that is no JSON.
type file struct {
	Kind     string `header:"Content-Type"`
	Attached string `header:"Content-Disposition"`
	Body     []byte
}

// binary notes which kinds of file an operation answers with.
func binary(op huma.Operation, kinds ...string) huma.Operation {
	content := map[string]*huma.MediaType{}
	for _, kind := range kinds {
		content[kind] = &huma.MediaType{Schema: &huma.Schema{Type: "string", Format: "binary"}}
	}
	op.Responses = map[string]*huma.Response{"200": {Description: "the file", Content: content}}
	return op
}

// Paper is a document of a job.
type Paper struct {
	Name  string `json:"name" doc:"to ask for it by, such as quote.pdf or walls/hall-north.dxf"`
	What  string `json:"what"`
	Kind  string `json:"kind" doc:"as HTTP names kinds"`
	Pages bool   `json:"pages" doc:"it is made to be printed"`
}

// Task is a piece of work that takes long.
type Task struct {
	ID    string `json:"id"`
	Title string `json:"title"`
	State string `json:"state" enum:"waiting,running,done,failed,cancelled"`
	Done  int    `json:"done" doc:"steps"`
	All   int    `json:"all" doc:"steps"`
	What  string `json:"what" doc:"was done last"`
	Error string `json:"error,omitempty" doc:"why it failed"`
}

type taskOutput struct{ Body Task }

func taskOf(t *work.Task) *taskOutput {
	now := t.State()
	out := &taskOutput{Task{ID: t.ID, Title: t.Title, State: string(now.State), Done: now.Done, All: now.All, What: now.What}}
	if now.Err != nil {
		out.Body.Error = now.Err.Error()
	}
	return out
}

// ready is a job whose papers can be made, at a revision or, at 0, the newest.
func (a *api) ready(ctx context.Context, id string, revision int) (*board.Board, error) {
	r, err := a.revision(ctx, id, revision)
	if err != nil {
		return nil, told(err)
	}
	b := a.Board(r.Text)
	if !b.Ready() {
		return nil, wrong("this is made of a whole plan, and something is still to be mended", seen(ctx, b.Problems))
	}
	return b, nil
}

// PapersInput picks a revision of a job.
type PapersInput struct {
	JobInput
	Revision int `query:"revision" minimum:"0" doc:"number of a revision; 0 is the newest"`
}

func (a *api) papers(h huma.API) {
	huma.Register(h, operation("list-papers", http.MethodGet, "/jobs/{id}/papers", "List the papers of a job that may be seen", http.StatusOK), func(ctx context.Context, in *PapersInput) (*struct{ Body []Paper }, error) {
		b, err := a.ready(ctx, in.ID, in.Revision)
		if err != nil {
			return nil, err
		}
		out := &struct{ Body []Paper }{Body: []Paper{}}
		for _, l := range sheets.List(b.Plan) {
			if !sheets.Priced(l.Name) || frame.Who(ctx).MaySeePrices() {
				out.Body = append(out.Body, Paper{l.Name, l.What, sheets.Kind(l.Name), l.Pages})
			}
		}
		return out, nil
	})
	paper := binary(operation("read-paper", http.MethodGet, "/jobs/{id}/papers/file", "Take one paper", http.StatusOK),
		"application/pdf", "text/csv", "text/calendar", "application/json", "image/svg+xml", "application/octet-stream")
	huma.Register(h, paper, func(ctx context.Context, in *struct {
		PapersInput
		Name string `query:"name" required:"true" maxLength:"400" doc:"name of a paper of the list"`
	}) (*file, error) {
		b, err := a.ready(ctx, in.ID, in.Revision)
		if err != nil {
			return nil, err
		}
		if sheets.Priced(in.Name) && !frame.Who(ctx).MaySeePrices() {
			return nil, told(frame.ErrForbidden)
		}
		content, err := a.Kept(ctx, a.TextKey(b.Text)+"/"+in.Name, sheets.Kind(in.Name), func() ([]byte, error) {
			long, err := a.Long(ctx, b.Text)
			if err != nil {
				return nil, err
			}
			f, err := sheets.One(ctx, long.Whole(), in.Name, sheets.Options{})
			return f.Content, err
		})
		if errors.Is(err, sheets.ErrNoPaper) {
			return nil, huma.Error404NotFound("there is no paper of this name; take one from the list")
		}
		return &file{sheets.Kind(in.Name), frame.Attachment(b.Job.Name, in.Name), content}, told(err)
	})
}

// TaskInput names a piece of work.
type TaskInput struct {
	JobInput
	Task string `path:"task" maxLength:"60" doc:"id of the work"`
}

// pack is the work of making all papers; a page and a program that ask for the same share it.
func (a *api) pack(h huma.API) {
	const path = "/jobs/{id}/papers/pack"
	task := func(ctx context.Context, in *TaskInput) (*work.Task, error) {
		if _, err := a.Store.Job(ctx, in.ID); err != nil {
			return nil, told(err)
		}
		t, ok := a.Work.Task(in.Task, frame.Who(ctx).Bench())
		if !ok {
			return nil, huma.Error404NotFound("this work is not there any more; begin it again")
		}
		return t, nil
	}
	huma.Register(h, operation("start-pack", http.MethodPost, path, "Begin to make all papers that may be seen", http.StatusAccepted), func(ctx context.Context, in *PapersInput) (*taskOutput, error) {
		b, err := a.ready(ctx, in.ID, in.Revision)
		if err != nil {
			return nil, err
		}
		who := frame.Who(ctx)
		prices := who.MaySeePrices()
		t := a.Work.Start(fmt.Sprintf("pack %s %v", a.TextKey(b.Text), prices), who.Bench(), "All papers of "+b.Job.Name, func(ctx context.Context, report func(done, all int, what string)) (work.Result, error) {
			report(0, 0, "looking for the best programme")
			long, err := a.Long(ctx, b.Text)
			if err != nil {
				return work.Result{}, err
			}
			content, err := sheets.Archive(ctx, long.Whole(), prices, sheets.Options{Progress: report})
			return work.Result{Name: "papers.zip", Kind: sheets.Kind(".zip"), Content: content}, err
		})
		return taskOf(t), nil
	})
	huma.Register(h, operation("read-pack", http.MethodGet, path+"/{task}", "Read how far the papers are", http.StatusOK), func(ctx context.Context, in *TaskInput) (*taskOutput, error) {
		t, err := task(ctx, in)
		if err != nil {
			return nil, err
		}
		return taskOf(t), nil
	})
	huma.Register(h, operation("stop-pack", http.MethodDelete, path+"/{task}", "Stop making the papers", http.StatusOK), func(ctx context.Context, in *TaskInput) (*taskOutput, error) {
		t, err := task(ctx, in)
		if err != nil {
			return nil, err
		}
		t.Cancel()
		for { // it ends soon; the answer says how it ended
			changed := t.Changed()
			if t.State().State.Over() {
				return taskOf(t), nil
			}
			select {
			case <-changed:
			case <-ctx.Done():
				return nil, told(ctx.Err())
			}
		}
	})
	huma.Register(h, binary(operation("take-pack", http.MethodGet, path+"/{task}/file", "Take the papers, as one archive", http.StatusOK), "application/zip"), func(ctx context.Context, in *TaskInput) (*file, error) {
		t, err := task(ctx, in)
		if err != nil {
			return nil, err
		}
		result, err := t.Result()
		if err != nil {
			return nil, huma.Error409Conflict(err.Error() + "; wait until it is done, or begin it again")
		}
		j, err := a.Store.Job(ctx, in.ID)
		return &file{result.Kind, frame.Attachment(j.Name, result.Name), result.Content}, told(err)
	})
}
