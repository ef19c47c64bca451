package stroke

import (
	"math"
	"testing"
)

// Orchard 1962 for a viscosity of 0.5 Pa s and a tension of 30 mN/m, worked out by
// hand from the formula.
func TestLevellingTime(t *testing.T) {
	for _, c := range []struct{ wavelength, film, want float64 }{
		{1, 50, 0.2566}, {2, 50, 4.106}, {5, 50, 160.4}, {10, 50, 2566}, {2, 20, 4.106 * 15.625},
	} {
		if got := LevellingTime(c.wavelength, c.film, 0.5, 0.03); math.Abs(got/c.want-1) > 1e-3 {
			t.Errorf("%g mm on %g um: %g s, want %g", c.wavelength, c.film, got, c.want)
		}
	}
}

// Fine ripples go first, and a film that does not flow keeps them all.
func TestFineMarksLevelFirst(t *testing.T) {
	l := Levelling{Viscosity: 100, Tension: 0.03, Time: 900}
	last := 0.0
	for _, wavelength := range []float64{0.5, 1, 2, 3, 5, 10} {
		k := l.keeps(wavelength, 60)
		if k < last || k > 1 {
			t.Errorf("%g mm keeps %g, a finer one %g", wavelength, k, last)
		}
		last = k
	}
	if l.keeps(1, 60) > 0.01 || l.keeps(10, 60) < 0.95 || (Levelling{}).keeps(0.1, 60) != 1 {
		t.Error("a millimetre stays, a centimetre goes, or a stiff film flows")
	}
	p := wall(t)
	rough := func(l Levelling) float64 {
		r := recipe("dragging", "")
		r.Levelling = l
		f, err := New(p, r)
		if err != nil {
			t.Fatal(err)
		}
		tile := Grid(200, 1200, 400, 4, 0.5)
		f.Fill(tile)
		sum := 0.0
		for i := 1; i < 400; i++ {
			d := float64(tile.First[i] - tile.First[i-1])
			sum += d * d
		}
		return sum
	}
	if stiff, flows := rough(Levelling{}), rough(l); flows > 0.8*stiff {
		t.Errorf("steps from line to line: %.1f, flowed out %.1f", stiff, flows)
	}
}

// stiff is a film that does not flow.
func stiff(float64) float64 { return 1 }
