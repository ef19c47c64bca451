package appearance

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"image"
	"maps"
	"math"
	"math/cmplx"
	"reflect"
	"slices"
	"strings"
	"testing"

	"scumble/appearance/colour"
	"scumble/geom"
	"scumble/job"
)

func sortedKeys[K cmp.Ordered, V any](m map[K]V) []K { return slices.Sorted(maps.Keys(m)) }

// same reports whether a crop shows the very pixels of the whole.
func same(whole, part *Picture, scale float64) bool {
	dx := int(math.Round((part.Shown.Min.X - whole.Shown.Min.X) * scale))
	dy := int(math.Round((whole.Shown.Max.Y - part.Shown.Max.Y) * scale))
	for y := range part.Image.Rect.Dy() {
		a := whole.Image.PixOffset(dx, dy+y)
		b := part.Image.PixOffset(0, y)
		if !bytes.Equal(whole.Image.Pix[a:a+4*part.Image.Rect.Dx()], part.Image.Pix[b:b+4*part.Image.Rect.Dx()]) {
			return false
		}
	}
	return true
}

// Every technique shows the same pixels in any crop, on one core or three, with one
// sample or several.
func TestSamePixelsHoweverPainted(t *testing.T) {
	p := demo(t)
	for _, w := range ways(p.catalog) {
		f := w.finish(t, p.catalog, p.catalog.Techniques[w.technique].Glazes[0])
		wall := BoardWall(f, p.catalog, "pixels", 900, 700)
		for _, o := range []Options{{Scale: 0.5, Samples: 1, Workers: 1}, {Scale: 0.13, Samples: 4, Workers: 3}} {
			whole := paint(t, wall, o)
			o.Workers = 2
			o.Crop = box(213, 101, 317, 451)
			if part := paint(t, wall, o); !same(whole, part, o.Scale) {
				t.Errorf("%v at %g: a crop shows other pixels", w, o.Scale)
			}
			o.Crop = geom.Bounds{}
			// Another wall of the same name and size works its film anew.
			if again := paint(t, BoardWall(f, p.catalog, "pixels", 900, 700), o); !bytes.Equal(whole.Image.Pix, again.Image.Pix) {
				t.Errorf("%v at %g: painted again it differs", w, o.Scale)
			}
		}
	}
}

// A wall with openings, a dado, slopes or strips is the same in crops too.
func TestSamePixelsOnRealWalls(t *testing.T) {
	p := demo(t)
	for _, id := range []string{"Breakfast room/North", "Dining room/East", "Landing/Long", "Tern room/Gable"} {
		wall := p.wall(t, id)
		for _, samples := range []int{1, 2} {
			o := Options{Scale: 0.2, Samples: samples}
			whole := paint(t, wall, o)
			o.Crop = box(611, 402, 777, 999)
			if part := paint(t, wall, o); !same(whole, part, o.Scale) {
				t.Errorf("%s, %d samples: a crop shows other pixels", id, samples)
			}
		}
	}
}

// mean is the mean linear light of a picture, as CIELAB.
func mean(img *image.RGBA) colour.Lab {
	var sum colour.RGB
	n := float64(img.Rect.Dx() * img.Rect.Dy())
	for k := 0; k < len(img.Pix); k += 4 {
		c := colour.FromBytes(img.Pix[k], img.Pix[k+1], img.Pix[k+2])
		sum.R += c.R / n
		sum.G += c.G / n
		sum.B += c.B / n
	}
	return sum.Lab()
}

// The mean colour does not depend on the scale: within 0.5 CIEDE2000 from a pixel of
// 8 mm to one of 1 mm, in every technique. It is also the mean told in figures.
func TestMeanColourAcrossScales(t *testing.T) {
	p := demo(t)
	for _, w := range ways(p.catalog) {
		f := w.finish(t, p.catalog, p.catalog.Techniques[w.technique].Glazes[0])
		f.Glazes[len(f.Glazes)-1].Flake = nil // figures are without the gleam of flakes
		wall := BoardWall(f, p.catalog, "scales", 1600, 896)
		fine := mean(paint(t, wall, Options{Scale: 1, Samples: 1}).Image)
		for _, scale := range []float64{0.125, 0.25, 0.5} {
			o := Options{Scale: scale}
			if scale < 0.2 {
				o.Samples = 12 // so that what is compared is the mean, and not the luck of few samples
			}
			if d := colour.DeltaE(fine, mean(paint(t, wall, o).Image)); d > 0.5 {
				t.Errorf("%v: the mean at %g px/mm differs by %.2f CIEDE2000", w, scale, d)
			}
		}
		film, err := wall.Faces[0].film(false)
		if err != nil {
			t.Fatal(err)
		}
		if f.Technique.ID == "tissue-relief" {
			continue // its relief is lit in the picture, and not in the figures
		}
		if whole := swatch(f, filmsOf(film), nil).Whole; colour.DeltaE(fine, whole.Lab) > 1 { // figures look a little more sharply than a pixel of 1 mm
			t.Errorf("%v: the picture is %v on the whole, the figures say %v", w, fine, whole.Lab)
		}
	}
}

// No pattern repeats over a wall of 10 by 3 m: the lightness, seen in pixels of 20 mm,
// correlates with itself at no shift beyond 300 mm by more than 6 standard deviations
// of what chance gives. Rows of combing and strips are meant to repeat, and lines go on
// along themselves.
func TestNoRepeatIsSeen(t *testing.T) {
	p := demo(t)
	for _, w := range ways(p.catalog) {
		if w.technique == "combing" || w.technique == "cross-drag-weave" {
			continue
		}
		f := w.finish(t, p.catalog, p.catalog.Techniques[w.technique].Glazes[0])
		img := paint(t, BoardWall(f, p.catalog, "repeat", 10000, 3000), Options{Scale: 0.05, Samples: 4}).Image
		lines := w.technique == "dragging"
		if z, dx, dy := strongestRepeat(img, lines, lines && w.variation != ""); z > 6 {
			t.Errorf("%v: repeats after (%d, %d) mm, %.1f sigma", w, 20*dx, 20*dy, z)
		}
	}
}

// strongestRepeat is the greatest correlation of the lightness with itself, over what
// chance would give, among shifts of 300 mm and more; upright and level lines are not
// looked at along themselves. The deviation is that of Bartlett 1946: a sum over the
// squared correlations at short shifts.
func strongestRepeat(img *image.RGBA, upright, level bool) (z float64, dx, dy int) {
	const wide, high, near = 1024, 512, 15
	w, h := img.Rect.Dx(), img.Rect.Dy()
	v := make([]float64, w*h)
	for k := range v {
		v[k] = float64(img.Pix[4*k+1])
	}
	flatten(v, w, h)
	plane := make([]complex128, wide*high)
	for j := range h {
		for i := range w {
			plane[j*wide+i] = complex(v[j*w+i], 0)
		}
	}
	fourier2(plane, wide, high)
	for k, c := range plane {
		plane[k] = complex(real(c)*real(c)+imag(c)*imag(c), 0)
	}
	fourier2(plane, wide, high) // the transform of an even plane is its own inverse
	at := func(i, j int) float64 { return real(plane[(j+high)%high*wide+(i+wide)%wide]) / real(plane[0]) }
	together := 0.0
	for j := -near; j <= near; j++ {
		for i := -near; i <= near; i++ {
			together += at(i, j) * at(i, j)
		}
	}
	for j := range h / 2 {
		for i := -w / 2; i < w/2; i++ {
			if i*i+j*j < near*near || upright && abs(i) < near || level && j < near {
				continue
			}
			overlap := float64((w - abs(i)) * (h - j))
			sigma := math.Sqrt(together/overlap) * overlap / float64(w*h)
			if c := at(i, j); c/sigma > z {
				z, dx, dy = c/sigma, i, j
			}
		}
	}
	return z, dx, dy
}

// fourier2 transforms a plane in place.
func fourier2(plane []complex128, w, h int) {
	for j := range h {
		fourier(plane[j*w : (j+1)*w])
	}
	column := make([]complex128, h)
	for i := range w {
		for j := range h {
			column[j] = plane[j*w+i]
		}
		fourier(column)
		for j := range h {
			plane[j*w+i] = column[j]
		}
	}
}

// fourier is the discrete transform of a power of two of values (Cooley and Tukey 1965).
func fourier(v []complex128) {
	n := len(v)
	if n == 1 {
		return
	}
	even, odd := make([]complex128, n/2), make([]complex128, n/2)
	for i := range even {
		even[i], odd[i] = v[2*i], v[2*i+1]
	}
	fourier(even)
	fourier(odd)
	for i := range even {
		turned := cmplx.Rect(1, -2*math.Pi*float64(i)/float64(n)) * odd[i]
		v[i], v[i+n/2] = even[i]+turned, even[i]-turned
	}
}

func abs(i int) int { return max(i, -i) }

// flatten takes out the mean of every column and row: upright lines go on for ever,
// and ends at ceiling and skirting are meant.
func flatten(v []float64, w, h int) {
	for range 2 {
		for i := range w {
			m := 0.0
			for j := range h {
				m += v[j*w+i] / float64(h)
			}
			for j := range h {
				v[j*w+i] -= m
			}
		}
		for j := range h {
			m := 0.0
			for i := range w {
				m += v[j*w+i] / float64(w)
			}
			for i := range w {
				v[j*w+i] -= m
			}
		}
	}
}

// Strips wear the ground they were set out in, and their joint falls where it was marked.
func TestStripsWearTheirGround(t *testing.T) {
	p := demo(t)
	wall := p.wall(t, "Breakfast room/North")
	face := wall.Faces[0]
	y := 1400.0
	for n, joint := range face.joints(nil, float32(y)) {
		left := mean(paint(t, wall, Options{Scale: 1, Samples: 1, Crop: box(float64(joint)-45, y-200, 40, 400)}).Image)
		right := mean(paint(t, wall, Options{Scale: 1, Samples: 1, Crop: box(float64(joint)+5, y-200, 40, 400)}).Image)
		if lighter := left.L > right.L; lighter != (face.Strips[n].Colour == "A") {
			t.Errorf("joint %d: left L* %.1f, right %.1f, but the left strip is %s", n+1, left.L, right.L, face.Strips[n].Colour)
		}
	}
}

// Openings, skirting and undecorated walls stay bare; the finish covers the rest.
func TestFinishKeepsToItsField(t *testing.T) {
	p := demo(t)
	wall := p.wall(t, "Dining room/East")
	pic := paint(t, wall, Options{Scale: 0.1, Samples: 1})
	for y := range pic.Image.Rect.Dy() {
		for x := range pic.Image.Rect.Dx() {
			at := geom.Point{X: pic.Shown.Min.X + (float64(x)+0.5)*10, Y: pic.Shown.Max.Y - (float64(y)+0.5)*10}
			if inside, isBare := wall.Faces[0].Region.Contains(at), pic.Image.RGBAAt(x, y) == bare; inside == isBare {
				t.Fatalf("at %v: in the field %v, bare %v", at, inside, isBare)
			}
		}
	}
}

// A lost wet edge shows at the joints of sections, darker, and nowhere else.
func TestLostEdge(t *testing.T) {
	p := demo(t)
	wall := p.wall(t, "Heron room/South")
	joints := uprightJoints(wall.Faces[0].panel.Sections)
	if len(joints) == 0 {
		t.Fatal("no joints between sections")
	}
	kept, lost := paint(t, wall, Options{Scale: 0.1}), paint(t, wall, Options{Scale: 0.1, Lost: true})
	changed, darker := 0, 0
	for k := 0; k < len(kept.Image.Pix); k += 4 {
		if a, b := int(kept.Image.Pix[k]), int(lost.Image.Pix[k]); abs(a-b) > 6 {
			x := kept.Shown.Min.X + (float64(k/4%kept.Image.Rect.Dx())+0.5)*10
			near := slices.ContainsFunc(joints, func(s geom.Segment) bool { return math.Abs(s.A.X-x) < 60 })
			if !near {
				t.Fatalf("the wall differs at %.0f mm, away from every joint", x)
			}
			changed++
			if b < a {
				darker++
			}
		}
	}
	if changed < 20 || darker < changed*9/10 {
		t.Errorf("%d pixels differ, %d of them darker", changed, darker)
	}
}

// Lamps turn colours for an adapted eye a little, and for a fresh one to their cast.
func TestLamps(t *testing.T) {
	p := demo(t)
	wall := p.wall(t, "Heron room/South")
	o := Options{Scale: 0.05, Crop: box(200, 1200, 800, 800)}
	byDay := mean(paint(t, wall, o).Image)
	o.Light = "LED-B1"
	adapted := mean(paint(t, wall, o).Image)
	o.Fresh = true
	fresh := mean(paint(t, wall, o).Image)
	if d := colour.DeltaE(byDay, adapted); d == 0 || d > 6 {
		t.Errorf("an adapted eye sees a change of %.2f", d)
	}
	if fresh.B < byDay.B+15 {
		t.Errorf("warm light has no cast: b* %.1f by day, %.1f fresh", byDay.B, fresh.B)
	}
	warm, _ := colour.LightByID("LED-B1")
	o.Light, o.Lamp = "", &warm
	if again := mean(paint(t, wall, o).Image); again != fresh {
		t.Error("a lamp given as a spectrum shows other colours than by its name")
	}
}

// Flakes brighten a metallic glaze; relief is lit, so it is not flat.
func TestFlakesAndRelief(t *testing.T) {
	p := demo(t)
	w := way{"dragging", ""}
	shiny := w.finish(t, p.catalog, "metallic-glaze")
	if shiny.Glazes[0].Flake == nil {
		t.Fatal("a metallic glaze has no flakes")
	}
	dull := *shiny
	dull.Glazes = slices.Clone(shiny.Glazes)
	dull.Glazes[0].Flake = nil
	o := Options{Scale: 0.2}
	if a, b := mean(paint(t, BoardWall(shiny, p.catalog, "x", 400, 400), o).Image), mean(paint(t, BoardWall(&dull, p.catalog, "x", 400, 400), o).Image); a.L <= b.L+1 {
		t.Errorf("L* %.1f with flakes, %.1f without", a.L, b.L)
	}
	weave := way{"cross-drag-weave", ""}.finish(t, p.catalog, "metallic-glaze")
	if weave.Glazes[0].Flake != nil || weave.Glazes[1].Flake == nil {
		t.Error("of two glazes the upper one alone shows its flakes")
	}
	film, err := BoardWall(way{"tissue-relief", ""}.finish(t, p.catalog, "oil-glaze"), p.catalog, "r", 400, 400).Faces[0].film(false)
	if err != nil || !film.HasRelief() {
		t.Errorf("tissue has no relief: %v", err)
	}
}

func TestWhatCannotBePainted(t *testing.T) {
	p := demo(t)
	if _, err := Of(p.job, p.catalog, p.survey, p.setOut, "Attic/North"); err == nil || !strings.Contains(err.Error(), "Dining room/East") {
		t.Errorf("an unknown wall: %v", err)
	}
	if _, err := Paint(context.Background(), p.wall(t, "Dining room/East"), Options{Light: "moon"}); err == nil || !strings.Contains(err.Error(), "LED-B1") {
		t.Errorf("an unknown light: %v", err)
	}
	for _, o := range []Options{{Scale: 500}, {Scale: 1, Crop: box(0, 0, 1e9, 1e9)}} {
		if _, err := Paint(context.Background(), p.wall(t, "Dining room/East"), o); err == nil || !strings.Contains(err.Error(), "pixels") {
			t.Errorf("%+v: %v", o, err)
		}
	}
	stopped, stop := context.WithCancel(context.Background())
	stop()
	if _, err := Paint(stopped, p.wall(t, "Dining room/East"), Options{Scale: 0.1}); !errors.Is(err, context.Canceled) {
		t.Errorf("a stopped picture: %v", err)
	}
	rows := 0
	pic, err := Paint(context.Background(), p.wall(t, "Dining room/East"), Options{Scale: 0.05, Workers: 1, Progress: func(done, all int) { rows = done }})
	if err != nil || rows != pic.Image.Rect.Dy() {
		t.Errorf("told of %d rows: %v", rows, err)
	}
}

// Every kind of lamp a job may name is a light the colours know.
func TestLampsOfTheJobAreKnown(t *testing.T) {
	field, _ := reflect.TypeFor[job.Job]().FieldByName("Lamps")
	ids := strings.Split(field.Tag.Get("one"), "|")
	if len(ids) < 15 {
		t.Errorf("only %v", ids)
	}
	for _, id := range ids {
		if _, ok := colour.LightByID(id); !ok {
			t.Errorf("a job may name the lamps %s, which package colour does not know", id)
		}
	}
}
