// Package api offers the same actions as the pages over JSON, with an OpenAPI description
// served by the program, so that a spreadsheet or another system can read a plan and post
// a survey.
package api

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"

	"scumble/examples"
	"scumble/job"
	"scumble/sheets"
	"scumble/store"
	"scumble/web/board"
	"scumble/web/frame"
	"scumble/why"
)

// Version of the interface, in its addresses.
const Version = "v1"

type api struct{ *frame.Frame }

// Routes adds the interface and its description.
func Routes(mux *http.ServeMux, f *frame.Frame, from Elsewhere) error {
	config := huma.DefaultConfig("scumble", "1.0.0")
	config.OpenAPIPath, config.DocsPath, config.SchemasPath = "/api/openapi", "", ""
	config.Info.Description = "Jobs of decorative finishes: read a plan, post a survey, change single fields. Every save is a revision; two people who change the same field are told."
	config.CreateHooks = nil // no $schema in answers: they are what they say and nothing more
	a := &api{f}
	h := humago.New(mux, config)
	a.jobs(h)
	a.revisions(h)
	a.plans(h)
	a.rooms(h)
	a.clients(h)
	a.papers(h)
	a.pack(h)
	a.colours(h, from)
	return nil
}

func operation(id, method, path, summary string, status int) huma.Operation {
	return huma.Operation{OperationID: id, Method: method, Path: "/api/" + Version + path, Summary: summary, DefaultStatus: status, MaxBodyBytes: 8 << 20,
		Errors: []int{http.StatusForbidden, http.StatusNotFound, http.StatusConflict, http.StatusUnprocessableEntity}}
}

// Job is a job with what stands in it.
type Job struct {
	ID       string    `json:"id" doc:"as in the address of its pages"`
	Name     string    `json:"name"`
	Place    string    `json:"place"`
	Revision int       `json:"revision" doc:"number of the newest revision"`
	Saved    time.Time `json:"saved" doc:"wall clock of the place of work"`
	Walls    int       `json:"walls"`
	Problems []Problem `json:"problems" doc:"what is wrong or missing; it is kept all the same"`
}

// Problem is something wrong in a job.
type Problem struct {
	Path   string `json:"path" doc:"field, such as rooms[0].walls[1].length"`
	Line   int    `json:"line"`
	Column int    `json:"column"`
	What   string `json:"what"`
	Do     string `json:"do"`
}

// JobInput names a job.
type JobInput struct {
	ID string `path:"id" doc:"ID of the job" maxLength:"40"`
}

type jobOutput struct{ Body Job }

func (a *api) job(ctx context.Context, id string) (*jobOutput, error) {
	j, err := a.Store.Job(ctx, id)
	if err != nil {
		return nil, told(err)
	}
	head, err := a.Store.Head(ctx, id)
	if err != nil {
		return nil, told(err)
	}
	b := a.Board(head.Text)
	return &jobOutput{Job{ID: j.ID, Name: j.Name, Place: j.Place, Revision: j.Head, Saved: j.Saved, Walls: len(b.Walls), Problems: problemsOf(ctx, b)}}, nil
}

func problemsOf(ctx context.Context, b *board.Board) []Problem {
	out := []Problem{}
	for _, p := range seen(ctx, b.Problems) {
		out = append(out, Problem{p.Path, p.Line, p.Column, p.What, p.Do})
	}
	return out
}

// seen leaves out what is wrong with prices for those who may not see them: the words of
// a problem quote what was typed.
func seen(ctx context.Context, problems []job.Problem) []job.Problem {
	if frame.Who(ctx).MaySeePrices() {
		return problems
	}
	return slices.DeleteFunc(slices.Clone(problems), func(p job.Problem) bool { return frame.IsPrice(p.Path) })
}

// told turns errors into answers of the right status.
func told(err error) error {
	var refused *frame.Refused
	switch {
	case err == nil:
		return nil
	case errors.Is(err, store.ErrNotFound):
		return huma.Error404NotFound("there is nothing of this name")
	case errors.Is(err, frame.ErrForbidden):
		return huma.Error403Forbidden(err.Error())
	case errors.Is(err, store.ErrNothing):
		return huma.Error409Conflict(err.Error())
	case errors.Is(err, store.ErrDiskFull), errors.Is(err, store.ErrReadOnly):
		return huma.NewError(http.StatusInsufficientStorage, "what was sent could not be kept; make room and send it again")
	case errors.As(err, &refused):
		return huma.NewError(refused.Status, refused.Error())
	}
	return huma.Error500InternalServerError("something went wrong; nothing that was saved is lost")
}

const nothingChanged = "nothing was changed: something does not fit"

// wrong is an answer for problems of a text, a table or a job.
func wrong(what string, problems []job.Problem) error {
	var details []error
	for _, p := range problems {
		details = append(details, &huma.ErrorDetail{Location: p.Path, Message: p.Error()})
	}
	return huma.Error422UnprocessableEntity(what, details...)
}

func (a *api) jobs(h huma.API) {
	huma.Register(h, operation("list-jobs", http.MethodGet, "/jobs", "List the jobs, the one saved last first", http.StatusOK), func(ctx context.Context, in *struct {
		Away bool `query:"away" doc:"also those put away"`
	}) (*struct{ Body []Summary }, error) {
		list, err := a.Store.Jobs(ctx, in.Away)
		out := &struct{ Body []Summary }{Body: []Summary{}}
		for _, j := range list {
			out.Body = append(out.Body, Summary{j.ID, j.Name, j.Place, j.Head, j.Saved, j.Put})
		}
		return out, told(err)
	})
	huma.Register(h, operation("create-job", http.MethodPost, "/jobs", "Begin a job from a text, or the demonstration", http.StatusCreated), func(ctx context.Context, in *struct {
		Body struct {
			Text          string `json:"text,omitempty" doc:"a job file (YAML)"`
			Demonstration bool   `json:"demonstration,omitempty" doc:"Bellwether House instead of a text"`
		}
	}) (*jobOutput, error) {
		text := []byte(in.Body.Text)
		if in.Body.Demonstration {
			text = examples.Bellwether
		}
		b := a.Board(text)
		if b.Job.Name == "" {
			return nil, huma.Error422UnprocessableEntity("the job has no name; write a text with the field name")
		}
		j, _, err := a.Store.Create(ctx, b.Job.Name, b.Job.Place, text, frame.Who(ctx).Name, "Sent by a program", "import")
		if err != nil {
			return nil, told(err)
		}
		return a.job(ctx, j.ID)
	})
	huma.Register(h, operation("read-job", http.MethodGet, "/jobs/{id}", "Read what a job is and what is wrong in it", http.StatusOK), func(ctx context.Context, in *JobInput) (*jobOutput, error) {
		return a.job(ctx, in.ID)
	})
	huma.Register(h, operation("put-job-away", http.MethodPost, "/jobs/{id}/away", "Put a job away, or bring it back", http.StatusOK), func(ctx context.Context, in *struct {
		JobInput
		Body struct {
			Away bool `json:"away"`
		}
	}) (*jobOutput, error) {
		if err := a.Store.PutAway(ctx, in.ID, in.Body.Away); err != nil {
			return nil, told(err)
		}
		return a.job(ctx, in.ID)
	})
	huma.Register(h, operation("copy-job", http.MethodPost, "/jobs/{id}/copy", "Begin another job from the newest revision of this one", http.StatusCreated), func(ctx context.Context, in *JobInput) (*jobOutput, error) {
		head, err := a.Store.Head(ctx, in.ID)
		if err != nil {
			return nil, told(err)
		}
		b := a.Board(head.Text)
		j, _, err := a.Store.Create(ctx, b.Job.Name, b.Job.Place, head.Text, frame.Who(ctx).Name, "Copy of "+b.Job.Name, "new")
		if err != nil {
			return nil, told(err)
		}
		return a.job(ctx, j.ID)
	})
	huma.Register(h, operation("post-survey", http.MethodPost, "/jobs/{id}/survey", "Bring a survey table (CSV) into a job", http.StatusOK), func(ctx context.Context, in *struct {
		JobInput
		Body struct {
			Base  int    `json:"base" doc:"revision the table was made for"`
			Table string `json:"table" doc:"CSV with the columns room, wall, length, height, openings"`
		}
	}) (*jobOutput, error) {
		base, err := a.Store.Revision(ctx, in.ID, in.Body.Base)
		if err != nil {
			return nil, told(err)
		}
		text, problems := job.ImportSurvey(base.Text, "the table", []byte(in.Body.Table))
		if len(problems) > 0 {
			return nil, wrong(nothingChanged, problems)
		}
		return a.save(ctx, in.ID, in.Body.Base, text, "A survey table was brought in")
	})
}

// Summary is a job in a list.
type Summary struct {
	ID       string    `json:"id"`
	Name     string    `json:"name"`
	Place    string    `json:"place"`
	Revision int       `json:"revision"`
	Saved    time.Time `json:"saved"`
	Away     bool      `json:"away"`
}

// save keeps a whole text; who was not up to date is told, and what was sent is kept.
func (a *api) save(ctx context.Context, id string, base int, text []byte, what string) (*jobOutput, error) {
	b := a.Board(text)
	_, err := a.Store.Save(ctx, store.Draft{Job: id, Name: b.Job.Name, Place: b.Job.Place, Base: base, Text: text, By: frame.Who(ctx).Name, What: what, Kind: "edit"})
	var conflict *store.Conflict
	if errors.As(err, &conflict) {
		return nil, huma.Error409Conflict(conflict.Error())
	}
	if err != nil {
		return nil, told(err)
	}
	return a.job(ctx, id)
}

// Revision is one state of a job.
type Revision struct {
	Number int       `json:"number"`
	At     time.Time `json:"at"`
	By     string    `json:"by"`
	What   string    `json:"what"`
	Kind   string    `json:"kind" enum:"new,import,edit,undo,redo,restore,kept"`
	Name   string    `json:"name"`
	Text   string    `json:"text,omitempty" doc:"the job file; only where one revision is read"`
}

func (a *api) revisions(h huma.API) {
	huma.Register(h, operation("list-revisions", http.MethodGet, "/jobs/{id}/revisions", "List the revisions, the newest first", http.StatusOK), func(ctx context.Context, in *struct {
		JobInput
		Before int `query:"before" doc:"only those before this number" minimum:"0"`
		Limit  int `query:"limit" default:"50" minimum:"1" maximum:"500"`
	}) (*struct{ Body []Revision }, error) {
		if _, err := a.Store.Job(ctx, in.ID); err != nil {
			return nil, told(err)
		}
		list, err := a.Store.Revisions(ctx, in.ID, in.Before, in.Limit)
		if err == nil {
			err = a.Withhold(ctx, list)
		}
		if err != nil {
			return nil, told(err)
		}
		out := &struct{ Body []Revision }{Body: []Revision{}}
		for _, r := range list {
			out.Body = append(out.Body, Revision{r.Number, r.At, r.By, r.What, r.Kind, r.Name, ""})
		}
		return out, nil
	})
	huma.Register(h, operation("read-revision", http.MethodGet, "/jobs/{id}/revisions/{number}", "Read the text of a revision", http.StatusOK), func(ctx context.Context, in *struct {
		JobInput
		Number int `path:"number" minimum:"1"`
	}) (*struct{ Body Revision }, error) {
		if !frame.Who(ctx).MaySeePrices() {
			return nil, told(frame.ErrForbidden)
		}
		r, err := a.Store.Revision(ctx, in.ID, in.Number)
		return &struct{ Body Revision }{Revision{r.Number, r.At, r.By, r.What, r.Kind, r.Name, string(r.Text)}}, told(err)
	})
	huma.Register(h, operation("save-text", http.MethodPut, "/jobs/{id}/text", "Save the whole text of a job", http.StatusOK), func(ctx context.Context, in *struct {
		JobInput
		Body struct {
			Base int    `json:"base" doc:"revision the text was made from"`
			Text string `json:"text" minLength:"1"`
		}
	}) (*jobOutput, error) {
		if !frame.Who(ctx).MaySeePrices() {
			return nil, told(frame.ErrForbidden)
		}
		return a.save(ctx, in.ID, in.Body.Base, []byte(in.Body.Text), "The text was sent by a program")
	})
	huma.Register(h, operation("change-fields", http.MethodPost, "/jobs/{id}/changes", "Change single fields, as the pages do", http.StatusOK), a.change)
	for name, do := range map[string]func(context.Context, string, string, store.May) (store.Revision, error){"undo": a.Store.Undo, "redo": a.Store.Redo} {
		huma.Register(h, operation(name, http.MethodPost, "/jobs/{id}/"+name, strings.ToUpper(name[:1])+name[1:]+" one step", http.StatusOK), func(ctx context.Context, in *JobInput) (*jobOutput, error) {
			if _, err := do(ctx, in.ID, frame.Who(ctx).Name, frame.MayBring(ctx)); err != nil {
				return nil, told(err)
			}
			return a.job(ctx, in.ID)
		})
	}
	huma.Register(h, operation("restore", http.MethodPost, "/jobs/{id}/restore", "Bring a revision back", http.StatusOK), func(ctx context.Context, in *struct {
		JobInput
		Body struct {
			Number int `json:"number" minimum:"1"`
		}
	}) (*jobOutput, error) {
		if _, err := a.Store.Restore(ctx, in.ID, in.Body.Number, frame.Who(ctx).Name, frame.MayBring(ctx)); err != nil {
			return nil, told(err)
		}
		return a.job(ctx, in.ID)
	})
}

// Link is a link for the client. Its address is told once, when it is made.
type Link struct {
	ID       int64     `json:"id"`
	Revision int       `json:"revision"`
	Made     time.Time `json:"made"`
	Expires  time.Time `json:"expires"`
	Revoked  bool      `json:"revoked"`
	Seen     int       `json:"seen"`
	Path     string    `json:"path,omitempty" doc:"address of the client's page, only when it is made"`
}

// Word is what was said through a link.
type Word struct {
	Kind     string    `json:"kind" enum:"question,answer,acceptance"`
	Revision int       `json:"revision"`
	Name     string    `json:"name"`
	Text     string    `json:"text"`
	At       time.Time `json:"at"`
}

// clients are links, and what was said through them.
func (a *api) clients(h huma.API) {
	owner := func(ctx context.Context, id string) (store.Job, error) {
		if !frame.Who(ctx).MaySeePrices() {
			return store.Job{}, told(frame.ErrForbidden)
		}
		j, err := a.Store.Job(ctx, id)
		return j, told(err)
	}
	huma.Register(h, operation("list-links", http.MethodGet, "/jobs/{id}/links", "List the links for the client", http.StatusOK), func(ctx context.Context, in *JobInput) (*struct{ Body []Link }, error) {
		if _, err := owner(ctx, in.ID); err != nil {
			return nil, err
		}
		list, err := a.Store.Links(ctx, in.ID)
		out := &struct{ Body []Link }{Body: []Link{}}
		for _, l := range list {
			out.Body = append(out.Body, Link{l.ID, l.Revision, l.Made, l.Expires, !l.Revoked.IsZero(), l.Seen, ""})
		}
		return out, told(err)
	})
	huma.Register(h, operation("make-link", http.MethodPost, "/jobs/{id}/links", "Make a link to the newest revision", http.StatusCreated), func(ctx context.Context, in *struct {
		JobInput
		Body struct {
			Days int `json:"days" minimum:"1" maximum:"366" doc:"how long it works"`
		}
	}) (*struct{ Body Link }, error) {
		j, err := owner(ctx, in.ID)
		if err != nil {
			return nil, err
		}
		l, token, err := a.Store.MakeLink(ctx, in.ID, j.Head, a.Now().AddDate(0, 0, in.Body.Days), frame.Who(ctx).Name)
		return &struct{ Body Link }{Link{l.ID, l.Revision, l.Made, l.Expires, false, 0, "/client/" + token}}, told(err)
	})
	huma.Register(h, operation("revoke-link", http.MethodDelete, "/jobs/{id}/links/{link}", "Take a link back for good", http.StatusOK), func(ctx context.Context, in *struct {
		JobInput
		Link int64 `path:"link"`
	}) (*jobOutput, error) {
		if _, err := owner(ctx, in.ID); err != nil {
			return nil, err
		}
		if err := a.Store.RevokeLink(ctx, in.ID, in.Link); err != nil {
			return nil, told(err)
		}
		return a.job(ctx, in.ID)
	})
	huma.Register(h, operation("list-words", http.MethodGet, "/jobs/{id}/words", "List questions, answers and acceptances", http.StatusOK), func(ctx context.Context, in *JobInput) (*struct{ Body []Word }, error) {
		if _, err := owner(ctx, in.ID); err != nil {
			return nil, err
		}
		list, err := a.Store.Words(ctx, in.ID)
		out := &struct{ Body []Word }{Body: []Word{}}
		for _, w := range list {
			out.Body = append(out.Body, Word{w.Kind, w.Revision, w.Name, w.Text, w.At})
		}
		return out, told(err)
	})
	huma.Register(h, operation("name-revision", http.MethodPost, "/jobs/{id}/revisions/{number}/name", "Give a revision a name", http.StatusOK), func(ctx context.Context, in *struct {
		JobInput
		Number int `path:"number" minimum:"1"`
		Body   struct {
			Name string `json:"name" maxLength:"200"`
		}
	}) (*jobOutput, error) {
		if err := a.Store.NameRevision(ctx, in.ID, in.Number, in.Body.Name); err != nil {
			return nil, told(err)
		}
		return a.job(ctx, in.ID)
	})
}

// Field is a field of a new entry, in order.
type Field struct {
	Key   string `json:"key"`
	Value string `json:"value"`
}

// Change is one edit.
type Change struct {
	Do    string   `json:"do" enum:"set,clear,add,remove,move"`
	Path  string   `json:"path" doc:"a field; for add a list; for remove and move an entry" maxLength:"400"`
	Value string   `json:"value,omitempty" doc:"for set: what is typed"`
	List  []string `json:"list,omitempty" doc:"for set: a list of words"`
	Entry []Field  `json:"entry,omitempty" doc:"for add: the fields of the new entry"`
	To    int      `json:"to,omitempty" doc:"for add: before which index, -1 for the end; for move: the new index"`
}

type changeInput struct {
	JobInput
	Body struct {
		Base    int      `json:"base" doc:"revision the changes were made on"`
		Changes []Change `json:"changes" minItems:"1" maxItems:"500"`
	}
}

// change makes changes by the rules of the pages: what differs from what others changed
// meanwhile is joined, what both changed is a conflict.
func (a *api) change(ctx context.Context, in *changeInput) (*jobOutput, error) {
	base, err := a.Store.Revision(ctx, in.ID, in.Body.Base)
	if err != nil {
		return nil, told(err)
	}
	var changes []job.Change
	for _, c := range in.Body.Changes {
		one := job.Change{Do: job.Deed(c.Do), Path: c.Path, To: c.To}
		switch {
		case c.Do == "add" && len(c.Entry) > 0:
			group := job.Group{}
			for _, field := range c.Entry {
				group = append(group, job.Pair{Key: field.Key, Value: field.Value})
			}
			one.Value = group
		case c.Do == "set" && c.List != nil:
			one.Value = c.List
		default:
			one.Value = c.Value
		}
		changes = append(changes, one)
	}
	_, clash, problems, err := a.Frame.Change(ctx, base, changes)
	switch {
	case err != nil:
		return nil, told(err)
	case len(problems) > 0:
		return nil, wrong(nothingChanged, problems)
	case clash != nil:
		var details []error
		for _, f := range clash.Fields {
			details = append(details, &huma.ErrorDetail{Location: f.Path, Message: fmt.Sprintf("%s: before %q, theirs %q, yours %q", f.Name, f.Before, f.Theirs, f.Mine)})
		}
		return nil, huma.Error409Conflict(clash.Who+" changed the same; yours is kept as "+clash.Kept, details...)
	}
	return a.job(ctx, in.ID)
}

func (a *api) plans(h huma.API) {
	huma.Register(h, operation("read-plan", http.MethodGet, "/jobs/{id}/plan", "Read the whole plan, as plan.json of the papers", http.StatusOK), func(ctx context.Context, in *JobInput) (*struct{ Body json.RawMessage }, error) {
		b, err := a.whole(ctx, in.ID)
		if err != nil {
			return nil, err
		}
		file, err := sheets.One(ctx, b.Whole(), "plan.json", sheets.Options{})
		return &struct{ Body json.RawMessage }{file.Content}, told(err)
	})
	huma.Register(h, operation("ask-why", http.MethodGet, "/jobs/{id}/why", "Ask what a figure rests on", http.StatusOK), func(ctx context.Context, in *struct {
		JobInput
		Ask []string `query:"ask,explode" doc:"the words of a question, such as ask=wall&ask=Dining room/North&ask=glaze" minItems:"1" maxItems:"4"`
	}) (*struct{ Body []Reason }, error) {
		b, err := a.whole(ctx, in.ID)
		if err != nil {
			return nil, err
		}
		reasons, err := why.Ask(b.Whole(), in.Ask)
		if err != nil {
			return nil, huma.Error422UnprocessableEntity(err.Error())
		}
		return &struct{ Body []Reason }{reasonsOf(reasons)}, nil
	})
}

// Reason is one link of the chain behind a figure.
type Reason struct {
	Figure string   `json:"figure"`
	Value  string   `json:"value"`
	How    string   `json:"how,omitempty"`
	Typed  string   `json:"typed,omitempty"`
	Source string   `json:"source,omitempty"`
	From   []Reason `json:"from,omitempty"`
}

func reasonsOf(list []why.Reason) []Reason {
	out := []Reason{}
	for _, r := range list {
		out = append(out, Reason{r.Figure, r.Value, r.How, r.Typed, r.Source, reasonsOf(r.From)})
	}
	return out
}

// whole is a job that can be planned to the end and was looked for at length, for those who may see its money.
func (a *api) whole(ctx context.Context, id string) (*board.Board, error) {
	if !frame.Who(ctx).MaySeePrices() {
		return nil, told(frame.ErrForbidden)
	}
	b, err := a.ready(ctx, id, 0)
	if err != nil {
		return nil, err
	}
	long, err := a.Long(ctx, b.Text)
	return long, told(err)
}

// revision is one of a job, or at 0 the newest.
func (a *api) revision(ctx context.Context, id string, number int) (store.Revision, error) {
	if number == 0 {
		return a.Store.Head(ctx, id)
	}
	return a.Store.Revision(ctx, id, number)
}
