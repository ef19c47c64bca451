package appearance

import (
	"testing"

	"scumble/appearance/colour"
	"scumble/appearance/finish"
)

// A seamless piece goes on without a seam: across its edge it changes no more than
// within, and strips and motifs come in whole repeats.
func TestSeamless(t *testing.T) {
	p := demo(t)
	for _, id := range []string{"drag-slate", "weave-sage", "frottage-madder", "comb-teal", "comb-square", "tissue-mallow", "blend-apricot"} {
		f, err := finish.Resolve(p.job, p.catalog, id)
		if err != nil {
			t.Fatal(err)
		}
		s, err := SeamlessOf(f, p.catalog, 400, 0.5, "")
		if err != nil {
			t.Fatal(err)
		}
		img := s.Colour
		w, h := img.Rect.Dx(), img.Rect.Dy()
		step := func(x0, y0, x1, y1 int) float64 {
			a, b := img.RGBAAt(x0, y0), img.RGBAAt(x1, y1)
			return colour.DeltaE(colour.FromBytes(a.R, a.G, a.B).Lab(), colour.FromBytes(b.R, b.G, b.B).Lab())
		}
		var inside, across [2]float64
		for y := range h {
			across[0] += step(w-1, y, 0, y) / float64(h)
			for x := 1; x < w; x++ {
				inside[0] += step(x-1, y, x, y) / float64(h*(w-1))
			}
		}
		for x := range w {
			across[1] += step(x, h-1, x, 0) / float64(w)
			for y := 1; y < h; y++ {
				inside[1] += step(x, y-1, x, y) / float64(w*(h-1))
			}
		}
		for n, way := range []string{"left to right", "up and down"} {
			limit := 1.8*inside[n] + 1
			if id == "weave-sage" && n == 0 {
				limit += 12 // a strip begins at the edge
			}
			if across[n] > limit {
				t.Errorf("%s, %s: steps of %.2f across the seam, %.2f within", id, way, across[n], inside[n])
			}
		}
		if s.Lowest < 0 || s.Highest <= s.Lowest || s.Heights.Rect != img.Rect || s.Facing.Rect != img.Rect {
			t.Errorf("%s: heights from %g to %g", id, s.Lowest, s.Highest)
		}
	}
	if _, err := SeamlessOf(nil, p.catalog, 10, 1, ""); err == nil {
		t.Error("a piece of 10 mm is made")
	}
}
