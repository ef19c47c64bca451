package raster

import (
	"image"
	"image/color"
	"math"
	"testing"

	"pgregory.net/rapid"

	"scumble/draw/outline"
)

// inkArea is the area in pixels that black covers on a white picture.
func inkArea(im *image.RGBA) float64 {
	sum := 0.0
	for i := 0; i < len(im.Pix); i += 4 {
		sum += 1 - float64(im.Pix[i])/255
	}
	return sum
}

// A square ring of two contours that turn the same way: a hole by one rule only.
func TestRulesDifferInTheHole(t *testing.T) {
	square := func(o outline.Outline, at, side float64) outline.Outline {
		return o.Move(at, at).Line(at+side, at).Line(at+side, at+side).Line(at, at+side).Close()
	}
	ring := square(square(nil, 2, 16), 5, 6)
	for rule, want := range map[Rule]float64{EvenOdd: 256 - 36, NonZero: 256} {
		c := New(20, 20)
		c.Fill(ring, rule, color.Black, c.Whole(outline.Transform{}))
		if got := inkArea(c.Image()); math.Abs(got-want) > 1e-6 {
			t.Errorf("even-odd %v covers %.2f pixels, want %.0f", rule, got, want)
		}
	}
}

// A clip seen through another lets only what lies in both be painted, and a
// placing enlarges areas by its determinant.
func TestClipsAndPlacings(t *testing.T) {
	box := func(x, y, w, h float64) outline.Outline {
		return outline.Outline{}.Move(x, y).Line(x+w, y).Line(x+w, y+h).Line(x, y+h).Close()
	}
	c := New(40, 40)
	w := c.Clipped(box(0, 0, 10, 20), c.Whole(outline.Transform{A: 2, D: 2}))
	w = c.Clipped(box(0, 0, 20, 6), w.Placed(outline.Transform{A: 1, D: 1, E: 1}))
	c.Stroke(outline.Outline{}.Move(0, 5).Line(15, 5), outline.Pen{Width: 4}, color.Black, w)
	// in clip coordinates 9 wide (1 to 10, shifted) and 3 high (3 to 6), enlarged twice both ways
	if got, want := inkArea(c.Image()), 9.0*3*4; math.Abs(got-want) > 1e-6 {
		t.Errorf("%.2f pixels, want %.0f", got, want)
	}
}

func TestCoverageIsTheAreaOfTheTriangle(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		coordinate := rapid.Float64Range(0, 30)
		var tri []outline.Point
		for range 3 {
			tri = append(tri, pt(coordinate.Draw(rt, "x"), coordinate.Draw(rt, "y")))
		}
		var c coverage
		c.reset(image.Rect(0, 0, 30, 30))
		c.add(tri)
		sum := 0.0
		for _, v := range c.mask(Rule(rapid.Bool().Draw(rt, "even-odd"))).Pix {
			sum += float64(v) / 255
		}
		if want := math.Abs(area(tri)); math.Abs(sum-want) > 0.3 { // 8-bit rounding of edge pixels
			rt.Fatalf("%v covers %.3f pixels, want %.3f", tri, sum, want)
		}
	})
}

func TestDashesAddUp(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		pattern := rapid.SliceOfN(rapid.Float64Range(0.5, 5), 2, 4).Draw(rt, "pattern")
		phase := rapid.Float64Range(-20, 20).Draw(rt, "phase")
		length := rapid.Float64Range(1, 100).Draw(rt, "length")
		lines := dashed([]outline.Chain{{Points: []outline.Point{{}, {X: length / 3}, {X: length}}}}, outline.Pen{Dash: pattern, Phase: phase})
		got := 0.0
		for _, l := range lines {
			got += l.Points[len(l.Points)-1].X - l.Points[0].X
		}
		full := append(append([]float64{}, pattern...), pattern...)[:len(pattern)+len(pattern)%2*len(pattern)]
		inked := func(x float64) float64 { // ink on the pattern from 0 to x
			total, on := 0.0, 0.0
			for i, d := range full {
				total += d
				if i%2 == 0 {
					on += d
				}
			}
			ink, rest := math.Floor(x/total)*on, x-math.Floor(x/total)*total
			for i, d := range full {
				if i%2 == 0 {
					ink += min(rest, d)
				}
				rest -= min(rest, d)
			}
			return ink
		}
		want := inked(phase+length) - inked(phase)
		if math.Abs(got-want) > 1e-6 {
			rt.Fatalf("dashes are %.4f mm long together, want %.4f", got, want)
		}
	})
}

// A picture that falls on the pixels of the canvas comes out as it went in, wherever
// its own corner lies and even where it sticks out.
func TestPictureOnItsPixels(t *testing.T) {
	pixels := image.NewRGBA(image.Rect(7, 3, 12, 9))
	for y := 3; y < 9; y++ {
		for x := 7; x < 12; x++ {
			pixels.SetRGBA(x, y, color.RGBA{uint8(20 * x), uint8(25 * y), 90, 255})
		}
	}
	c := New(8, 8)
	c.Picture(pixels, 1, 1, 2.5, 3, c.Whole(outline.Transform{A: 2, D: 2, E: 2, F: 1}))
	for y := range 8 {
		for x := range 8 {
			want := color.RGBA{255, 255, 255, 255}
			if x >= 4 && y >= 3 && x-4 < 5 && y-3 < 6 {
				want = pixels.RGBAAt(x-4+7, y-3+3)
			}
			if got := c.Image().RGBAAt(x, y); got != want {
				t.Errorf("(%d, %d): %v, want %v", x, y, got, want)
			}
		}
	}
}
