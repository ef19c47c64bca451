// Package jobs is the list of jobs: each a storey of walls on its floor line. New ones
// come from nothing, from a survey table, from a job file, from the demonstration, or
// as a copy.
package jobs

import (
	"context"
	_ "embed"
	"errors"
	"fmt"
	"html/template"
	"io"
	"net/http"
	"net/url"
	"strings"
	"time"

	"scumble/examples"
	"scumble/job"
	"scumble/store"
	"scumble/unit"
	"scumble/web/drawing"
	"scumble/web/frame"
)

//go:embed jobs.html
var page string

// largestUpload is the size in bytes up to which a job file or a table is taken in.
const largestUpload = 8 << 20

type list struct {
	frame *frame.Frame
	page  *template.Template
}

// Routes adds the list and what makes new jobs.
func Routes(mux *http.ServeMux, f *frame.Frame) error {
	t, err := f.Template(page)
	if err != nil {
		return err
	}
	l := &list{f, t}
	mux.HandleFunc("GET /{$}", l.show)
	mux.HandleFunc("POST /jobs", l.create)
	mux.HandleFunc("POST /jobs/{job}/copy", l.copy)
	mux.HandleFunc("POST /jobs/{job}/away", l.away)
	return nil
}

type storey struct {
	ID, Name, Place string
	Href            string
	Frieze          []drawing.FriezeRoom
	Saved           string
	Next            string
	Wrong           bool
	Facts           []fact
	Away            bool
}

type fact struct{ Name, Value string }

type view struct {
	Title, Theme string
	Storeys      []storey
	Away         bool // those put away are shown
	Problems     []frame.Notice
	Prices       bool
	Today        string
	Typed        url.Values
	Person       frame.Person
}

func (l *list) show(w http.ResponseWriter, r *http.Request) { l.answer(w, r, http.StatusOK, nil) }

func (l *list) answer(w http.ResponseWriter, r *http.Request, status int, problems []job.Problem) {
	v := view{Title: "Jobs", Theme: frame.Theme(r), Away: r.URL.Query().Get("away") != "", Today: l.frame.Now().Format("2006-01-02"), Typed: r.PostForm, Person: frame.Who(r.Context())}
	for _, p := range problems {
		n := frame.Wrong(p)
		if p.Line > 0 {
			n.Where = fmt.Sprintf("%s, line %d", p.File, p.Line)
		}
		v.Problems = append(v.Problems, n)
	}
	jobs, err := l.frame.Store.Jobs(r.Context(), v.Away)
	if err != nil {
		l.frame.Fail(w, r, err)
		return
	}
	v.Prices = frame.Who(r.Context()).MaySeePrices()
	for i, j := range jobs {
		s, err := l.storey(r.Context(), j, v.Prices, i < mostFriezes)
		if err != nil {
			l.frame.Fail(w, r, err)
			return
		}
		v.Storeys = append(v.Storeys, s)
	}
	l.frame.Write(w, l.page, "jobs", status, v)
}

// mostFriezes are drawn on one page; the jobs after them are listed by name.
const mostFriezes = 12

func (l *list) storey(ctx context.Context, j store.Job, prices, drawn bool) (storey, error) {
	out := storey{ID: j.ID, Name: j.Name, Place: j.Place, Href: "/jobs/" + j.ID + "/measure", Saved: j.Saved.Format("2 January 2006, 15:04"), Away: j.Put}
	if out.Name == "" {
		out.Name = "Job without a name"
	}
	if !drawn {
		return out, nil
	}
	head, err := l.frame.Store.Head(ctx, j.ID)
	if err != nil {
		return out, err
	}
	s, err := l.frame.SheetOf(ctx, j, head, l.frame.Place("measure"), "")
	if err != nil {
		return out, err
	}
	s.Wall = nil
	out.Frieze, _ = l.frame.Frieze(s)
	out.Next, out.Wrong = next(s)
	out.Facts = facts(s, prices)
	return out, nil
}

// next says what the job waits for.
func next(s *frame.Sheet) (string, bool) {
	if len(s.Walls) == 0 {
		return "Next: measure the first wall.", false
	}
	for i := range s.Walls {
		if w := &s.Walls[i]; len(w.Problems) > 0 {
			return "Next: " + w.Title() + ". " + frame.Sentence(w.Problems[0].What), true
		}
	}
	if wrong := s.ToMend(); len(wrong) > 0 {
		return "Next: " + frame.Sentence(wrong[0].What+"; "+wrong[0].Do), true
	}
	if p := s.Board.Plan.Programme; p != nil {
		return fmt.Sprintf("Work from %s to %s.", frame.Day(p.Start), frame.Day(p.Finish)), false
	}
	return "", false
}

func facts(s *frame.Sheet, prices bool) []fact {
	out := []fact{{"Walls", fmt.Sprint(len(s.Walls))}}
	if m := s.Board.Plan.Survey; m != nil {
		area := unit.Area(0)
		for r := range m.Rooms {
			for w := range m.Rooms[r].Walls {
				for f := range m.Rooms[r].Walls[w].Faces {
					area += m.Rooms[r].Walls[w].Faces[f].Painted()
				}
			}
		}
		out = append(out, fact{"Painted area", area.Fixed(1) + " m²"})
	}
	if p := s.Board.Plan.Programme; p != nil {
		out = append(out, fact{"Site days", fmt.Sprint(p.SiteDays)}, fact{"Finish", frame.Day(p.Finish)})
	}
	if q := s.Board.Plan.Quote; q != nil && prices {
		out = append(out, fact{"Likely price before tax", q.Currency + " " + q.Net.Format(job.Decimals(q.Currency))})
	}
	return out
}

// create makes a job of what the form holds: a name, a job file, a survey table, or the
// demonstration.
func (l *list) create(w http.ResponseWriter, r *http.Request) {
	r.Body = http.MaxBytesReader(w, r.Body, largestUpload)
	if err := r.ParseMultipartForm(largestUpload); err != nil && !errors.Is(err, http.ErrNotMultipart) {
		l.frame.Fail(w, r, &frame.Refused{Status: http.StatusRequestEntityTooLarge, What: "the file is too large or cannot be read", Do: "a job file or a survey table holds at most 8 MB"})
		return
	}
	text, what, kind, problems := l.made(r)
	if len(problems) > 0 {
		l.answer(w, r, http.StatusUnprocessableEntity, problems)
		return
	}
	b := l.frame.Board(text)
	j, _, err := l.frame.Store.Create(r.Context(), b.Job.Name, b.Job.Place, text, frame.Who(r.Context()).Name, what, kind)
	if err != nil {
		l.frame.Fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/jobs/"+j.ID+"/measure", http.StatusSeeOther)
}

func (l *list) made(r *http.Request) (text []byte, what, kind string, problems []job.Problem) {
	switch r.FormValue("from") {
	case "demonstration":
		return examples.Bellwether, "The demonstration: Bellwether House", "new", nil
	case "file":
		src, name, problems := upload(r)
		if len(problems) == 0 {
			problems = readable(name, src)
		}
		return src, "Taken in from " + name, "import", problems
	case "table":
		src, name, problems := upload(r)
		if len(problems) > 0 {
			return nil, "", "", problems
		}
		text, problems = job.ImportSurvey(l.blank(r), name, src)
		return text, "Taken in from the survey table " + name, "import", problems
	}
	if strings.TrimSpace(r.FormValue("name")) == "" {
		return nil, "", "", []job.Problem{{What: "the job has no name", Do: "give it one, such as the name of the house"}}
	}
	return l.blank(r), "New job", "new", nil
}

// readable refuses only what holds no job at all; wrong figures are kept and marked.
func readable(name string, src []byte) []job.Problem {
	file, problems := job.Read(name, src)
	if _, ok := file.Places["rooms"]; !ok && len(problems) > 0 {
		return problems
	}
	return nil
}

func upload(r *http.Request) (src []byte, name string, problems []job.Problem) {
	file, header, err := r.FormFile("file")
	if err != nil {
		return nil, "", []job.Problem{{What: "no file was chosen", Do: "choose one and send it again"}}
	}
	defer file.Close()
	src, err = io.ReadAll(file)
	if err != nil || len(src) == 0 {
		return nil, "", []job.Problem{{What: "the file is empty or could not be read", Do: "choose another"}}
	}
	return src, header.Filename, nil
}

// blank is the text of a new job. What it fills in are common working hours and a
// usual climate of a heated room; the pages ask for the rest.
func (l *list) blank(r *http.Request) []byte {
	now := l.frame.Now()
	start := now.AddDate(0, 0, 7)
	for start.Weekday() != time.Monday {
		start = start.AddDate(0, 0, 1)
	}
	text := []byte(fmt.Sprintf(`scumble: 1
name:
place:
date: %s
currency: EUR

crew:
  start: %s
  hours: ["08:00-12:00", "12:30-16:30"]
  people:
    - name: First
    - name: Second

# Air of the rooms during the work, mean of day and night: a usual heated room. Say what yours is.
climate:
  temp: 18 °C
  humidity: 55 %%

terms:
  rule: solid
`, now.Format("2006-01-02"), start.Format("2006-01-02")))
	changes := []job.Change{{Do: job.Set, Path: "name", Value: strings.TrimSpace(r.FormValue("name"))}}
	for _, field := range []string{"place", "client", "currency"} {
		if value := strings.TrimSpace(r.FormValue(field)); value != "" {
			changes = append(changes, job.Change{Do: job.Set, Path: field, Value: value})
		}
	}
	if named, problems := job.Apply(text, changes); len(problems) == 0 {
		return named
	}
	return text
}

func (l *list) copy(w http.ResponseWriter, r *http.Request) {
	head, err := l.frame.Store.Head(r.Context(), r.PathValue("job"))
	if err != nil {
		l.frame.Fail(w, r, err)
		return
	}
	b := l.frame.Board(head.Text)
	text := head.Text
	if named, problems := job.Apply(text, []job.Change{{Do: job.Set, Path: "name", Value: "Copy of " + b.Job.Name}}); len(problems) == 0 {
		text = named
	}
	made, _, err := l.frame.Store.Create(r.Context(), "Copy of "+b.Job.Name, b.Job.Place, text, frame.Who(r.Context()).Name, "Copy of "+b.Job.Name, "new")
	if err != nil {
		l.frame.Fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/jobs/"+made.ID+"/measure", http.StatusSeeOther)
}

func (l *list) away(w http.ResponseWriter, r *http.Request) {
	if err := l.frame.Store.PutAway(r.Context(), r.PathValue("job"), r.FormValue("away") == "yes"); err != nil {
		l.frame.Fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/", http.StatusSeeOther)
}
