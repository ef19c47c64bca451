package api

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"scumble/schedule"
	"scumble/unit"
	"scumble/web/board"
	"scumble/wetedge"
)

// pairInput is a question about one wall that keeps a wet edge.
type pairInput struct {
	JobInput
	Step     string  `query:"step" required:"true" doc:"step of the method, such as Dining room/South#glaze-1"`
	At       string  `query:"at" doc:"when the first glaze is laid, 2027-04-02 08:00; as the programme has it without"`
	People   int     `query:"people" minimum:"0" maximum:"3" doc:"0 as planned"`
	Temp     float64 `query:"temp" minimum:"-100" maximum:"60" default:"-100" doc:"temperature of the air, C; -100 as planned"`
	Humidity float64 `query:"humidity" minimum:"0" maximum:"1" doc:"0 as planned"`
	Draught  string  `query:"draught" enum:"none,door,window,fan"`
	Retarder bool    `query:"retarder"`
	Columns  int     `query:"columns" minimum:"0" maximum:"200" doc:"0 as few as are safe"`
}

// rooms are the questions about glaze and coats in the air of their rooms.
func (a *api) rooms(h huma.API) {
	huma.Register(h, operation("ask-pair", http.MethodGet, "/jobs/{id}/pair", "Ask how a wall is glazed with a wet edge: sections, turns, joints, chance of a lap mark", http.StatusOK), func(ctx context.Context, in *pairInput) (*struct{ Body json.RawMessage }, error) {
		b, err := a.planned(ctx, in.ID)
		if err != nil {
			return nil, err
		}
		q := wetedge.Question{Step: in.Step, People: in.People, Draught: in.Draught, Retarder: in.Retarder, Columns: in.Columns}
		if in.At != "" {
			if q.At, err = time.Parse("2006-01-02 15:04", in.At); err != nil {
				return nil, huma.Error422UnprocessableEntity("at is no day and time; write it as 2027-04-02 08:00")
			}
		}
		if in.Temp > -100 {
			t := unit.Temp(in.Temp)
			q.Temp = &t
		}
		if in.Humidity > 0 {
			rh := unit.Humidity(in.Humidity)
			q.Humidity = &rh
		}
		p := b.Plan
		answer, err := wetedge.Ask(wetedge.Parts{Job: b.Job, Catalog: p.Catalog, Survey: p.Survey, SetOut: p.SetOut, Method: p.Method, Programme: p.Programme}, q)
		switch {
		case errors.Is(err, wetedge.ErrNoWall):
			return nil, huma.Error404NotFound(err.Error())
		case err != nil:
			return nil, huma.Error422UnprocessableEntity(err.Error())
		}
		out, err := json.Marshal(answer)
		return &struct{ Body json.RawMessage }{out}, told(err)
	})
	huma.Register(h, operation("read-drying", http.MethodGet, "/jobs/{id}/drying", "Read what every coat leaves to dry, stage by stage, through the hours of its room", http.StatusOK), func(ctx context.Context, in *struct {
		JobInput
		Face string `query:"face" doc:"one face only, such as Dining room/South"`
	}) (*struct{ Body json.RawMessage }, error) {
		b, err := a.planned(ctx, in.ID)
		if err != nil {
			return nil, err
		}
		p := b.Plan
		if p.Programme == nil {
			return nil, huma.Error409Conflict("there is no programme yet; see the problems of the job")
		}
		coats, err := schedule.Coats(p.Programme, p.Survey, p.Method, b.Job, p.Catalog.Defaults, in.Face)
		if err != nil {
			return nil, huma.Error422UnprocessableEntity(err.Error())
		}
		out, err := json.Marshal(coats)
		return &struct{ Body json.RawMessage }{out}, told(err)
	})
}

// planned is a job with its method and setting-out.
func (a *api) planned(ctx context.Context, id string) (*board.Board, error) {
	if _, err := a.Store.Job(ctx, id); err != nil {
		return nil, told(err)
	}
	head, err := a.Store.Head(ctx, id)
	if err != nil {
		return nil, told(err)
	}
	b := a.Board(head.Text)
	if b.Plan.Method == nil || b.Plan.SetOut == nil {
		return nil, huma.Error409Conflict("the job cannot be planned so far; see its problems")
	}
	return b, nil
}
