package api

import (
	"context"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"scumble/job"
	"scumble/web/frame"
)

// Elsewhere reads colours out of what other devices made, as the place where colours are
// chosen does. It is handed in, since that place is no part of the interface.
type Elsewhere struct {
	// Photo is the colour of a photo at shares of its width and height: #rrggbb, and CIELAB under D65.
	Photo func(src []byte, x, y float64) (hex string, lab [3]float64, err error)
	// Measured are the colours in a file of an instrument.
	Measured func(name string, src []byte) ([]job.Measured, error)
}

// uploaded is an operation that takes a file as its body. Whoever sends one over a slow
// line has as long as the server gives any request.
func uploaded(op huma.Operation, most int64) huma.Operation {
	op.MaxBodyBytes, op.BodyReadTimeout = most, 2*time.Minute
	op.Errors = append(op.Errors, http.StatusRequestEntityTooLarge)
	return op
}

// PhotoColour is a colour read out of a photo.
type PhotoColour struct {
	Hex   string     `json:"hex" doc:"as a screen shows it"`
	Lab   [3]float64 `json:"lab" doc:"L*, a* and b* under D65"`
	Worth string     `json:"worth" doc:"what a colour out of a photo is worth; show it beside the colour"`
}

// Reading is a measured colour.
type Reading struct {
	Name   string    `json:"name"`
	Lab    []float64 `json:"lab,omitempty" doc:"L*, a* and b*, where there is no spectrum"`
	Under  string    `json:"under,omitempty" doc:"light the L*, a* and b* stand for"`
	From   int       `json:"from,omitempty" doc:"wavelength of the first value, nm"`
	Step   int       `json:"step,omitempty" doc:"from one value to the next, nm"`
	Values []float64 `json:"values,omitempty" doc:"reflectance factor, 1 = perfect white"`
	Source string    `json:"source"`
}

// FileInput is a file of an instrument.
type FileInput struct {
	Name    string `query:"name" required:"true" minLength:"1" maxLength:"200" doc:"name of the file, which goes with its colours"`
	RawBody []byte
}

func (a *api) colours(h huma.API, from Elsewhere) {
	huma.Register(h, uploaded(operation("read-photo", http.MethodPost, "/colours/photo", "Read a colour out of a photo (JPEG, PNG or WebP); nothing of it is kept", http.StatusOK), frame.LargestPhoto), func(ctx context.Context, in *struct {
		X       float64 `query:"x" minimum:"0" maximum:"1" default:"0.5" doc:"where to look in the upright photo: share of its width from the left"`
		Y       float64 `query:"y" minimum:"0" maximum:"1" default:"0.5" doc:"share of its height from the top"`
		RawBody []byte
	}) (*struct{ Body PhotoColour }, error) {
		hex, lab, err := from.Photo(in.RawBody, in.X, in.Y)
		return &struct{ Body PhotoColour }{PhotoColour{hex, lab, frame.PhotoWorth}}, told(err)
	})
	huma.Register(h, uploaded(operation("read-measured", http.MethodPost, "/colours/measured", "Read the colours in a file of an instrument (CGATS text, CxF3 or CSV); nothing of it is kept", http.StatusOK), frame.LargestMeasured), func(ctx context.Context, in *FileInput) (*struct{ Body []Reading }, error) {
		list, err := from.Measured(in.Name, in.RawBody)
		out := &struct{ Body []Reading }{Body: []Reading{}}
		for _, m := range list {
			out.Body = append(out.Body, Reading{m.Name, m.Lab, m.Under, m.From, m.Step, m.Values, m.Source})
		}
		return out, told(err)
	})
	huma.Register(h, uploaded(operation("post-measured", http.MethodPost, "/jobs/{id}/measured", "Bring the colours in a file of an instrument into a job", http.StatusOK), frame.LargestMeasured), func(ctx context.Context, in *struct {
		JobInput
		FileInput
		Base int `query:"base" required:"true" minimum:"1" doc:"revision the colours are for"`
	}) (*jobOutput, error) {
		base, err := a.Store.Revision(ctx, in.ID, in.Base)
		if err != nil {
			return nil, told(err)
		}
		list, err := from.Measured(in.Name, in.RawBody)
		if err != nil {
			return nil, told(err)
		}
		_, _, problems, err := a.BringIn(ctx, base, list) // entries that are added never clash
		if len(problems) > 0 {
			return nil, wrong(nothingChanged, problems)
		}
		if err != nil {
			return nil, told(err)
		}
		return a.job(ctx, in.ID)
	})
	huma.Register(h, binary(operation("read-picture", http.MethodGet, "/jobs/{id}/picture", "Take the picture of a wall in its finish, as the pages show it", http.StatusOK), "image/jpeg"), a.picture)
}

// picture paints a wall as wide as asked for, though never larger than the pages can.
func (a *api) picture(ctx context.Context, in *struct {
	PapersInput
	Wall  string `query:"wall" required:"true" maxLength:"400" doc:"Room/Wall, in any case"`
	Light string `query:"light" enum:"day,lamp" default:"day" doc:"daylight, or the lamps of the room"`
	Width int    `query:"width" minimum:"40" maximum:"1200" default:"600" doc:"px; a small wall has fewer, as no picture has more than one to 2 mm of wall"`
}) (*file, error) {
	r, err := a.revision(ctx, in.ID, in.Revision)
	if err != nil {
		return nil, told(err)
	}
	b := a.Board(r.Text)
	wall := b.Wall(in.Wall)
	if wall == nil {
		return nil, huma.Error404NotFound("this wall is not in the job; name it Room/Wall")
	}
	light, scale := "D65", float64(frame.LargestScale)
	if in.Light == "lamp" {
		light = wall.LampsOf(b.Job)
	}
	if wall.Survey != nil {
		scale = min(scale, float64(in.Width)/max(wall.Survey.Outline.Bounds().Width(), 1))
	}
	image, err := a.Picture(ctx, b, wall, scale, light)
	return &file{Kind: "image/jpeg", Body: image}, told(err)
}
