package choose

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"image/jpeg"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"scumble/appearance"
	"scumble/appearance/colour"
	"scumble/appearance/finish"
	"scumble/job"
	"scumble/setout"
	"scumble/survey"
	"scumble/unit"
	"scumble/web/board"
	"scumble/web/frame"
)

// chooser answers what is no edit of a field.
type chooser struct{ *frame.Frame }

// routes adds pictures of colours being tried, techniques, and colours from elsewhere.
func routes(mux *http.ServeMux, f *frame.Frame) error {
	c := &chooser{f}
	c.elsewhere(mux)
	mux.HandleFunc("GET /jobs/{job}/try", c.try)
	mux.HandleFunc("GET /jobs/{job}/try/words", c.tryWords)
	mux.HandleFunc("GET /jobs/{job}/technique/{file}", c.technique)
	mux.HandleFunc("POST /jobs/{job}/choose/technique", c.take)
	mux.HandleFunc("POST /jobs/{job}/choose/lab", c.lab)
	mux.HandleFunc("POST /jobs/{job}/choose/copy", c.copy)
	return nil
}

// tried is a job with the fields of a form put in and nothing saved.
func (c *chooser) tried(r *http.Request) (*board.Board, *job.Job, *board.Wall, error) {
	var b *board.Board
	q := r.URL.Query()
	id := r.PathValue("job")
	if number, err := strconv.Atoi(q.Get("revision")); err == nil {
		revision, err := c.Store.Revision(r.Context(), id, number)
		if err != nil {
			return nil, nil, nil, err
		}
		b = c.Board(revision.Text)
	} else {
		head, err := c.Store.Head(r.Context(), id)
		if err != nil {
			return nil, nil, nil, err
		}
		b = c.Board(head.Text)
	}
	w := b.Wall(q.Get("wall"))
	if w == nil {
		return nil, nil, nil, &frame.Refused{Status: http.StatusNotFound, What: "this wall is not in the job", Do: "load the page again"}
	}
	var changes []job.Change
	for field, values := range q {
		if path, ok := strings.CutPrefix(field, "set:"); ok && strings.TrimSpace(values[0]) != b.Typed(path) {
			changes = append(changes, job.Change{Do: job.Set, Path: path, Value: values[0]})
		}
	}
	if len(changes) == 0 {
		return b, b.Job, w, nil
	}
	slices.SortFunc(changes, func(a, b job.Change) int { return strings.Compare(a.Path, b.Path) })
	text, problems := job.Apply(b.Text, changes)
	if len(problems) > 0 {
		return nil, nil, nil, &frame.Refused{Status: http.StatusUnprocessableEntity, What: problems[0].What, Do: problems[0].Do}
	}
	file, _ := job.Read("job", text)
	return b, file.Job, w, nil
}

// try paints the wall as it would be, 160 to 1200 px wide.
func (c *chooser) try(w http.ResponseWriter, r *http.Request) {
	b, j, wall, err := c.tried(r)
	if err != nil {
		c.Fail(w, r, err)
		return
	}
	width, err := strconv.Atoi(r.URL.Query().Get("w"))
	if err != nil || width < 40 || width > 1200 {
		width = 600
	}
	o := appearance.Options{Light: r.URL.Query().Get("light")}
	if o.Light == "lamp" {
		o.Light = wall.LampsOf(j)
	}
	if r.URL.Query().Get("quick") != "" { // while the hand moves: soon, and coarser
		width, o.Samples = width*3/5, 1
	}
	image, err := painted(r.Context(), b, j, wall, width, o)
	if err != nil {
		c.Fail(w, r, &frame.Refused{Status: http.StatusUnprocessableEntity, What: err.Error(), Do: "choose another colour"})
		return
	}
	w.Header().Set("Content-Type", "image/jpeg")
	w.Header().Set("Cache-Control", "private, max-age=600")
	_, _ = w.Write(image)
}

// painted is the wall of a job that is laid out anew as far as a picture needs it.
func painted(ctx context.Context, b *board.Board, j *job.Job, w *board.Wall, width int, o appearance.Options) ([]byte, error) {
	d := b.Plan.Catalog.Defaults
	s, problems := survey.Measure(j, survey.Reaches{Floor: unit.Length(d.ReachFloor.Likely), Steps: unit.Length(d.ReachSteps.Likely), Platform: unit.Length(d.ReachPlatform.Likely)})
	for _, p := range problems {
		if board.Within(p.Path, w.Path) {
			return nil, p
		}
	}
	set, err := setout.Divide(s, j, b.Plan.Catalog)
	if err != nil {
		return nil, err
	}
	wall, err := appearance.Of(j, b.Plan.Catalog, s, set, w.ID)
	if err != nil {
		return nil, err
	}
	o.Scale = min(float64(width)/max(wall.Bounds.Width(), 1), 0.5)
	picture, err := appearance.Paint(ctx, wall, o)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	err = jpeg.Encode(&out, picture.Image, &jpeg.Options{Quality: 82})
	return out.Bytes(), err
}

// tryWords is the advice for the colours being tried, as a piece of the page.
func (c *chooser) tryWords(w http.ResponseWriter, r *http.Request) {
	b, j, wall, err := c.tried(r)
	if err != nil {
		c.Fail(w, r, err)
		return
	}
	typed := j.Rooms[wall.RoomIndex].Walls[wall.Index]
	id := typed.Finish
	if r.URL.Query().Get("part") == "dado" && typed.Dado != nil {
		id = typed.Dado.Finish
	}
	words, err := wordsOf(b, j, id, wall.LampsOf(j))
	if err != nil {
		c.Fail(w, r, &frame.Refused{Status: http.StatusUnprocessableEntity, What: err.Error(), Do: "choose another colour"})
		return
	}
	t, err := c.Template(page)
	if err != nil {
		c.Fail(w, r, err)
		return
	}
	c.Write(w, t, "choose-words", http.StatusOK, words)
}

// technique shows a piece a metre wide of a technique in the colours of a finish.
func (c *chooser) technique(w http.ResponseWriter, r *http.Request) {
	id := strings.TrimSuffix(r.PathValue("file"), ".jpg")
	number, err := strconv.Atoi(r.URL.Query().Get("revision"))
	if err != nil {
		c.Fail(w, r, &frame.Refused{Status: http.StatusBadRequest, What: "the address names no revision", Do: "load the page again"})
		return
	}
	revision, err := c.Store.Revision(r.Context(), r.PathValue("job"), number)
	if err != nil {
		c.Fail(w, r, err)
		return
	}
	b := c.Board(revision.Text)
	t := b.Plan.Catalog.Techniques[id]
	if t == nil {
		c.Fail(w, r, &frame.Refused{Status: http.StatusNotFound, What: "there is no technique of this name", Do: "load the page again"})
		return
	}
	var from job.Finish
	for i := range b.Job.Finishes {
		if b.Job.Finishes[i].ID == r.URL.Query().Get("finish") {
			from = b.Job.Finishes[i]
		}
	}
	f, _ := suited(from, t)
	f.ID, f.Boards = "piece", nil
	key := keyOf(c.Build, f, b.Job.Measured, b.Job.Tints, b.Job.Figures)
	image, _, ok := c.Store.Cached(r.Context(), key)
	if !ok {
		if image, err = piece(r.Context(), b, f); err != nil {
			c.Fail(w, r, &frame.Refused{Status: http.StatusUnprocessableEntity, What: err.Error(), Do: "mend the colours of the finish"})
			return
		}
		c.Store.Cache(r.Context(), key, "image/jpeg", image)
	}
	w.Header().Set("Content-Type", "image/jpeg")
	w.Header().Set("Cache-Control", "private, max-age=600")
	_, _ = w.Write(image)
}

func keyOf(parts ...any) string {
	text, err := json.Marshal(parts)
	if err != nil {
		return ""
	}
	sum := sha256.Sum256(append([]byte("technique "), text...))
	return hex.EncodeToString(sum[:16])
}

// piece paints 1.0 by 0.6 m of a finish.
func piece(ctx context.Context, b *board.Board, f job.Finish) ([]byte, error) {
	j := *b.Job
	j.Finishes = []job.Finish{f}
	resolved, err := finish.Resolve(&j, b.Plan.Catalog, f.ID)
	if err != nil {
		return nil, err
	}
	wall := appearance.BoardWall(resolved, b.Plan.Catalog, f.Technique, 1000, 600)
	picture, err := appearance.Paint(ctx, wall, appearance.Options{Scale: 0.24, Samples: 4})
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	err = jpeg.Encode(&out, picture.Image, &jpeg.Options{Quality: 80})
	return out.Bytes(), err
}

// take changes the technique of a finish, with what it then lacks; on a wall without a
// finish it makes one.
func (c *chooser) take(w http.ResponseWriter, r *http.Request) {
	r.Body = http.MaxBytesReader(w, r.Body, 1<<20)
	if err := r.ParseForm(); err != nil {
		c.Fail(w, r, &frame.Refused{Status: http.StatusBadRequest, What: "the form cannot be read", Do: "send it again"})
		return
	}
	b, err := c.base(r)
	if err != nil {
		c.Fail(w, r, err)
		return
	}
	t := b.Plan.Catalog.Techniques[r.PostForm.Get("technique")]
	if t == nil {
		c.Fail(w, r, &frame.Refused{Status: http.StatusUnprocessableEntity, What: "no technique was chosen", Do: "take one of the pictures"})
		return
	}
	form := url.Values{"revision": r.PostForm["revision"], "back": r.PostForm["back"]}
	at, path := r.PostForm.Get("at"), r.PostForm.Get("path")
	var from job.Finish
	for i := range b.Job.Finishes {
		if fmt.Sprintf("finishes[%d]", i) == at {
			from = b.Job.Finishes[i]
		}
	}
	_, changes := suited(from, t)
	if at != "" {
		for field, value := range changes {
			form.Set("set:"+at+"."+field, value)
		}
	} else {
		id := unusedID(b.Job, t.ID)
		form.Set("act", "add:finishes")
		form.Set("new:finishes:id", id)
		form.Set("new:finishes:name", t.Name)
		for field, value := range changes {
			form.Set("new:finishes:"+field, value)
		}
		form.Set("set:"+path, id)
	}
	r.PostForm = form
	c.Edit(w, r)
}

// base is the revision a form was made from.
func (c *chooser) base(r *http.Request) (*board.Board, error) {
	number, err := strconv.Atoi(r.PostForm.Get("revision"))
	if err != nil {
		return nil, &frame.Refused{Status: http.StatusBadRequest, What: "the form does not say which revision it belongs to", Do: "load the page again"}
	}
	revision, err := c.Store.Revision(r.Context(), r.PathValue("job"), number)
	if err != nil {
		return nil, err
	}
	return c.Board(revision.Text), nil
}

// lab sets a colour from L*, a* and b* under daylight, as the nearest a screen can show.
func (c *chooser) lab(w http.ResponseWriter, r *http.Request) {
	r.Body = http.MaxBytesReader(w, r.Body, 1<<20)
	if err := r.ParseForm(); err != nil {
		c.Fail(w, r, &frame.Refused{Status: http.StatusBadRequest, What: "the form cannot be read", Do: "send it again"})
		return
	}
	var lab [3]float64
	for i, field := range []string{"L", "a", "b"} {
		v, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(r.PostForm.Get(field)), ",", ".", 1), 64)
		if err != nil || !(v >= [3]float64{0, -150, -150}[i] && v <= [3]float64{100, 150, 150}[i]) {
			c.Fail(w, r, &frame.Refused{Status: http.StatusUnprocessableEntity, What: fmt.Sprintf("%s* is %q", field, r.PostForm.Get(field)), Do: "write L* from 0 to 100, a* and b* from -150 to 150"})
			return
		}
		lab[i] = v
	}
	form := url.Values{"revision": r.PostForm["revision"], "back": r.PostForm["back"]}
	form.Set("set:"+r.PostForm.Get("path")+".hex", hexOf(colour.Lab{L: lab[0], A: lab[1], B: lab[2]}))
	form.Set("set:"+r.PostForm.Get("path")+".measured", "")
	r.PostForm = form
	c.Edit(w, r)
}

// copy gives this wall a copy of its finish, so that others keep theirs.
func (c *chooser) copy(w http.ResponseWriter, r *http.Request) {
	r.Body = http.MaxBytesReader(w, r.Body, 1<<20)
	if err := r.ParseForm(); err != nil {
		c.Fail(w, r, &frame.Refused{Status: http.StatusBadRequest, What: "the form cannot be read", Do: "send it again"})
		return
	}
	b, err := c.base(r)
	if err != nil {
		c.Fail(w, r, err)
		return
	}
	at, path := r.PostForm.Get("at"), r.PostForm.Get("path")
	form := url.Values{"revision": r.PostForm["revision"], "back": r.PostForm["back"]}
	old := b.Typed(at + ".id")
	id := unusedID(b.Job, old)
	for _, field := range []string{"technique", "variation", "with", "ground-coat", "clear", "ground.name", "ground.hex", "ground.measured", "ground-b.name", "ground-b.hex", "ground-b.measured",
		"glaze.name", "glaze.hex", "glaze.measured", "glaze.over-black", "glaze.clarity", "glaze.recipe", "glaze-b.name", "glaze-b.hex", "glaze-b.measured", "glaze-b.over-black", "glaze-b.clarity",
		"glaze-b.recipe", "strips.narrowest", "strips.wanted", "strips.widest", "strips.sliver", "strips.way", "strips.lines", "light.least", "light.most", "let-down.percent", "let-down.reading"} {
		if value := b.Typed(at + "." + field); value != "" {
			form.Set("new:finishes:"+field, value)
		}
	}
	form.Set("act", "add:finishes")
	form.Set("new:finishes:id", id)
	form.Set("new:finishes:name", b.NameOf(at)+", second")
	form.Set("set:"+path, id)
	r.PostForm = form
	c.Edit(w, r)
}
