package choose

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"image"
	pixels "image/draw"
	"image/jpeg"
	_ "image/png" // photos come as PNG, too
	"io"
	"math"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"github.com/bep/imagemeta"
	_ "golang.org/x/image/webp" // and as WebP

	"scumble/appearance/colour"
	"scumble/appearance/measured"
	"scumble/job"
	"scumble/web/frame"
)

// What is taken in of a photo, and of a file of an instrument.
const (
	mostPixels  = 50_000_000
	shownPhoto  = 900 // px of its longer side, as it is kept and shown
	patchShare  = 80  // a click averages a square of a part of the longer side
	mostColours = 400
)

func (c *chooser) elsewhere(mux *http.ServeMux) {
	mux.HandleFunc("POST /jobs/{job}/choose/photo", c.photo)
	mux.HandleFunc("GET /jobs/{job}/choose/photo/{key}", c.photoPicture)
	mux.HandleFunc("GET /jobs/{job}/choose/photo/{key}/look", c.look)
	mux.HandleFunc("POST /jobs/{job}/choose/measured", c.measured)
}

// photo takes a photo in, upright, smaller and without what else its file tells. It is
// kept only in the cache.
func (c *chooser) photo(w http.ResponseWriter, r *http.Request) {
	r.Body = http.MaxBytesReader(w, r.Body, frame.LargestPhoto)
	if err := r.ParseMultipartForm(frame.LargestPhoto); err != nil {
		c.Fail(w, r, &frame.Refused{Status: http.StatusRequestEntityTooLarge, What: "the photo is larger than 20 MB or was not sent whole", Do: "send a smaller one"})
		return
	}
	file, _, err := r.FormFile("photo")
	if err != nil {
		c.Fail(w, r, &frame.Refused{Status: http.StatusUnprocessableEntity, What: "no photo was chosen", Do: "choose one and send it again"})
		return
	}
	defer file.Close()
	src, err := io.ReadAll(file)
	if err == nil {
		src, err = upright(src)
	}
	if err != nil {
		c.Fail(w, r, &frame.Refused{Status: http.StatusUnprocessableEntity, What: err.Error(), Do: "send a JPEG, PNG or WebP"})
		return
	}
	sum := sha256.Sum256(src)
	key := "photo-" + hex.EncodeToString(sum[:16])
	c.Store.Cache(r.Context(), key, "image/jpeg", src)
	http.Redirect(w, r, fmt.Sprintf("/jobs/%s/choose/photo/%s/look?%s", url.PathEscape(r.PathValue("job")), key, url.Values{"wall": {r.FormValue("wall")}, "at": {r.FormValue("at")}}.Encode()), http.StatusSeeOther)
}

// upright decodes a photo within bounds, turns it as its camera was held, and makes a
// small JPEG of it.
func upright(src []byte) ([]byte, error) {
	config, format, err := image.DecodeConfig(bytes.NewReader(src))
	if err != nil {
		return nil, errors.New("this is no photo that can be read")
	}
	if config.Width < 8 || config.Height < 8 || config.Width*config.Height > mostPixels {
		return nil, fmt.Errorf("the photo has %d by %d pixels; at most %d million can be read", config.Width, config.Height, mostPixels/1_000_000)
	}
	photo, _, err := image.Decode(bytes.NewReader(src))
	if err != nil {
		return nil, errors.New("the photo is damaged")
	}
	turn := orientation(src, format)
	small := scaled(photo, turn)
	var out bytes.Buffer
	err = jpeg.Encode(&out, small, &jpeg.Options{Quality: 92})
	return out.Bytes(), err
}

// orientation is how the camera was held, 1 to 8 as EXIF counts; 1 where nothing is told.
func orientation(src []byte, format string) int {
	formats := map[string]imagemeta.ImageFormat{"jpeg": imagemeta.JPEG, "png": imagemeta.PNG, "webp": imagemeta.WebP}
	turn := 1
	_, err := imagemeta.Decode(imagemeta.Options{R: bytes.NewReader(src), ImageFormat: formats[format], Sources: imagemeta.EXIF,
		ShouldHandleTag: func(t imagemeta.TagInfo) bool { return t.Tag == "Orientation" },
		HandleTag: func(t imagemeta.TagInfo) error {
			if n, err := strconv.Atoi(fmt.Sprint(t.Value)); err == nil && n >= 1 && n <= 8 {
				turn = n
			}
			return nil
		}})
	if err != nil {
		return 1 // a photo without such a note stands as it is
	}
	return turn
}

// scaled makes a photo small enough to be shown and turns it upright. Each pixel is that
// in the middle of what it stands for; a click averages many.
func scaled(src image.Image, turn int) image.Image {
	b := src.Bounds()
	w, h := b.Dx(), b.Dy()
	if turn >= 5 {
		w, h = h, w
	}
	step := math.Max(1, float64(max(w, h))/shownPhoto)
	out := image.NewRGBA(image.Rect(0, 0, int(float64(w)/step), int(float64(h)/step)))
	for y := range out.Rect.Dy() {
		for x := range out.Rect.Dx() {
			u, v := int((float64(x)+0.5)*step), int((float64(y)+0.5)*step)
			switch turn { // EXIF 2.32, tag 0112h: where row 0 and column 0 of the sensor lie
			case 2:
				u = w - 1 - u
			case 3:
				u, v = w-1-u, h-1-v
			case 4:
				v = h - 1 - v
			case 5:
				u, v = v, u
			case 6:
				u, v = v, w-1-u
			case 7:
				u, v = h-1-v, w-1-u
			case 8:
				u, v = h-1-v, u
			}
			out.Set(x, y, src.At(b.Min.X+u, b.Min.Y+v))
		}
	}
	return out
}

// kept finds a photo that was taken in; it is gone when the cache needed its room.
func (c *chooser) kept(w http.ResponseWriter, r *http.Request) ([]byte, bool) {
	key := r.PathValue("key")
	if strings.HasPrefix(key, "photo-") {
		if src, _, ok := c.Store.Cached(r.Context(), key); ok {
			return src, true
		}
	}
	c.Fail(w, r, &frame.Refused{Status: http.StatusNotFound, What: "this photo is not kept any more", Do: "send it again"})
	return nil, false
}

func (c *chooser) photoPicture(w http.ResponseWriter, r *http.Request) {
	if src, ok := c.kept(w, r); ok {
		w.Header().Set("Content-Type", "image/jpeg")
		w.Header().Set("Cache-Control", "private, max-age=3600")
		_, _ = w.Write(src)
	}
}

type looked struct {
	Title, Theme       string
	Job, Key, Wall, At string
	Width, Height      int
	Worth              string
	Picked             bool
	Hex, Lab           string
	X, Y               int
	Revision           int
	Back               string
	Roles              [][2]string
}

// look shows a photo to be clicked on, and the colour round the place that was. Clicking
// sends where, with or without script: the photo is an input of type image.
func (c *chooser) look(w http.ResponseWriter, r *http.Request) {
	src, ok := c.kept(w, r)
	if !ok {
		return
	}
	photo, err := jpeg.Decode(bytes.NewReader(src))
	if err != nil {
		c.Fail(w, r, &frame.Refused{Status: http.StatusUnprocessableEntity, What: "the photo is damaged", Do: "send it again"})
		return
	}
	head, err := c.Store.Head(r.Context(), r.PathValue("job"))
	if err != nil {
		c.Fail(w, r, err)
		return
	}
	q := r.URL.Query()
	v := looked{Title: "A colour from a photo", Worth: frame.PhotoWorth, Theme: frame.Theme(r), Job: r.PathValue("job"), Key: r.PathValue("key"), Wall: q.Get("wall"), At: q.Get("at"), Width: photo.Bounds().Dx(), Height: photo.Bounds().Dy(),
		Revision: head.Number, Back: "/jobs/" + url.PathEscape(r.PathValue("job")) + "/choose?" + url.Values{"wall": {q.Get("wall")}}.Encode()}
	x, err1 := strconv.Atoi(q.Get("p.x"))
	y, err2 := strconv.Atoi(q.Get("p.y"))
	if err1 == nil && err2 == nil {
		rgb := average(photo, x, y)
		lab := rgb.Lab()
		v.Picked, v.X, v.Y, v.Hex = true, x, y, rgb.Hex()
		v.Lab = fmt.Sprintf("L* %.0f, a* %.0f, b* %.0f", lab.L, lab.A, lab.B)
		for _, role := range []string{"ground", "ground-b", "glaze", "glaze-b"} {
			if c.Board(head.Text).Holds(v.At + "." + role) {
				v.Roles = append(v.Roles, [2]string{v.At + "." + role + ".hex", roleWords[role]})
			}
		}
	}
	t, err := c.Template(page)
	if err != nil {
		c.Fail(w, r, err)
		return
	}
	c.Write(w, t, "choose-photo", http.StatusOK, v)
}

// PhotoColour is the colour round a place of a photo that is held upright, as #rrggbb and
// in CIELAB under D65. x and y are shares of its width and height.
func PhotoColour(src []byte, x, y float64) (hex string, lab [3]float64, err error) {
	small, err := upright(src)
	if err != nil {
		return "", lab, &frame.Refused{Status: http.StatusUnprocessableEntity, What: err.Error(), Do: "send a JPEG, PNG or WebP"}
	}
	photo, err := jpeg.Decode(bytes.NewReader(small))
	if err != nil {
		return "", lab, err
	}
	size := photo.Bounds().Size()
	rgb := average(photo, int(x*float64(size.X-1)), int(y*float64(size.Y-1)))
	c := rgb.Lab()
	return rgb.Hex(), [3]float64{c.L, c.A, c.B}, nil
}

// average is the mean of a square of a photo in linear light.
func average(photo image.Image, x, y int) colour.RGB {
	b := photo.Bounds()
	half := max(2, max(b.Dx(), b.Dy())/patchShare/2)
	square := image.Rect(x-half, y-half, x+half+1, y+half+1).Intersect(b)
	if square.Empty() {
		square = b
	}
	patch := image.NewRGBA(square)
	pixels.Draw(patch, square, photo, square.Min, pixels.Src)
	var sum colour.RGB
	n := 0.0
	for i := 0; i < len(patch.Pix); i += 4 {
		one := colour.FromBytes(patch.Pix[i], patch.Pix[i+1], patch.Pix[i+2])
		sum.R, sum.G, sum.B, n = sum.R+one.R, sum.G+one.G, sum.B+one.B, n+1
	}
	return colour.RGB{R: sum.R / n, G: sum.G / n, B: sum.B / n}
}

// measured brings the colours of an instrument's file into the job.
func (c *chooser) measured(w http.ResponseWriter, r *http.Request) {
	r.Body = http.MaxBytesReader(w, r.Body, frame.LargestMeasured)
	if err := r.ParseMultipartForm(frame.LargestMeasured); err != nil {
		c.Fail(w, r, &frame.Refused{Status: http.StatusRequestEntityTooLarge, What: "the file is larger than 8 MB or was not sent whole", Do: "send a smaller one"})
		return
	}
	file, header, err := r.FormFile("file")
	if err != nil {
		c.Fail(w, r, &frame.Refused{Status: http.StatusUnprocessableEntity, What: "no file was chosen", Do: "choose one and send it again"})
		return
	}
	defer file.Close()
	src, err := io.ReadAll(file)
	if err != nil {
		c.Fail(w, r, &frame.Refused{Status: http.StatusBadRequest, What: "the file could not be read", Do: "send it again"})
		return
	}
	list, err := Measured(header.Filename, src)
	if err != nil {
		c.Fail(w, r, err)
		return
	}
	number, err := strconv.Atoi(r.FormValue("revision"))
	if err != nil {
		c.Fail(w, r, &frame.Refused{Status: http.StatusBadRequest, What: "the form does not say which revision it belongs to", Do: "load the page again"})
		return
	}
	revision, err := c.Store.Revision(r.Context(), r.PathValue("job"), number)
	if err != nil {
		c.Fail(w, r, err)
		return
	}
	if _, _, problems, err := c.BringIn(r.Context(), revision, list); err != nil || len(problems) > 0 {
		if err == nil {
			err = &frame.Refused{Status: http.StatusUnprocessableEntity, What: problems[0].What, Do: problems[0].Do}
		}
		c.Fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/jobs/"+url.PathEscape(r.PathValue("job"))+"/choose?"+url.Values{"wall": {r.FormValue("wall")}}.Encode(), http.StatusSeeOther)
}

// Measured reads the colours out of a file of an instrument, as a job holds them. The kind
// of the file is told by what is in it; its name goes with the colours.
func Measured(name string, src []byte) ([]job.Measured, error) {
	samples, _, faults := measured.Read(name, src)
	if len(faults) > 0 || len(samples) == 0 || len(samples) > mostColours {
		what := "the file holds no measured colours, or too many"
		if len(faults) > 0 {
			what = faults[0].String()
		}
		return nil, &frame.Refused{Status: http.StatusUnprocessableEntity, What: what, Do: "export the colours as CGATS text, CxF3 or CSV"}
	}
	var list []job.Measured
	for i, s := range samples {
		list = append(list, s.ForJob(i, name))
	}
	return list, nil
}
