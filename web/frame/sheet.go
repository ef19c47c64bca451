package frame

import (
	"context"
	"fmt"
	"net/url"
	"strings"
	"time"

	"scumble/job"
	"scumble/store"
	"scumble/survey"
	"scumble/web/board"
)

// Sheet is one job at one place, as one person sees it.
type Sheet struct {
	*board.Board
	Job      store.Job
	Revision store.Revision // what is shown
	Person   Person
	Place    *Place
	// Wall is the one picked; nil while the job has none.
	Wall             *board.Wall
	Now              time.Time
	CanUndo, CanRedo bool
	frame            *Frame
	ctx              context.Context
	// Query is what else the address asked for.
	Query url.Values
}

// SheetOf lays a revision of a job out at a place, for pages that are no places.
func (f *Frame) SheetOf(ctx context.Context, j store.Job, r store.Revision, p *Place, wall string) (*Sheet, error) {
	return f.sheet(ctx, j, r, p, url.Values{"wall": {wall}}, Who(ctx))
}

func (f *Frame) sheet(ctx context.Context, j store.Job, head store.Revision, p *Place, query url.Values, who Person) (*Sheet, error) {
	s := &Sheet{Board: f.Board(head.Text), Job: j, Revision: head, Person: who, Place: p, Now: f.Now(), frame: f, ctx: ctx, Query: query}
	var err error
	if s.CanUndo, err = f.Store.CanUndo(ctx, j.ID); err != nil {
		return nil, err
	}
	if s.CanRedo, err = f.Store.CanRedo(ctx, j.ID); err != nil {
		return nil, err
	}
	s.Wall = s.Board.Wall(query.Get("wall"))
	if s.Wall == nil && len(s.Walls) > 0 {
		s.Wall = &s.Walls[0]
	}
	return s, nil
}

// URL is the address of a place of this job with the same wall picked.
func (s *Sheet) URL(place string) string {
	if s.Wall == nil {
		return s.at(place, "")
	}
	return s.at(place, s.Wall.ID)
}

func (s *Sheet) at(place, wall string) string {
	u := "/jobs/" + s.Job.ID + "/" + place
	if wall != "" {
		u += "?wall=" + url.QueryEscape(wall)
	}
	return u
}

// Here is the address of this very page.
func (s *Sheet) Here() string {
	here := s.URL(s.Place.Slug)
	for _, key := range s.Place.Keeps {
		if value := s.Query.Get(key); value != "" {
			mark := "&"
			if !strings.Contains(here, "?") {
				mark = "?"
			}
			here += mark + key + "=" + url.QueryEscape(value)
		}
	}
	return here
}

// Path is the address of this place without a wall.
func (s *Sheet) Path() string { return s.at(s.Place.Slug, "") }

// Step is a wall to go to.
type Step struct {
	ID, Title, Href string
	Here            bool
}

func (s *Sheet) stepTo(w *board.Wall) *Step {
	return &Step{ID: w.ID, Title: w.Title(), Href: s.at(s.Place.Slug, w.ID), Here: w == s.Wall}
}

// Walk lists all walls in walking order.
func (s *Sheet) Walk() []*Step {
	var out []*Step
	for i := range s.Walls {
		out = append(out, s.stepTo(&s.Walls[i]))
	}
	return out
}

// Before is the wall before this one, nil at the first.
func (s *Sheet) Before() *Step { return s.beside(-1) }

// After is the wall after this one, nil at the last.
func (s *Sheet) After() *Step { return s.beside(1) }

func (s *Sheet) beside(by int) *Step {
	for i := range s.Walls {
		if k := i + by; &s.Walls[i] == s.Wall && k >= 0 && k < len(s.Walls) {
			return s.stepTo(&s.Walls[k])
		}
	}
	return nil
}

// Finish is the finish agreed for a wall, nil without one.
func (s *Sheet) Finish(id string) *job.Finish {
	for i := range s.Board.Job.Finishes {
		if f := &s.Board.Job.Finishes[i]; f.ID == id {
			return f
		}
	}
	return nil
}

// About says in a line what the picked wall is.
func (s *Sheet) About() string {
	w := s.Wall
	if w == nil {
		return ""
	}
	if w.Survey == nil {
		return "Some of its figures do not fit yet."
	}
	text := Metres(w.Survey.Length) + " × " + Metres(w.Survey.Height) + " m"
	finish := s.Finish(w.Typed.Finish)
	if finish == nil {
		return text + ". No finish chosen yet."
	}
	return text + ", " + painted(w.Survey) + " to glaze. " + finish.Name + "."
}

func painted(w *survey.Wall) string {
	area := 0.0
	for i := range w.Faces {
		area += float64(w.Faces[i].Painted())
	}
	return fmt.Sprintf("%.2f m²", area)
}

// WallProblems are what is wrong with the picked wall.
func (s *Sheet) WallProblems() []Notice {
	if s.Wall == nil {
		return nil
	}
	var out []Notice
	for _, p := range s.Wall.Problems {
		out = append(out, Wrong(p))
	}
	return out
}

// Notice is a note, a caution or a hold as it is set on a page.
type Notice struct{ Kind, What, Do, Where string }

// Wrong is a problem as a notice.
func Wrong(p job.Problem) Notice {
	return Notice{Kind: "caution", What: Sentence(p.What), Do: Sentence(p.Do), Where: ""}
}

// Warned is a warning of a stage as a notice.
func Warned(w job.Warning) Notice {
	kind := "note"
	if w.Hold {
		kind = "hold"
	}
	return Notice{Kind: kind, What: Sentence(w.What), Do: Sentence(w.Do), Where: w.Name}
}

// Asking is a question about the figures of the picked wall.
type Asking struct{ Name, Href string }

// Whys are the questions that can be asked of the picked wall at this place.
func (s *Sheet) Whys() []Asking {
	var out []Asking
	for _, q := range [][2]string{{"area", "Area"}, {"glaze", "Glaze"}, {"ground", "Ground coats"}, {"hours", "Hours"}, {"waits", "Waits"}, {"day", "Days"}, {"edge", "Wet edge"}, {"dry", "Drying"}} {
		out = append(out, Asking{q[1], s.Here() + "&why=" + q[0] + "#why"})
	}
	return out
}

// Waits is why a stage has no answer yet: setting-out, method, quantities, programme or price.
func (s *Sheet) Waits(stage string) string {
	for _, p := range s.Problems {
		if rest, ok := strings.CutPrefix(p.What, "no "+stage+" yet: "); ok {
			return Sentence(rest) + " " + Sentence(p.Do)
		}
	}
	return "This follows when the walls are measured and their finishes are chosen."
}

// First is what has to be mended first for the answer of a stage that needs the whole job.
func (s *Sheet) First(stage string) string {
	if wrong := s.ToMend(); len(wrong) > 0 {
		return "Before that: " + s.NameOf(wrong[0].Path) + ". " + Sentence(wrong[0].What) + " " + Sentence(wrong[0].Do)
	}
	return s.Waits(stage)
}

// Mend are the problems that are mended at this place.
func (s *Sheet) Mend() []Notice {
	var out []Notice
	for _, p := range s.ToMend() {
		if placeOf(p.Path) == s.Place.Slug {
			n := Wrong(p)
			n.Where = s.NameOf(p.Path)
			out = append(out, n)
		}
	}
	return out
}

// Paper is the address of a paper of the pack.
func (s *Sheet) Paper(name string) string {
	return "/jobs/" + s.Job.ID + "/papers/file?" + url.Values{"name": {name}}.Encode()
}

// Context is that of the request the sheet answers.
func (s *Sheet) Context() context.Context { return s.ctx }
