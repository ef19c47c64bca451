package appearance

import (
	"bytes"
	"context"
	"errors"
	"image"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"scumble/appearance/colour"
	"scumble/appearance/finish"
	"scumble/appearance/internal/finishtest"
	"scumble/appearance/stroke"
	"scumble/geom"
	"scumble/job"
	"scumble/setout"
	"scumble/unit"
)

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

// Every technique shows the same pixels in any crop, on one core, two or three, with one
// sample or several, across the borders of the bands that are worked at a time.
func TestSamePixelsHoweverPainted(t *testing.T) {
	t.Parallel()
	p := demo(t)
	for _, w := range finishtest.Ways(p.catalog) {
		f := made(t, p.catalog, w, p.catalog.Techniques[w.Technique].Glazes[0])
		wall := BoardWall(f, p.catalog, "pixels", 900, 700)
		for _, o := range []Options{{Scale: 0.5, Samples: 1, Workers: 1}, {Scale: 0.2, Samples: 3, Workers: 3}} {
			whole := paint(t, wall, o)
			if whole.Image.Rect.Dy() <= band {
				t.Fatal("a picture of one band")
			}
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
	t.Parallel()
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
// 4 mm to one of half a mm, in every technique. It is also the mean told in figures.
func TestMeanColourAcrossScales(t *testing.T) {
	t.Parallel()
	p := demo(t)
	for _, w := range finishtest.Ways(p.catalog) {
		f := made(t, p.catalog, w, p.catalog.Techniques[w.Technique].Glazes[0])
		f.Glazes[len(f.Glazes)-1].Flake = nil // figures are without the gleam of flakes
		width := 800.0
		if strips := f.Technique.StripWidth; strips != nil {
			width = 4 * strips.Wanted.Likely // as much of one ground as of the other
		}
		wall := BoardWall(f, p.catalog, "scales", width, 600)
		film, err := wall.Faces[0].film(false)
		if err != nil {
			t.Fatal(err)
		}
		want := finish.SwatchOfFilm(f, film).Whole.Lab
		least, most := math.Inf(1), 0.0
		for _, scale := range []float64{0.25, 0.5, 1, 2} {
			got := mean(paint(t, wall, Options{Scale: scale}).Image)
			d := colour.DeltaE(got, want)
			if d > 0.5 {
				t.Errorf("%v: the mean at %g px/mm is %.2f CIEDE2000 from that of the figures", w, scale, d)
			}
			least, most = min(least, got.L), max(most, got.L)
		}
		if most-least > 0.5 {
			t.Errorf("%v: L* from %.2f to %.2f across scales", w, least, most)
		}
	}
}

// Strips wear the ground they were set out in, and the joint falls on the pixel where it
// was marked: left of it the wall is that over one ground alone, right of it that over the
// other, byte for byte. Joints are worked out from the marks the tape is read by, and lean
// with a leaning corner.
func TestStripsWearTheirGround(t *testing.T) {
	p := demo(t)
	shared := *p.job
	shared.Finishes = slices.Clone(p.job.Finishes)
	for i := range shared.Finishes {
		if shared.Finishes[i].ID == "weave-sage" {
			shared.Finishes[i].Strips.Lines = "shared"
		}
	}
	var err error
	if p.setOut, err = setout.Divide(p.survey, &shared, p.catalog); err != nil {
		t.Fatal(err)
	}
	joints, leaning := 0, 0
	for _, id := range []string{"Breakfast room/North", "Breakfast room/East", "Breakfast room/West"} {
		wall := p.wall(t, id)
		face := wall.Faces[0]
		_, _, strips := p.setOut.Of(face.ID)
		if strips == nil || len(strips.Marks) == 0 {
			t.Fatalf("%s has no strips", id)
		}
		high := face.Region.Bounds().Max.Y - 30
		o := Options{Scale: 1, Samples: 1, Crop: geom.Bounds{Min: geom.Point{X: wall.Bounds.Min.X, Y: high - 20}, Max: geom.Point{X: wall.Bounds.Max.X, Y: high}}}
		over := func(a, b int) *image.RGBA {
			alone, f := *wall, *face.Finish
			f.Grounds = []finish.Ground{face.Finish.Grounds[a], face.Finish.Grounds[b]}
			alone.Faces = slices.Clone(wall.Faces)
			alone.Faces[0].Finish = &f
			return paint(t, &alone, o).Image
		}
		pic, onlyA, onlyB := paint(t, wall, o), over(0, 0), over(1, 1)
		for py := range pic.Image.Rect.Dy() {
			y := pic.Shown.Max.Y - float64(py) - 0.5
			for px := range pic.Image.Rect.Dx() {
				x := pic.Shown.Min.X + float64(px) + 0.5
				wears := strips.Marks[0].Left
				for _, m := range strips.Marks {
					foot, head := m.Joint(unit.Length(face.Height))
					if x >= foot.X+(head.X-foot.X)*(y-foot.Y)/(head.Y-foot.Y) {
						wears = m.Right
					}
				}
				want := map[string]*image.RGBA{"A": onlyA, "B": onlyB}[wears].RGBAAt(px, py)
				if got := pic.Image.RGBAAt(px, py); got != want {
					t.Fatalf("%s at (%g, %g): %v, but the ground %s there gives %v", id, x, y, got, wears, want)
				}
			}
		}
		joints += len(strips.Marks)
		for _, m := range strips.Marks {
			if abs(int(m.Head-m.Foot)) >= 2 {
				leaning++
			}
		}
		if bytes.Equal(onlyA.Pix, onlyB.Pix) {
			t.Errorf("%s: the grounds cannot be told apart", id)
		}
	}
	if joints < 10 || leaning == 0 {
		t.Errorf("only %d joints, %d of them leaning", joints, leaning)
	}
}

// Openings, skirting and walls without a finish stay bare; the finish covers the rest, to
// the pixel.
func TestFinishKeepsToItsField(t *testing.T) {
	p := demo(t)
	openings, parted := 0, 0
	for r := range p.survey.Rooms {
		for w := range p.survey.Rooms[r].Walls {
			measured := &p.survey.Rooms[r].Walls[w]
			if len(measured.Faces) == 0 {
				continue
			}
			wall := p.wall(t, measured.ID)
			pic := paint(t, wall, Options{Scale: 0.04, Samples: 1})
			look := func(at geom.Point) (isBare, shown bool) {
				x, y := int(math.Floor((at.X-pic.Shown.Min.X)*0.04)), int(math.Floor((pic.Shown.Max.Y-at.Y)*0.04))
				return pic.Image.RGBAAt(x, y) == bare, image.Pt(x, y).In(pic.Image.Rect)
			}
			for y := range pic.Image.Rect.Dy() {
				for x := range pic.Image.Rect.Dx() {
					at := geom.Point{X: pic.Shown.Min.X + (float64(x)+0.5)*25, Y: pic.Shown.Max.Y - (float64(y)+0.5)*25}
					inside := slices.ContainsFunc(wall.Faces, func(f Face) bool { return f.Region.Contains(at) })
					if isBare, _ := look(at); inside == isBare {
						t.Fatalf("%s at %v: in the field %v, bare %v", wall.ID, at, inside, isBare)
					}
				}
			}
			for _, o := range measured.Openings {
				b := o.Outline.Bounds()
				isBare, shown := look(geom.Point{X: (b.Min.X + b.Max.X) / 2, Y: (b.Min.Y + b.Max.Y) / 2})
				if shown && !isBare {
					t.Errorf("%s: the middle of %s is painted", wall.ID, o.Name)
				}
				openings++
			}
			if isBare, _ := look(geom.Point{X: (wall.Bounds.Min.X + wall.Bounds.Max.X) / 2, Y: 13}); measured.Skirting > 50 && !isBare {
				t.Errorf("%s: the skirting is painted", wall.ID)
			}
			if measured.Dado > 0 {
				parted++
			}
		}
	}
	if openings < 5 || parted == 0 {
		t.Errorf("%d openings and %d dados were looked at", openings, parted)
	}
}

// A pixel that the edge of a finish crosses shows as much of its light as it holds of it.
func TestEdgesMixLight(t *testing.T) {
	p := demo(t)
	wall := BoardWall(made(t, p.catalog, finishtest.Way{Technique: "palette-knife"}, "oil-glaze"), p.catalog, "edge", 505, 505)
	img := paint(t, wall, Options{Scale: 0.1, Samples: 40}).Image
	light := func(rect image.Rectangle) (sum colour.RGB) {
		n := float64(rect.Dx() * rect.Dy())
		for y := rect.Min.Y; y < rect.Max.Y; y++ {
			for x := rect.Min.X; x < rect.Max.X; x++ {
				c := img.RGBAAt(x, y)
				at := colour.FromBytes(c.R, c.G, c.B)
				sum.R, sum.G, sum.B = sum.R+at.R/n, sum.G+at.G/n, sum.B+at.B/n
			}
		}
		return sum
	}
	full, edge, none := light(image.Rect(45, 5, 50, 46)), light(image.Rect(50, 5, 51, 46)), colour.FromBytes(bare.R, bare.G, bare.B)
	for _, c := range [][3]float64{{full.R, edge.R, none.R}, {full.G, edge.G, none.G}, {full.B, edge.B, none.B}} {
		if want := (c[0] + c[2]) / 2; math.Abs(c[1]-want) > 0.03 {
			t.Errorf("half a pixel of %.3f on %.3f shows %.3f", c[0], c[2], c[1])
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

// Flakes brighten a metallic glaze, and show in the upper of two glazes alone.
func TestFlakes(t *testing.T) {
	p := demo(t)
	o := Options{Scale: 0.2}
	for _, technique := range []string{"dragging", "cross-drag-weave", "two-tone-sponge-blend"} {
		shiny := made(t, p.catalog, finishtest.Way{Technique: technique}, "metallic-glaze")
		dull := *shiny
		dull.Glazes = slices.Clone(shiny.Glazes)
		for i := range dull.Glazes {
			dull.Glazes[i].Flake = nil
		}
		if a, b := mean(paint(t, BoardWall(shiny, p.catalog, "x", 400, 400), o).Image), mean(paint(t, BoardWall(&dull, p.catalog, "x", 400, 400), o).Image); a.L <= b.L+1 {
			t.Errorf("%s: L* %.1f with flakes, %.1f without", technique, a.L, b.L)
		}
	}
	weave := made(t, p.catalog, finishtest.Way{Technique: "cross-drag-weave"}, "metallic-glaze")
	if weave.Glazes[0].Flake != nil || weave.Glazes[1].Flake == nil {
		t.Error("of two glazes the upper one alone shows its flakes")
	}
	// A place of 11 mm holds 100 cells of flakes, whose mean strays a tenth as far as one.
	for _, pitch := range []float32{1, 11} {
		var sum, most float64
		g := (&palette{}).glintsAt(7, pitch)
		for i := range 2000 {
			off := float64(g.at(float32(i)*sparkle+0.5)) - 1
			sum, most = sum+off, max(most, math.Abs(off))
		}
		if wide := 0.55 / float64(max(1, pitch/sparkle)); most > wide+1e-6 || most < 0.9*wide || math.Abs(sum/2000) > 0.05*wide {
			t.Errorf("at %g mm flakes stray by %.3f, on the mean by %.3f", pitch, most, sum/2000)
		}
	}
	// Cells of flakes average out: the mean with flakes is the same at any scale.
	wall := BoardWall(made(t, p.catalog, finishtest.Way{Technique: "dragging"}, "metallic-glaze"), p.catalog, "x", 400, 400)
	if a, b := mean(paint(t, wall, Options{Scale: 1}).Image), mean(paint(t, wall, Options{Scale: 0.1}).Image); colour.DeltaE(a, b) > 0.5 {
		t.Errorf("flakes at 1 px/mm %v, at 0.1 %v", a, b)
	}
}

// A relief is lit from the upper left as Lambert 1760 has it: by the cosine of light and
// surface, over that of a flat wall.
func TestReliefIsLit(t *testing.T) {
	p := demo(t)
	wall := BoardWall(made(t, p.catalog, finishtest.Way{Technique: "tissue-relief"}, "oil-glaze"), p.catalog, "r", 300, 300)
	face := &wall.Faces[0]
	film, err := face.film(false)
	if err != nil || !film.HasRelief() {
		t.Fatalf("tissue has no relief: %v", err)
	}
	o := Options{Scale: 1, Samples: 1}
	img := paint(t, wall, o).Image
	colours, err := newPalette(face.Finish, o)
	if err != nil {
		t.Fatal(err)
	}
	tile := stroke.Grid(0, 0, 300, 300, 1)
	film.Fill(tile)
	light := [3]float64{-0.45, 0.5, 0.74}
	toward, away := 0, 0
	flat := make([]float32, 3)
	for y := 1; y < 299; y++ {
		for x := 1; x < 299; x++ {
			k := 300*y + x
			normal := [3]float64{-float64(tile.Relief[k+1]-tile.Relief[k-1]) / 2, -float64(tile.Relief[k+300]-tile.Relief[k-300]) / 2, 1}
			cosine := (normal[0]*light[0] + normal[1]*light[1] + light[2]) / math.Hypot(math.Hypot(normal[0], normal[1]), 1)
			colours.look(flat, nil, 0, tile.First[k:k+1], nil, tile.X[x:x+1], tile.Y[y], 1)
			lit := math.Max(0.35, cosine/0.74)
			if lit > 1.03 {
				toward++
			} else if lit < 0.97 {
				away++
			}
			want, got := int(colour.EncodeByte(float64(flat[1])*lit)), int(img.RGBAAt(x, 299-y).G)
			if abs(want-got) > 1 {
				t.Fatalf("at (%d, %d): green %d, the light on the slope gives %d", x, y, got, want)
			}
		}
	}
	if toward < 1000 || away < 1000 {
		t.Errorf("%d places face the light, %d turn from it", toward, away)
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
	midway, stop := context.WithCancel(context.Background())
	bands := 0
	half, err := Paint(midway, p.wall(t, "Dining room/East"), Options{Scale: 0.2, Workers: 1, Progress: func(done, all int) {
		bands++
		stop()
	}})
	if !errors.Is(err, context.Canceled) || half != nil || bands != 1 {
		t.Errorf("stopped after a band: %v, %d bands", err, bands)
	}
	rows := 0
	pic, err := Paint(context.Background(), p.wall(t, "Dining room/East"), Options{Scale: 0.05, Workers: 1, Progress: func(done, all int) { rows = done }})
	if err != nil || rows != pic.Image.Rect.Dy() {
		t.Errorf("told of %d rows: %v", rows, err)
	}
}

// Every kind of lamp a job may name, for itself, a room or a reading, is a light the
// colours know.
func TestLampsOfTheJobAreKnown(t *testing.T) {
	for of, field := range map[reflect.Type]string{reflect.TypeFor[job.Job](): "Lamps", reflect.TypeFor[job.Room](): "Lamps", reflect.TypeFor[job.Measured](): "Under"} {
		f, ok := of.FieldByName(field)
		ids := strings.Split(f.Tag.Get("one"), "|")
		if !ok || len(ids) < 2 {
			t.Errorf("%v.%s: only %v", of, field, ids)
		}
		for _, id := range append(ids, f.Tag.Get("default")) {
			if _, known := colour.LightByID(id); !known && id != "" {
				t.Errorf("%v.%s may be %s, which package colour does not know", of, field, id)
			}
		}
	}
}
