package appearance

import (
	"image"
	"math"
	"math/cmplx"
	"testing"

	"scumble/appearance/internal/finishtest"
)

// No pattern repeats over a wall of 10 by 3 m: the lightness, seen in pixels of 20 mm,
// correlates with itself at no shift beyond 300 mm by more than 6 standard deviations
// of what chance gives. Rows of combing and strips are meant to repeat, and lines go on
// along themselves.
func TestNoRepeatIsSeen(t *testing.T) {
	t.Parallel()
	p := demo(t)
	for _, w := range finishtest.Ways(p.catalog) {
		if w.Technique == "combing" || w.Technique == "cross-drag-weave" {
			continue
		}
		f := made(t, p.catalog, w, p.catalog.Techniques[w.Technique].Glazes[0])
		img := paint(t, BoardWall(f, p.catalog, "repeat", 10000, 3000), Options{Scale: 0.05, Samples: 4}).Image
		lines := w.Technique == "dragging"
		if z, dx, dy := strongestRepeat(img, lines, lines && w.Variation != ""); z > 6 {
			t.Errorf("%v: repeats after (%d, %d) mm, %.1f sigma", w, 20*dx, 20*dy, z)
		}
	}
}

// The search for repeats finds one: of a pattern laid a third as strong over itself,
// 1.6 m aside and 0.5 m higher.
func TestRepeatIsFound(t *testing.T) {
	p := demo(t)
	f := made(t, p.catalog, finishtest.Way{Technique: "sponging-off"}, "oil-glaze")
	img := paint(t, BoardWall(f, p.catalog, "repeat", 10000, 3000), Options{Scale: 0.05, Samples: 4}).Image
	const dx, dy = 80, 25
	twice := image.NewRGBA(img.Rect)
	for y := range img.Rect.Dy() {
		for x := range img.Rect.Dx() {
			a, b := img.RGBAAt(x, y), img.RGBAAt((x+dx)%img.Rect.Dx(), (y+dy)%img.Rect.Dy())
			a.G = uint8((3*int(a.G) + int(b.G)) / 4)
			twice.SetRGBA(x, y, a)
		}
	}
	if z, x, y := strongestRepeat(twice, false, false); z < 12 || abs(x) != dx || y != dy {
		t.Errorf("found (%d, %d) mm, %.1f sigma", 20*x, 20*y, z)
	}
}

// strongestRepeat is the greatest correlation of the lightness with itself, over what
// chance would give, among shifts of 300 mm and more; upright and level lines are not
// looked at along themselves. The deviation is that of Bartlett 1946: a sum over the
// squared correlations at short shifts.
func strongestRepeat(img *image.RGBA, upright, level bool) (z float64, dx, dy int) {
	const wide, high, near = 1024, 256, 15 // half as much again as the wall, so that no shift looked at goes round
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
	around := make([]complex128, w/2) // places on half of the unit circle; w is the longer side
	for k := range around {
		around[k] = cmplx.Rect(1, -2*math.Pi*float64(k)/float64(w))
	}
	for j := range h {
		fourier(plane[j*w:(j+1)*w], around)
	}
	column := make([]complex128, h)
	for i := range w {
		for j := range h {
			column[j] = plane[j*w+i]
		}
		fourier(column, around)
		for j := range h {
			plane[j*w+i] = column[j]
		}
	}
}

// fourier is the discrete transform of a power of two of values (Cooley and Tukey 1965).
func fourier(v, around []complex128) {
	n := len(v)
	if n == 1 {
		return
	}
	even, odd := make([]complex128, n/2), make([]complex128, n/2)
	for i := range even {
		even[i], odd[i] = v[2*i], v[2*i+1]
	}
	fourier(even, around)
	fourier(odd, around)
	for i := range even {
		turned := around[i*(2*len(around)/n)] * odd[i]
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
