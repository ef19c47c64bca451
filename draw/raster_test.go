package draw

import (
	"image"
	"image/color"
	"math"
	"testing"
)

func painted(t testing.TB, f *Fonts, w, h, px float64, items ...Item) *image.RGBA {
	t.Helper()
	im, err := f.PNG(Page{W: w, H: h, Items: items}, px)
	if err != nil {
		t.Fatal(err)
	}
	return im
}

// inkArea is the area in mm² that black covers on a white picture.
func inkArea(im *image.RGBA, px float64) float64 {
	sum := 0.0
	for i := 0; i < len(im.Pix); i += 4 {
		sum += 1 - float64(im.Pix[i])/255
	}
	return sum / px / px
}

func wantArea(t *testing.T, what string, im *image.RGBA, px, want, tolerance float64) {
	t.Helper()
	if got := inkArea(im, px); math.Abs(got-want) > tolerance {
		t.Errorf("%s covers %.3f mm², want %.3f", what, got, want)
	}
}

func wantPixel(t *testing.T, im *image.RGBA, x, y int, want color.RGBA) {
	t.Helper()
	if got := im.RGBAAt(x, y); got != want {
		t.Errorf("pixel %d,%d is %v, want %v", x, y, got, want)
	}
}

func TestRectanglePixels(t *testing.T) {
	im := painted(t, NewFonts(), 10, 10, 4, Rect(2, 2, 4, 3.125).Filled(RGB(200, 100, 50)))
	wantPixel(t, im, 8, 8, color.RGBA{200, 100, 50, 255})
	wantPixel(t, im, 7, 8, color.RGBA{255, 255, 255, 255})
	wantPixel(t, im, 23, 19, color.RGBA{200, 100, 50, 255})
	wantPixel(t, im, 24, 19, color.RGBA{255, 255, 255, 255})
	// the lower edge lies at 20.5 pixels: half of white and half of the colour
	wantPixel(t, im, 10, 20, color.RGBA{228, 177, 152, 255})
}

func TestShapeAreas(t *testing.T) {
	f := NewFonts()
	const px = 8.0
	square := []Point{{X: 2, Y: 2}, {X: 18, Y: 2}, {X: 18, Y: 18}, {X: 2, Y: 18}}
	hole := []Point{{X: 5, Y: 5}, {X: 11, Y: 5}, {X: 11, Y: 11}, {X: 5, Y: 11}}
	pen := Ink(2, Black)
	for _, c := range []struct {
		what      string
		item      Item
		want      float64
		tolerance float64
	}{
		{"circle", Circle(10, 10, 7).Filled(Black), math.Pi * 49, 0.3},
		{"square with a hole turning the same way", Polygon(square, hole).Filled(Black), 256 - 36, 0.02},
		{"line", Line(3, 3, 15, 12, pen), 15 * 2, 0.05},
		{"line with round ends", Line(3, 3, 15, 12, Stroke{Width: 2, Colour: Black, Cap: RoundCap}), 30 + math.Pi, 0.06},
		{"line with square ends", Line(3, 3, 15, 12, Stroke{Width: 2, Colour: Black, Cap: Square}), 34, 0.05},
		{"round dot", Line(8, 8, 8, 8, Stroke{Width: 2, Colour: Black, Cap: RoundCap}), math.Pi, 0.05},
		{"frame with mitred corners", Rect(4, 4, 10, 8).Stroked(pen), 12*10 - 8*6, 0.05},
		{"frame with bevelled corners", Rect(4, 4, 10, 8).Stroked(Stroke{Width: 2, Colour: Black, Join: Bevel}), 72 - 4*0.5, 0.05},
		{"frame with round corners", Rect(4, 4, 10, 8).Stroked(Stroke{Width: 2, Colour: Black, Join: RoundJoin}), 72 - 4 + math.Pi, 0.06},
		{"dashes", Line(2, 5, 18, 5, pen.Dashed(2, 1)), (5*2 + 1) * 2, 0.05},
		{"dashes from a phase", Line(2, 5, 18, 5, Stroke{Width: 2, Colour: Black, Dash: []float64{2, 1}, Phase: 2.5}), (5*2 + 0.5) * 2, 0.05},
		{"ring", Circle(10, 10, 6).Stroked(pen), 2 * math.Pi * 6 * 2, 0.3},
		{"clip", Group{Clip: Rect(0, 0, 10, 20).Outline, Items: []Item{Rect(4, 4, 12, 5).Filled(Black)}}, 30, 0.02},
		{"clip in a clip", Group{Clip: Rect(0, 0, 10, 20).Outline, Items: []Item{Group{Clip: Rect(0, 0, 20, 6).Outline, Items: []Item{Rect(4, 4, 12, 5).Filled(Black)}}}}, 12, 0.02},
		{"turned square", Group{Place: Rotate(30).Then(Shift(10, 4)), Items: []Item{Rect(0, 0, 6, 6).Filled(Black)}}, 36, 0.05},
		{"half opaque", Rect(0, 0, 10, 10).Filled(Black.WithAlpha(0.5)), 50, 0.3},
		{"far off the page", Rect(-1e7, -1e7, 1e7+4, 2e7).Filled(Black), 80, 0.05},
		{"hatch", Hatch(Polygon(square, hole).Outline, 2, 45, Ink(0.2, Black)), (256 - 36) / 2 * 0.2, 1.2},
	} {
		wantArea(t, c.what, painted(t, f, 20, 20, px, c.item), px, c.want, c.tolerance)
	}
}

func TestMiterIsCutOffWhenLong(t *testing.T) {
	f := NewFonts()
	spike := func(x float64) *image.RGBA {
		return painted(t, f, 20, 30, 4, Polyline([]Point{{X: 10 - x, Y: 2}, {X: 10, Y: 20}, {X: 10 + x, Y: 2}}, Ink(2, Black)))
	}
	// sin(half angle) = 1/ratio; 4 is the limit. tan(half) = x/18: 5 mm gives 3.7, 4 mm 4.6.
	if im := spike(5); im.RGBAAt(40, 92).R > 128 {
		t.Error("a corner within the limit has no point")
	}
	if im := spike(4); im.RGBAAt(40, 84).R < 128 {
		t.Error("a corner beyond the limit has a point")
	}
}

func TestImageLiesTheRightWayUp(t *testing.T) {
	im := image.NewNRGBA(image.Rect(5, 5, 7, 7)) // bounds that do not start at 0
	im.SetNRGBA(5, 5, color.NRGBA{255, 0, 0, 255})
	im.SetNRGBA(6, 5, color.NRGBA{0, 255, 0, 255})
	im.SetNRGBA(5, 6, color.NRGBA{0, 0, 255, 255})
	im.SetNRGBA(6, 6, color.NRGBA{0, 0, 0, 0})
	got := painted(t, NewFonts(), 10, 10, 4, Image{Box: Box{1, 1, 8, 8}, Pixels: im})
	wantPixel(t, got, 5, 5, color.RGBA{255, 0, 0, 255})
	wantPixel(t, got, 34, 5, color.RGBA{0, 255, 0, 255})
	wantPixel(t, got, 5, 34, color.RGBA{0, 0, 255, 255})
	wantPixel(t, got, 34, 34, color.RGBA{255, 255, 255, 255})
	wantPixel(t, got, 2, 2, color.RGBA{255, 255, 255, 255})
}

func TestTextStandsOnItsBaseline(t *testing.T) {
	const px = 10.0
	im := painted(t, NewFonts(), 40, 20, px, Label(20, 12, "H", Style{Size: 20}, Centre))
	box := image.Rectangle{}
	for y := range im.Rect.Dy() {
		for x := range im.Rect.Dx() {
			if im.RGBAAt(x, y).R < 128 {
				box = box.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	capHeight := Style{Size: 20}.CapHeight() * px
	if box.Max.Y != 120 || math.Abs(float64(box.Dy())-capHeight) > 1 {
		t.Errorf("H reaches from %d to %d, want %.0f high down to 120", box.Min.Y, box.Max.Y, capHeight)
	}
	if mid := float64(box.Min.X+box.Max.X) / 2; math.Abs(mid-200) > 1 {
		t.Errorf("H is centred on %.1f, want 200", mid)
	}
}

func TestHaloIsPale(t *testing.T) {
	back := Rect(0, 0, 40, 20).Filled(RGB(120, 80, 40))
	plain := painted(t, NewFonts(), 40, 20, 4, back, Label(5, 12, "wet", Style{Size: 20}, Left))
	halo := painted(t, NewFonts(), 40, 20, 4, back, Text{At: Pt(5, 12), Text: "wet", Style: Style{Size: 20}, Halo: 0.6})
	white := func(im *image.RGBA) (n int) {
		for i := 0; i < len(im.Pix); i += 4 {
			if im.Pix[i+2] == 255 {
				n++
			}
		}
		return n
	}
	if white(plain) != 0 || white(halo) < 100 {
		t.Errorf("%d white pixels without a halo, %d with", white(plain), white(halo))
	}
}

func TestPNGRefusesImpossiblePages(t *testing.T) {
	f := NewFonts()
	for _, p := range []Page{{}, {W: 10, H: math.NaN()}, {W: 1e6, H: 1e6}, {W: -1, H: -1}} {
		if _, err := f.PNG(p, 4); err == nil {
			t.Errorf("page %g by %g was painted", p.W, p.H)
		}
	}
	if _, err := f.PNG(Page{W: 10, H: 10, Items: []Item{Image{Box: Box{0, 0, 5, 5}, JPEG: []byte("no"), Alt: "bad"}}}, 4); err == nil {
		t.Error("a damaged JPEG was painted")
	}
}

func TestBadNumbersPaintNothing(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	im := painted(t, NewFonts(), 10, 10, 4,
		Rect(nan, 0, 5, 5).Filled(Black), Circle(inf, 0, 1).Filled(Black), Line(nan, 0, 1, 1, Ink(1, Black)),
		Line(0, 0, 5, 5, Ink(nan, Black)), Hatch(Rect(0, 0, nan, 4).Outline, 1, 0, Ink(1, Black)),
		Label(nan, inf, "x", Style{Size: nan}, Centre), Image{Box: Box{nan, 0, 1, 1}, Pixels: texture(4, 4)},
		Group{Place: Transform{A: nan}, Items: []Item{Rect(0, 0, 5, 5).Filled(Black)}})
	wantArea(t, "nothing", im, 4, 0, 1e-9)
}
