// Package history is the place of revisions: what was changed by whom, what stood before,
// and the text of the job itself for those who know it.
package history

import (
	_ "embed"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strconv"
	"strings"

	"scumble/job"
	"scumble/store"
	"scumble/unit"
	"scumble/web/board"
	"scumble/web/drawing"
	"scumble/web/frame"
)

//go:embed history.html
var page string

// shown is how many revisions a page lists.
const shown = 40

type history struct {
	*frame.Frame
	place *frame.Place
}

// Place is the page. It needs the frame it hangs in, given by Routes.
func Place() *frame.Place {
	h := &history{}
	h.place = &frame.Place{Slug: "history", Name: "History", Page: page, Show: h.show}
	h.place.Routes = h.routes
	return h.place
}

func (h *history) routes(mux *http.ServeMux, f *frame.Frame) error {
	h.Frame = f
	mux.HandleFunc("POST /jobs/{job}/history/restore", h.restore)
	mux.HandleFunc("POST /jobs/{job}/history/name", h.name)
	mux.HandleFunc("POST /jobs/{job}/history/text", h.text)
	mux.HandleFunc("GET /jobs/{job}/history/{file}", h.download)
	return nil
}

type view struct {
	Revisions []revision
	Older     string
	Compare   *compared
	Text      string
	Problems  []problem
	Numbers   []int
	From, To  int
}

type revision struct {
	Number       int
	At, By, What string
	Kind, Name   string
	Head, Kept   bool
	Download     string
	CompareHref  string
	Stands       int
}

type problem struct {
	Line           int
	What, Do, Path string
}

// compared is one revision set against another.
type compared struct {
	From, To int
	Said     []change
	More     int // changes that are not told
	Comes    []change
	Lines    []line // only for those who may see prices, which stand anywhere in a text
	Frieze   []drawing.FriezeRoom
	Same     bool
}

type change struct{ What, Before, After string }

type line struct{ Sign, Text, Words string }

func (h *history) show(s *frame.Sheet) (any, error) {
	v := &view{Text: string(s.Text)}
	for _, p := range s.Board.Problems {
		if frame.IsPrice(p.Path) && !s.Person.MaySeePrices() {
			continue
		}
		v.Problems = append(v.Problems, problem{p.Line, frame.Sentence(p.What), frame.Sentence(p.Do), s.NameOf(p.Path)})
	}
	before, _ := strconv.Atoi(s.Query.Get("before"))
	list, err := h.Store.Revisions(s.Context(), s.Job.ID, before, shown+1)
	if err != nil {
		return nil, err
	}
	if len(list) > shown {
		list = list[:shown]
		v.Older = s.URL("history") + sep(s) + fmt.Sprintf("before=%d", list[shown-1].Number)
	}
	if err := h.Withhold(s.Context(), list); err != nil {
		return nil, err
	}
	for _, r := range list {
		v.Revisions = append(v.Revisions, revision{Number: r.Number, At: r.At.Format("Mon 2 Jan 2006, 15:04"), By: r.By, What: frame.Sentence(r.What), Kind: r.Kind, Name: r.Name,
			Head: r.Number == s.Job.Head, Kept: r.Kind == "kept", Stands: r.Stands, Download: fmt.Sprintf("/jobs/%s/history/%d.yaml", s.Job.ID, r.Number),
			CompareHref: s.URL("history") + sep(s) + fmt.Sprintf("from=%d&to=%d#compare", r.Number, s.Job.Head)})
		v.Numbers = append(v.Numbers, r.Number)
	}
	v.From, _ = strconv.Atoi(s.Query.Get("from"))
	v.To, _ = strconv.Atoi(s.Query.Get("to"))
	if v.From > 0 && v.To > 0 {
		if v.Compare, err = h.compare(s, v.From, v.To); err != nil {
			return nil, err
		}
	}
	return v, nil
}

func sep(s *frame.Sheet) string {
	if s.Wall == nil {
		return "?"
	}
	return "&"
}

func (h *history) compare(s *frame.Sheet, from, to int) (*compared, error) {
	a, err := h.Store.Revision(s.Context(), s.Job.ID, from)
	if err != nil {
		return nil, err
	}
	b, err := h.Store.Revision(s.Context(), s.Job.ID, to)
	if err != nil {
		return nil, err
	}
	c := &compared{From: from, To: to, Same: string(a.Text) == string(b.Text)}
	old, fresh := h.Board(a.Text), h.Board(b.Text)
	c.Comes = comes(old, fresh, s.Person.MaySeePrices())
	c.Said, c.More = said(old, fresh, s.Person.MaySeePrices())
	if s.Person.MaySeePrices() {
		c.Lines = diff(string(a.Text), string(b.Text))
	}
	sheet, err := h.SheetOf(s.Context(), s.Job, a, h.place, "")
	if err != nil {
		return nil, err
	}
	sheet.Wall = nil
	c.Frieze, _ = h.Frieze(sheet)
	return c, nil
}

// comes tells what a change did to the plan.
func comes(a, b *board.Board, prices bool) []change {
	var out []change
	add := func(what, before, after string) {
		if before != after {
			out = append(out, change{what, before, after})
		}
	}
	add("Walls", fmt.Sprint(len(a.Walls)), fmt.Sprint(len(b.Walls)))
	add("Painted area", area(a), area(b))
	add("Ready mix", litres(a), litres(b))
	days := func(x *board.Board) string {
		if x.Plan.Programme == nil {
			return "none"
		}
		return fmt.Sprintf("%d, ready %s", x.Plan.Programme.SiteDays, frame.Day(x.Plan.Programme.Finish))
	}
	add("Site days", days(a), days(b))
	if prices {
		price := func(x *board.Board) string {
			if x.Plan.Quote == nil {
				return "none"
			}
			return x.Plan.Quote.Currency + " " + x.Plan.Quote.Asked.Format(job.Decimals(x.Plan.Quote.Currency))
		}
		add("Price before tax", price(a), price(b))
	}
	add("To look at", fmt.Sprint(len(a.ToMend())), fmt.Sprint(len(b.ToMend())))
	return out
}

func area(b *board.Board) string {
	if b.Plan.Survey == nil {
		return "none"
	}
	total := unit.Area(0)
	for _, w := range b.Walls {
		if w.Survey != nil {
			for f := range w.Survey.Faces {
				total += w.Survey.Faces[f].Painted()
			}
		}
	}
	return total.String()
}

func litres(b *board.Board) string {
	if b.Plan.Quantities == nil {
		return "none"
	}
	total := unit.Volume(0)
	for i := range b.Plan.Quantities.Mixes {
		total += b.Plan.Quantities.Mixes[i].Ready.Likely
	}
	return total.Fixed(1) + " L"
}

func (h *history) restore(w http.ResponseWriter, r *http.Request) {
	number, err := h.form(w, r)
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	if _, err := h.Store.Restore(r.Context(), r.PathValue("job"), number, frame.Who(r.Context()).Name, frame.MayBring(r.Context())); err != nil {
		h.Fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/jobs/"+r.PathValue("job")+"/history", http.StatusSeeOther)
}

func (h *history) name(w http.ResponseWriter, r *http.Request) {
	number, err := h.form(w, r)
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	name := strings.TrimSpace(r.PostForm.Get("name"))
	if len(name) > 200 {
		h.Fail(w, r, &frame.Refused{Status: http.StatusUnprocessableEntity, What: "the name is longer than 200 letters", Do: "take a shorter one"})
		return
	}
	if err := h.Store.NameRevision(r.Context(), r.PathValue("job"), number, name); err != nil {
		h.Fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/jobs/"+r.PathValue("job")+"/history", http.StatusSeeOther)
}

// form reads a small form that names a revision.
func (h *history) form(w http.ResponseWriter, r *http.Request) (int, error) {
	r.Body = http.MaxBytesReader(w, r.Body, 1<<16)
	if err := r.ParseForm(); err != nil {
		return 0, &frame.Refused{Status: http.StatusBadRequest, What: "the form cannot be read", Do: "send it again"}
	}
	number, err := strconv.Atoi(r.PostForm.Get("number"))
	if err != nil {
		return 0, &frame.Refused{Status: http.StatusBadRequest, What: "the form names no revision", Do: "load the page again"}
	}
	return number, nil
}

// largestText is the size in bytes up to which the text of a job is taken.
const largestText = 6 << 20

// text saves the whole text of a job, typed or from a file, problems and all.
func (h *history) text(w http.ResponseWriter, r *http.Request) {
	if !frame.Who(r.Context()).MaySeePrices() {
		h.Fail(w, r, frame.ErrForbidden)
		return
	}
	r.Body = http.MaxBytesReader(w, r.Body, largestText)
	if err := r.ParseMultipartForm(largestText); err != nil {
		h.Fail(w, r, &frame.Refused{Status: http.StatusRequestEntityTooLarge, What: "the text is too large or cannot be read", Do: "a job holds at most 4 MB"})
		return
	}
	text := []byte(strings.ReplaceAll(r.FormValue("text"), "\r\n", "\n"))
	what := "The text was changed"
	if file, header, err := r.FormFile("file"); err == nil {
		defer file.Close()
		if text, err = io.ReadAll(file); err != nil {
			h.Fail(w, r, &frame.Refused{Status: http.StatusBadRequest, What: "the file could not be read", Do: "send it again"})
			return
		}
		what = "Taken in from " + header.Filename
	}
	base, err := strconv.Atoi(r.FormValue("revision"))
	if err != nil || len(strings.TrimSpace(string(text))) == 0 {
		h.Fail(w, r, &frame.Refused{Status: http.StatusUnprocessableEntity, What: "there is no text to save", Do: "write it, or choose a file"})
		return
	}
	b := h.Board(text)
	id := r.PathValue("job")
	_, err = h.Store.Save(r.Context(), store.Draft{Job: id, Name: b.Job.Name, Place: b.Job.Place, Base: base, Text: text, By: frame.Who(r.Context()).Name, What: what, Kind: "edit"})
	if conflict := (*store.Conflict)(nil); errors.As(err, &conflict) {
		http.Redirect(w, r, fmt.Sprintf("/jobs/%s/history?from=%d&to=%d#compare", id, conflict.Kept.Number, conflict.Head.Number), http.StatusSeeOther)
		return
	}
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/jobs/"+id+"/history", http.StatusSeeOther)
}

// download gives the text of a revision, money and all, to those who may see it.
func (h *history) download(w http.ResponseWriter, r *http.Request) {
	number, err := strconv.Atoi(strings.TrimSuffix(r.PathValue("file"), ".yaml"))
	if err != nil {
		h.Fail(w, r, store.ErrNotFound)
		return
	}
	if !frame.Who(r.Context()).MaySeePrices() {
		h.Fail(w, r, frame.ErrForbidden)
		return
	}
	v, err := h.Store.Revision(r.Context(), r.PathValue("job"), number)
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "application/yaml; charset=utf-8")
	w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="job-revision-%d.yaml"`, number))
	_, _ = w.Write(v.Text)
}
