package frame

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"strings"
	"time"

	"scumble/job"
	"scumble/store"
	"scumble/web/board"
	"scumble/web/drawing"
)

//go:embed page
var pages embed.FS

// page is what the layout is given.
type page struct {
	Sheet    *Sheet
	Title    string
	Theme    string
	Places   []placeLink
	Frieze   []drawing.FriezeRoom
	Counts   []Count
	Clash    *Clash
	Problems []Notice // of an edit that could not be made
	Data     any
}

type placeLink struct {
	Name, Href string
	Here       bool
	Wrong      int
}

// Count is how many walls are in a state.
type Count struct {
	State board.State
	Count int
	Words string
}

// Template makes the template of a page that hangs in the layout.
func (f *Frame) Template(text string) (*template.Template, error) {
	t, err := template.New("page").Funcs(f.functions()).ParseFS(pages, "page/*.html")
	if err != nil {
		return nil, err
	}
	return t.Parse(text)
}

// Show writes the page of a sheet.
func (f *Frame) Show(w http.ResponseWriter, r *http.Request, s *Sheet, status int, problems []job.Problem) {
	f.show(w, r, s, status, nil, problems)
}

func (f *Frame) show(w http.ResponseWriter, r *http.Request, s *Sheet, status int, clash *Clash, problems []job.Problem) {
	data, err := s.Place.Show(s)
	if err != nil {
		f.Fail(w, r, err)
		return
	}
	p := page{Sheet: s, Title: s.Place.Name + ": " + s.Job.Name, Theme: Theme(r), Clash: clash, Data: data}
	if s.Place.Walled && s.Wall != nil {
		p.Title = s.Place.Name + ": " + s.Wall.Title()
	}
	for _, problem := range problems {
		p.Problems = append(p.Problems, Wrong(problem))
	}
	p.Places = f.links(s)
	p.Frieze, p.Counts = f.Frieze(s)
	name := "layout"
	if r.Header.Get("HX-Request") != "" {
		name = "sheet"
		w.Header().Set("HX-Push-Url", "false")
	}
	f.Write(w, f.shown[s.Place.Slug], name, status, p)
}

// Write executes a template whole before the first byte goes out.
func (f *Frame) Write(w http.ResponseWriter, t *template.Template, name string, status int, data any) {
	var out bytes.Buffer
	if err := t.ExecuteTemplate(&out, name, data); err != nil {
		http.Error(w, "The page cannot be drawn: "+err.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	_, _ = out.WriteTo(w) // the reader may have gone; nothing is lost by it
}

// Theme is the theme a person chose: light, dark, or "" for that of the device.
func Theme(r *http.Request) string {
	if c, err := r.Cookie("theme"); err == nil && (c.Value == "light" || c.Value == "dark") {
		return c.Value
	}
	return ""
}

func (f *Frame) links(s *Sheet) []placeLink {
	var out []placeLink
	for _, p := range f.places {
		if p.Priced && !s.Person.MaySeePrices() {
			continue
		}
		link := placeLink{Name: p.Name, Href: s.URL(p.Slug), Here: p == s.Place}
		for _, problem := range s.ToMend() {
			if placeOf(problem.Path) == p.Slug {
				link.Wrong++
			}
		}
		out = append(out, link)
	}
	return out
}

// placeOf is the slug of the place where a problem is mended.
func placeOf(path string) string {
	switch {
	case strings.HasPrefix(path, "climate"), strings.HasSuffix(path, ".floor-area"):
		return "air"
	case strings.HasPrefix(path, "rooms"):
		if strings.HasSuffix(path, ".finish") || strings.Contains(path, ".options") {
			return "choose"
		}
		return "measure"
	case strings.HasPrefix(path, "finishes"):
		if strings.Contains(path, ".strips") {
			return "setout"
		}
		return "choose"
	case strings.HasPrefix(path, "measured"), strings.HasPrefix(path, "tints"), strings.HasPrefix(path, "boards"), path == "lamps":
		return "choose"
	case strings.HasSuffix(path, ".rate"):
		return "price"
	case strings.HasPrefix(path, "crew"), strings.HasPrefix(path, "kit"):
		return "programme"
	case strings.HasPrefix(path, "prices"):
		return "buy"
	case strings.HasPrefix(path, "terms"), strings.HasPrefix(path, "alternatives"), path == "currency":
		return "price"
	case strings.HasPrefix(path, "building"):
		return "safety"
	case strings.HasPrefix(path, "figures"), strings.HasPrefix(path, "observed"):
		return "coats"
	}
	return "history"
}

// Frieze draws every room, and counts the states of the walls.
func (f *Frame) Frieze(s *Sheet) ([]drawing.FriezeRoom, []Count) {
	walls := f.FriezeWalls(s, s.Place.Slug)
	length, rooms := 0.0, len(s.Board.Job.Rooms)
	states := map[string]int{}
	for _, w := range walls {
		states[w.State]++
		if w.Survey != nil {
			length += float64(w.Survey.Length)
		}
	}
	scale, highest := drawing.Scale(length, rooms), drawing.Highest(walls)
	var out []drawing.FriezeRoom
	for from := 0; from < len(walls); {
		to := from
		for to < len(walls) && s.Walls[to].RoomIndex == s.Walls[from].RoomIndex {
			to++
		}
		room := drawing.FriezeRoom{Name: s.Walls[from].Room, SVG: drawing.Frieze(walls[from:to], scale, highest, fmt.Sprintf("f%d", from))}
		for _, w := range walls[from:to] {
			room.Here = room.Here || w.Here
		}
		out = append(out, room)
		from = to
	}
	var counts []Count
	for _, known := range board.States {
		if n := states[string(known.State)]; n > 0 {
			counts = append(counts, Count{known.State, n, known.Words})
		}
	}
	return out, counts
}

// FriezeWalls are the walls of a job as a frieze shows them; each leads to a place.
func (f *Frame) FriezeWalls(s *Sheet, place string) []drawing.FriezeWall {
	var out []drawing.FriezeWall
	for i := range s.Walls {
		w := &s.Walls[i]
		standing := s.Standing(w, s.Now)
		d := drawing.FriezeWall{ID: w.ID, Title: w.Title(), Href: s.at(place, w.ID), Survey: w.Survey,
			State: string(standing.State), Words: standing.State.Words(), Share: standing.Share(), Wrong: len(w.Problems) > 0, Here: w == s.Wall}
		switch standing.State {
		case board.InWork:
			d.Beside = fmt.Sprintf("%d of %d", standing.Finished, standing.Steps)
			d.Words = fmt.Sprintf("in work, %d of %d steps finished", standing.Finished, standing.Steps)
		case board.Drying:
			d.Beside = Short(standing.Late)
			d.Words = "drying until " + standing.Late.Format("Monday 15:04")
			if standing.Early.Before(standing.Late.Add(-time.Minute)) {
				d.Words += ", at the earliest " + standing.Early.Format("Monday 15:04")
			}
		}
		if d.Wrong {
			d.Words += ", " + Counted(len(w.Problems), "figure does not fit", "figures do not fit")
		}
		if s.Board.Plan.SetOut != nil && w.Survey != nil {
			for k := range w.Survey.Faces {
				if _, _, strips := s.Board.Plan.SetOut.Of(w.Survey.Faces[k].ID); strips != nil {
					for _, m := range strips.Marks {
						d.Joints = append(d.Joints, segment(m.Joint(w.Survey.Height)))
					}
				}
			}
		}
		d.Picture = s.PictureURL(w, FriezeScale, "D65")
		out = append(out, d)
	}
	return out
}

// Refused is an answer that says what is wrong with a request and what to do.
type Refused struct {
	Status   int
	What, Do string
}

func (e *Refused) Error() string { return e.What + "; " + e.Do }

// Fail answers with an error in words.
func (f *Frame) Fail(w http.ResponseWriter, r *http.Request, err error) {
	status, what, do := http.StatusInternalServerError, "Something went wrong.", "Nothing that was saved is lost. Go back and try again."
	var refused *Refused
	switch {
	case errors.As(err, &refused):
		status, what, do = refused.Status, Sentence(refused.What), Sentence(refused.Do)
	case errors.Is(err, store.ErrNotFound):
		status, what, do = http.StatusNotFound, "There is nothing at this address.", "Go to the list of jobs."
	case errors.Is(err, ErrForbidden):
		status, what, do = http.StatusForbidden, Sentence(err.Error()), ""
	case errors.Is(err, store.ErrDiskFull), errors.Is(err, store.ErrReadOnly):
		status, what, do = http.StatusInsufficientStorage, Sentence(err.Error()), "What was saved before is safe. What you typed is still in the page: make room and save again."
	case r.Context().Err() != nil:
		return
	}
	f.Write(w, f.shown[f.places[0].Slug], "failed", status, map[string]any{"Title": what, "What": what, "Do": do, "Theme": Theme(r)})
}
