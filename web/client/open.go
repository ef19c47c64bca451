package client

import (
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"golang.org/x/time/rate"

	"scumble/appearance"
	"scumble/job"
	"scumble/store"
	"scumble/unit"
	"scumble/web/board"
	"scumble/web/drawing"
	"scumble/web/frame"
)

// mostText is the length in bytes up to which a question is taken, and mostWords how many
// are taken through one link.
const (
	mostText  = 4000
	mostWords = 200
)

// opened is a job as a client sees it.
type opened struct {
	Title, Theme       string
	Token              string
	Name, Place        string
	Client, Contractor string
	Reference          string
	Revision           int
	Expires            string
	Rooms              []room
	Scope              []scope
	Currency, Asked    string
	Tax, TaxName       string
	Total              string
	Stages             []stage
	Until              string
	Begin, End         string
	Days               int
	Exclude            []string
	Cautions           []frame.Notice
	Words              []said
	Accepted           *said
	Unready            string // why it cannot be accepted
	Answered           string // what was just done
	Wrong              string
	Typed              url.Values
}

type room struct {
	Name  string
	Walls []wall
}

type wall struct {
	Name, Finish, Size string
	Wide, Narrow       template.HTML
	Options            []option
}

type option struct {
	Letter, Name, Picture string
	Chosen                bool // the one in the large picture and in the price
}

type scope struct{ Room, Work, Area, Amount string }

type stage struct{ Name, Share, Amount string }

// find opens the link of a request. Addresses that open nothing are slowed down.
func (c *client) find(w http.ResponseWriter, r *http.Request) (store.Link, bool) {
	h := w.Header()
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("X-Robots-Tag", "noindex, nofollow")
	h.Set("Cache-Control", "no-store")
	l, err := c.Store.OpenLink(r.Context(), r.PathValue("token"))
	switch {
	case err == nil:
		return l, true
	case errors.Is(err, store.ErrNotFound):
		if !c.wrong.AllowN(c.Now(), 1) {
			c.shut(w, r, http.StatusTooManyRequests, "Too many addresses that open nothing were tried.", "Wait a minute and try again.")
			return l, false
		}
		c.shut(w, r, http.StatusNotFound, "There is nothing at this address.", "Look whether it was copied whole, or ask for a new one.")
	case errors.Is(err, store.ErrExpired), errors.Is(err, store.ErrRevoked):
		c.shut(w, r, http.StatusGone, frame.Sentence(err.Error()), "")
	default:
		c.Fail(w, r, err)
	}
	return l, false
}

func (c *client) shut(w http.ResponseWriter, r *http.Request, status int, what, do string) {
	c.Write(w, c.page, "client-shut", status, map[string]any{"Title": what, "What": what, "Do": do, "Theme": frame.Theme(r)})
}

func (c *client) open(w http.ResponseWriter, r *http.Request) {
	l, ok := c.find(w, r)
	if !ok {
		return
	}
	done := map[string]string{"question": "Your question is with them.", "acceptance": "Your acceptance is recorded."}[r.URL.Query().Get("done")]
	c.answerWith(w, r, l, http.StatusOK, done, "")
}

func (c *client) answerWith(w http.ResponseWriter, r *http.Request, l store.Link, status int, done, wrong string) {
	v, err := c.opened(r, l)
	if err != nil {
		c.Fail(w, r, err)
		return
	}
	v.Answered, v.Wrong, v.Typed = done, wrong, r.PostForm
	c.Write(w, c.page, "client", status, v)
}

// opened gathers what the revision of a link says.
func (c *client) opened(r *http.Request, l store.Link) (*opened, error) {
	revision, err := c.Store.Revision(r.Context(), l.Job, l.Revision)
	if err != nil {
		return nil, err
	}
	b, err := c.Long(r.Context(), revision.Text)
	if err != nil {
		return nil, err
	}
	j := b.Job
	v := &opened{Title: j.Name, Theme: frame.Theme(r), Token: r.PathValue("token"), Name: j.Name, Place: j.Place, Client: j.Client, Contractor: j.Contractor, Reference: j.Reference,
		Revision: l.Revision, Expires: l.Expires.Format("2 January 2006"), Currency: j.Currency, Exclude: j.Terms.Exclude}
	v.Unready = unready(b)
	for i := range b.Walls {
		if room := c.wall(b, &b.Walls[i], v); room != nil {
			v.Rooms = append(v.Rooms, *room)
		}
	}
	if q := b.Plan.Quote; q != nil {
		money := func(m unit.Money) string { return m.Format(job.Decimals(q.Currency)) }
		for _, line := range q.Lines {
			s := scope{Room: line.Room, Work: line.Work, Amount: money(line.Amount)}
			if line.Paid > 0 {
				s.Area = unit.Figure(float64(line.Paid), 2)
			}
			v.Scope = append(v.Scope, s)
		}
		v.Asked, v.Tax, v.Total, v.TaxName = money(q.Asked), money(q.Tax), money(q.Total), j.Terms.TaxName
		for _, p := range q.Stages {
			v.Stages = append(v.Stages, stage{p.Name, p.Share.String(), money(p.Amount)})
		}
	}
	if t, err := time.Parse("2006-01-02", string(j.Terms.Until)); err == nil {
		v.Until = t.Format("2 January 2006")
	}
	if p := b.Plan.Programme; p != nil {
		v.Begin, v.End, v.Days = p.Start.Format("Monday 2 January 2006"), p.Finish.Format("Monday 2 January 2006"), p.SiteDays
	}
	v.Cautions = household(b)
	words, err := c.Store.Words(r.Context(), l.Job)
	if err != nil {
		return nil, err
	}
	for _, word := range words {
		if word.Link != l.ID {
			continue
		}
		s := said{word.ID, word.Kind, word.Name, word.Text, word.At.Format("2 January 2006, 15:04"), word.Revision, word.Link}
		if word.Kind == "acceptance" {
			v.Accepted = &s
		} else {
			v.Words = append(v.Words, s)
		}
	}
	return v, nil
}

// wall adds a wall with a finish; it returns a new room where one begins.
func (c *client) wall(b *board.Board, w *board.Wall, v *opened) *room {
	if w.Survey == nil || len(w.Survey.Faces) == 0 {
		return nil
	}
	day := c.address(v.Token, v.Revision, b, w, "D65")
	lamps := b.Job.Lamps
	if own := b.Job.Rooms[w.RoomIndex].Lamps; own != "" {
		lamps = own
	}
	one := wall{Name: w.Name, Size: frame.Metres(w.Survey.Length) + " × " + frame.Metres(w.Survey.Height) + " m"}
	for _, f := range b.Job.Finishes {
		if f.ID == w.Typed.Finish {
			one.Finish = f.Name
		}
	}
	split := drawing.Split{Elevation: drawing.Elevation{Wall: w.Survey, Name: fmt.Sprintf("w%d-%d", w.RoomIndex, w.Index), Picture: day,
		Label: w.Title() + ", by day on the left of the plumb line, by lamp on the right"}, Lamp: c.address(v.Token, v.Revision, b, w, lamps), Left: "by day", Right: "by lamp"}
	scale := roomScale(b, w.RoomIndex)
	long, high := float64(w.Survey.Length), float64(w.Survey.Height)
	split.Width, split.Highest = 24+long*scale, high*scale
	one.Wide = split.Draw()
	split.Name, split.Width, split.Highest = split.Name+"n", min(330, 24+long*scale), 240
	one.Narrow = split.Draw()
	for i, id := range w.Typed.Options {
		for _, f := range b.Job.Finishes {
			if f.ID == id {
				one.Options = append(one.Options, option{Letter: string(rune('A' + i%26)), Name: f.Name, Picture: c.optionAddress(b, w, v, id), Chosen: id == w.Typed.Finish})
			}
		}
	}
	if n := len(v.Rooms); n > 0 && v.Rooms[n-1].Name == w.Room {
		v.Rooms[n-1].Walls = append(v.Rooms[n-1].Walls, one)
		return nil
	}
	return &room{Name: w.Room, Walls: []wall{one}}
}

// roomScale is px to the mm at which all walls of a room fit the page, so that they can be
// compared.
func roomScale(b *board.Board, room int) float64 {
	scale := 0.12
	for i := range b.Walls {
		if w := b.Walls[i].Survey; w != nil && b.Walls[i].RoomIndex == room {
			scale = min(scale, 560/max(float64(w.Length), 1), 330/max(float64(w.Height), 1))
		}
	}
	return scale
}

func (c *client) address(token string, revision int, b *board.Board, w *board.Wall, light string) string {
	key := c.PictureKey(b, w, clientScale, light)
	if key == "" {
		return ""
	}
	return "/client/" + token + "/picture/" + key + ".jpg?" + url.Values{"wall": {w.ID}, "light": {light}}.Encode()
}

// optionAddress is the picture of a wall in a finish kept beside its own.
func (c *client) optionAddress(b *board.Board, w *board.Wall, v *opened, id string) string {
	other, wall := c.wearing(b, w, id)
	if wall == nil {
		return ""
	}
	address := c.address(v.Token, v.Revision, other, wall, "D65")
	if address == "" {
		return ""
	}
	return address + "&" + url.Values{"option": {id}}.Encode()
}

// wearing is a job with another of the finishes kept for a wall on it; nil when there is no
// such wall or finish.
func (c *client) wearing(b *board.Board, w *board.Wall, id string) (*board.Board, *board.Wall) {
	if w == nil || !slices.Contains(w.Typed.Options, id) {
		return nil, nil
	}
	text, problems := job.Apply(b.Text, []job.Change{{Do: job.Set, Path: w.Path + ".finish", Value: id}})
	if len(problems) > 0 {
		return nil, nil
	}
	other := c.Board(text)
	return other, other.Wall(w.ID)
}

// clientScale is px to the mm of wall.
const clientScale = 0.14

// picture shows a wall of the revision of a link, and of no other.
func (c *client) picture(w http.ResponseWriter, r *http.Request) {
	l, ok := c.find(w, r)
	if !ok {
		return
	}
	revision, err := c.Store.Revision(r.Context(), l.Job, l.Revision)
	if err != nil {
		c.Fail(w, r, err)
		return
	}
	b := c.Board(revision.Text)
	wall, light := b.Wall(r.URL.Query().Get("wall")), r.URL.Query().Get("light")
	if id := r.URL.Query().Get("option"); id != "" {
		b, wall = c.wearing(b, wall, id)
	}
	key := strings.TrimSuffix(r.PathValue("key"), ".jpg")
	if wall == nil || c.PictureKey(b, wall, clientScale, light) != key {
		c.Fail(w, r, store.ErrNotFound)
		return
	}
	image, _, kept := c.Store.Cached(r.Context(), key)
	if !kept {
		if image, err = frame.Painted(r.Context(), b, b.Job, wall.ID, appearance.Options{Scale: clientScale, Light: light}); err != nil {
			c.Fail(w, r, &frame.Refused{Status: http.StatusUnprocessableEntity, What: err.Error()})
			return
		}
		c.Store.Cache(r.Context(), key, "image/jpeg", image)
	}
	w.Header().Set("Content-Type", "image/jpeg")
	w.Header().Set("Cache-Control", "private, max-age=86400")
	_, _ = w.Write(image)
}

// unready says why a job cannot be accepted: a wall whose figures do not fit is neither
// shown nor priced, and nobody may agree to a price that leaves it out unseen.
func unready(b *board.Board) string {
	if !b.Ready() {
		return "Not every wall of this job is shown and priced here. It cannot be accepted yet; ask for a new page."
	}
	return ""
}

// household are the cautions that concern who lives in the house.
func household(b *board.Board) []frame.Notice {
	var out []frame.Notice
	seen := map[string]bool{}
	if b.Plan.Method == nil {
		return nil
	}
	for f := range b.Plan.Method.Faces {
		for _, s := range b.Plan.Method.Faces[f].Steps {
			for _, caution := range s.Cautions {
				if caution.Household && !seen[caution.ID] {
					seen[caution.ID] = true
					out = append(out, frame.Notice{Kind: caution.Shape, What: frame.Sentence(caution.Title), Do: frame.Sentence(caution.Text), Where: frame.Sentence(caution.Defers)})
				}
			}
		}
	}
	return out
}

// heard reads what a client sends, within what is bearable.
func (c *client) heard(w http.ResponseWriter, r *http.Request) (store.Link, bool) {
	l, ok := c.find(w, r)
	if !ok {
		return l, false
	}
	c.mu.Lock()
	limit := c.posts[l.ID]
	if limit == nil {
		limit = rate.NewLimiter(rate.Every(5*time.Second), 8)
		c.posts[l.ID] = limit
	}
	c.mu.Unlock()
	r.Body = http.MaxBytesReader(w, r.Body, 1<<16)
	if err := r.ParseForm(); err != nil {
		c.answerWith(w, r, l, http.StatusBadRequest, "", "The form could not be read. Send it again.")
		return l, false
	}
	words, err := c.Store.Words(r.Context(), l.Job)
	if err != nil {
		c.Fail(w, r, err)
		return l, false
	}
	if !limit.AllowN(c.Now(), 1) || len(words) > mostWords {
		c.answerWith(w, r, l, http.StatusTooManyRequests, "", "That was a lot at once. Wait a minute; what you wrote is still here.")
		return l, false
	}
	return l, true
}

func (c *client) ask(w http.ResponseWriter, r *http.Request) {
	l, ok := c.heard(w, r)
	if !ok {
		return
	}
	name, text := strings.TrimSpace(r.PostForm.Get("name")), strings.TrimSpace(r.PostForm.Get("text"))
	if name == "" || text == "" || len(name) > 200 || len(text) > mostText {
		c.answerWith(w, r, l, http.StatusUnprocessableEntity, "", "Write your name and a question of at most "+strconv.Itoa(mostText)+" letters.")
		return
	}
	if _, err := c.Store.Say(r.Context(), store.Word{Link: l.ID, Job: l.Job, Revision: l.Revision, Kind: "question", Name: name, Text: text}); err != nil {
		c.Fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/client/"+r.PathValue("token")+"?done=question#words", http.StatusSeeOther)
}

func (c *client) accept(w http.ResponseWriter, r *http.Request) {
	l, ok := c.heard(w, r)
	if !ok {
		return
	}
	name := strings.TrimSpace(r.PostForm.Get("name"))
	if name == "" || len(name) > 200 || r.PostForm.Get("agree") != "yes" {
		c.answerWith(w, r, l, http.StatusUnprocessableEntity, "", "To accept, write your name and tick the box.")
		return
	}
	revision, err := c.Store.Revision(r.Context(), l.Job, l.Revision)
	if err != nil {
		c.Fail(w, r, err)
		return
	}
	if wait := unready(c.Board(revision.Text)); wait != "" {
		c.answerWith(w, r, l, http.StatusConflict, "", wait)
		return
	}
	if _, err := c.Store.Say(r.Context(), store.Word{Link: l.ID, Job: l.Job, Revision: l.Revision, Kind: "acceptance", Name: name}); err != nil {
		c.Fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/client/"+r.PathValue("token")+"?done=acceptance#accept", http.StatusSeeOther)
}
