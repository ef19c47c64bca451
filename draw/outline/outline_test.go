package outline

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Every point of a flattened circle lies on it, and every edge's middle within
// the tolerance; the cubic arc itself strays under 0.03 % of the radius.
func TestFlattenedCircleStaysWithinTolerance(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := rapid.Float64Range(0.1, 1000).Draw(rt, "r")
		scale := rapid.Float64Range(0.1, 10).Draw(rt, "scale")
		chains := Flatten(Outline{}.Arc(3, 4, r, 0, 360).Close(), Transform{A: scale, D: scale}, Tolerance)
		if len(chains) != 1 || !chains[0].Closed {
			rt.Fatalf("%d chains", len(chains))
		}
		centre, points := pt(3*scale, 4*scale), chains[0].Points
		for i, p := range points {
			mid := Between(p, points[(i+1)%len(points)], 0.5)
			for _, q := range []Point{p, mid} {
				if off := math.Abs(q.To(centre) - r*scale); off > Tolerance+r*scale*3e-4 {
					rt.Fatalf("%v strays %.4f", q, off)
				}
			}
		}
	})
}

func TestFlattenStartsAfterCloseWhereThePenIs(t *testing.T) {
	chains := Flatten(Outline{}.Move(1, 1).Line(5, 1).Close().Line(1, 9), Transform{}, Tolerance)
	if len(chains) != 2 || chains[1].Points[0] != pt(1, 1) || chains[1].Closed {
		t.Errorf("chains %+v", chains)
	}
}

func TestHatchLinesLieInTheRegion(t *testing.T) {
	ring := Outline{}.Move(0, 0).Line(10, 0).Line(10, 10).Line(0, 10).Close().Move(4, 4).Line(6, 4).Line(6, 6).Line(4, 6).Close()
	lines := Flatten(Hatch(ring, 1, 0), Transform{}, Tolerance)
	total := 0.0
	for _, l := range lines {
		total += l.Points[0].To(l.Points[1])
	}
	// level lines at 0 to 9; those at 4 and 5 cross the hole of 2
	if want := 10*10.0 - 2*2; math.Abs(total-want) > 1e-9 {
		t.Errorf("%d lines of %.3f mm together, want %.0f", len(lines), total, want)
	}
}

func TestThenIsOneAfterTheOther(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		v := rapid.Float64Range(-10, 10)
		draw := func(name string) Transform {
			return Transform{v.Draw(rt, name), v.Draw(rt, name), v.Draw(rt, name), v.Draw(rt, name), v.Draw(rt, name), v.Draw(rt, name)}
		}
		t, u, p := draw("t"), draw("u"), pt(v.Draw(rt, "x"), v.Draw(rt, "y"))
		if a, b := t.Then(u).Apply(p), u.Apply(t.Apply(p)); a.To(b) > 1e-9 {
			rt.Fatalf("%v and %v", a, b)
		}
	})
}

func TestDecimal(t *testing.T) {
	for v, want := range map[float64]string{0: "0", 1.5: "1.5", -0.00001: "0", 12.34567: "12.3457", 1e12: "1000000000", math.Inf(1): "0", -3: "-3"} {
		if got := Decimal(v); got != want {
			t.Errorf("Decimal(%g) = %q, want %q", v, got, want)
		}
	}
	if Decimal(math.NaN()) != "0" {
		t.Error("what is not a number is not 0")
	}
}

func TestDashes(t *testing.T) {
	for _, c := range []struct {
		dash []float64
		want bool
	}{{nil, false}, {[]float64{0, 0}, false}, {[]float64{2, 1}, true}, {[]float64{2, -1}, false}, {[]float64{math.NaN()}, false}} {
		if got := (Pen{Dash: c.dash}).Dashes(); got != c.want {
			t.Errorf("%v is a pattern: %v", c.dash, got)
		}
	}
}
