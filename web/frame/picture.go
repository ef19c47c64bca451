package frame

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
	"strconv"
	"strings"
	"sync"

	"scumble/appearance"
	"scumble/geom"
	"scumble/job"
	"scumble/setout"
	"scumble/web/board"
)

// Scales of pictures, px to the mm of wall: the frieze, and a wall drawn large.
const (
	FriezeScale = 0.034
	BoardScale  = 0.17
)

// LargestScale of a picture that can be asked for.
const LargestScale = 0.5

func segment(a, b geom.Point) geom.Segment { return geom.Segment{A: a, B: b} }

// PictureKey tells two pictures of a wall apart: everything that they follow from is in it.
// It is "" where the wall has no picture.
func (f *Frame) PictureKey(b *board.Board, w *board.Wall, scale float64, light string) string {
	if w.Survey == nil || len(w.Survey.Faces) == 0 || b.Plan.SetOut == nil {
		return ""
	}
	type faceKey struct {
		Field  any
		Finish any
		SetOut *setout.Face
		Strips *setout.Strips
	}
	key := struct {
		Build, Wall, Light, Lamps string
		Scale                     float64
		Outline                   any
		Faces                     []faceKey
		Measured, Tints           any
		Figures                   any
	}{Build: f.Build, Wall: w.ID, Light: light, Lamps: b.Job.Rooms[w.RoomIndex].Lamps + b.Job.Lamps, Scale: scale, Outline: w.Survey.Outline,
		Measured: b.Job.Measured, Tints: b.Job.Tints, Figures: b.Job.Figures}
	for i := range w.Survey.Faces {
		face := &w.Survey.Faces[i]
		set, _, strips := b.Plan.SetOut.Of(face.ID)
		for k := range b.Job.Finishes {
			if b.Job.Finishes[k].ID == face.Finish {
				key.Faces = append(key.Faces, faceKey{face.Field, b.Job.Finishes[k], set, strips})
			}
		}
	}
	text, err := json.Marshal(key)
	if err != nil {
		return ""
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:16])
}

// PictureURL is the address of the picture of a wall, "" where it has none.
func (s *Sheet) PictureURL(w *board.Wall, scale float64, light string) string {
	key := s.frame.PictureKey(s.Board, w, scale, light)
	if key == "" {
		return ""
	}
	s.frame.shownIn.note(s.Job.ID+"/"+key, s.Revision.Number)
	return fmt.Sprintf("/jobs/%s/picture/%s.jpg?wall=%s&scale=%s&light=%s", s.Job.ID, key, url.QueryEscape(w.ID),
		strconv.FormatFloat(scale, 'f', -1, 64), url.QueryEscape(light))
}

// shownIn remembers in which revision a picture was last shown. The address does not tell:
// it would change with every edit, and every picture be loaded again.
type shownIn struct {
	mu        sync.Mutex
	revisions map[string]int
}

// mostShown is how many pictures are remembered before all are forgotten; those that are
// asked for afterwards are of the newest revision, or load with the page.
const mostShown = 20000

func (s *shownIn) note(key string, revision int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.revisions == nil || len(s.revisions) > mostShown {
		s.revisions = map[string]int{}
	}
	s.revisions[key] = revision
}

func (s *shownIn) of(key string) (int, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	n, ok := s.revisions[key]
	return n, ok
}

// picture answers with the picture of a wall. Its address holds its content, so that a
// browser keeps it for good.
func (f *Frame) picture(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	scale, err := strconv.ParseFloat(q.Get("scale"), 64)
	if err != nil || !(scale > 0 && scale <= LargestScale) {
		f.Fail(w, r, &Refused{http.StatusBadRequest, "this picture cannot be made", "load the page again"})
		return
	}
	key := strings.TrimSuffix(r.PathValue("key"), ".jpg")
	if image, _, ok := f.Store.Cached(r.Context(), key); ok {
		writePicture(w, image)
		return
	}
	revision, err := f.Store.Head(r.Context(), r.PathValue("job"))
	if number, ok := f.shownIn.of(r.PathValue("job") + "/" + key); ok && err == nil && number != revision.Number {
		revision, err = f.Store.Revision(r.Context(), r.PathValue("job"), number)
	}
	if err != nil {
		f.Fail(w, r, err)
		return
	}
	b := f.Board(revision.Text)
	wall := b.Wall(q.Get("wall"))
	if wall == nil || f.PictureKey(b, wall, scale, q.Get("light")) != key {
		f.Fail(w, r, &Refused{http.StatusNotFound, "this picture is not of this wall", "load the page again"})
		return
	}
	image, err := f.Picture(r.Context(), b, wall, scale, q.Get("light"))
	if err != nil {
		f.Fail(w, r, err)
		return
	}
	writePicture(w, image)
}

// Picture is the picture of a wall as JPEG, as it was made before or is made now.
func (f *Frame) Picture(ctx context.Context, b *board.Board, w *board.Wall, scale float64, light string) ([]byte, error) {
	key := f.PictureKey(b, w, scale, light)
	if key == "" {
		return nil, &Refused{http.StatusUnprocessableEntity, "this wall has no picture yet", "measure it, and agree a finish for it"}
	}
	return f.Kept(ctx, key, "image/jpeg", func() ([]byte, error) {
		o := appearance.Options{Scale: scale, Light: light}
		if scale <= FriezeScale {
			// Thumbnails wait for each other and leave a core to whoever types.
			select {
			case f.painting <- struct{}{}:
				defer func() { <-f.painting }()
			case <-ctx.Done():
				return nil, ctx.Err()
			}
			o.Workers = 1
		}
		image, err := Painted(ctx, b, b.Job, w.ID, o)
		if err != nil {
			return nil, &Refused{http.StatusUnprocessableEntity, err.Error(), "mend the finish under Choose"}
		}
		return image, nil
	})
}

// writePicture sends a JPEG. What headers say to pages says nothing to a picture, and thirty of them to a page
// were a fifteenth of all that was sent.
func writePicture(w http.ResponseWriter, image []byte) {
	h := w.Header()
	h.Set("Content-Type", "image/jpeg")
	h.Set("Cache-Control", "private, max-age=31536000, immutable")
	h.Set("Content-Security-Policy", "default-src 'none'")
	for _, ofPages := range []string{"Permissions-Policy", "Referrer-Policy", "Cross-Origin-Opener-Policy"} {
		h.Del(ofPages)
	}
	_, _ = w.Write(image)
}

// Painted is the picture of a wall as JPEG. The job may be another than that of the
// board, with other finishes on the same walls.
func Painted(ctx context.Context, b *board.Board, j *job.Job, id string, o appearance.Options) ([]byte, error) {
	wall, err := appearance.Of(j, b.Plan.Catalog, b.Plan.Survey, b.Plan.SetOut, id)
	if err != nil {
		return nil, err
	}
	painted, err := appearance.Paint(ctx, wall, o)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	quality := 82
	if o.Scale <= FriezeScale { // thumbnails, thirty to a page
		quality = 54
	}
	err = jpeg.Encode(&out, painted.Image, &jpeg.Options{Quality: quality})
	return out.Bytes(), err
}
