package stroke

import (
	"math"
	"testing"

	"scumble/geom"
)

// worked is a flat film of 68 um after one stroke of a tool.
func worked(m tool, s *Stroke, press float64, pitch float64) *Tile {
	n := int(400 / pitch)
	t := Grid(0, 0, n, n, pitch)
	t.First = make([]float32, n*n)
	for k := range t.First {
		t.First[k] = 68
	}
	m.mark(t, s, press)
	return t
}

func meanOf(t *Tile) float64 {
	var sum float64
	for _, v := range t.First {
		sum += float64(v)
	}
	return sum / float64(len(t.First))
}

func tryKnife() *knife {
	return &knife{film: 68, ridge: 1.6, high: 0.7, carry: 0.1, hold: 0.92, draws: newDraws(4, 0.5, 0.12, 1)}
}

// A blade that carries nothing away only moves the film: averaged over many strokes
// what stands in the ridges is missing from the ramp.
func TestKnifeMovesFilm(t *testing.T) {
	b := tryKnife()
	var off float64
	for n := range 200 {
		s := stroked(at(1, n, 2), geom.Point{X: 200, Y: 200}, 100, 80, float64(n), 0)
		off += (meanOf(worked(b, &s, 0, 1)) - 68) * 400 * 400 / (100 * 80) / 68
	}
	if off /= 200; math.Abs(off) > 0.02 {
		t.Errorf("one stroke changes the film under it by %.4f", off)
	}
}

// Where the blade leaves stands a ridge; the film behind it is thinner.
func TestKnifeLeavesARidge(t *testing.T) {
	b := tryKnife()
	var ridge, behind float64
	for n := range 60 {
		s := stroked(at(1, n, 3), geom.Point{X: 200, Y: 200}, 100, 80, 0, 0)
		tile := worked(b, &s, 1, 0.5)
		for j := 360; j < 440; j++ {
			most := float32(0)
			for i := 492; i < 505; i++ { // the stroke ends at 250 mm
				most = max(most, tile.First[j*800+i])
			}
			ridge += float64(most) / (60 * 80)
			behind += float64(tile.First[j*800+480]) / (60 * 80)
		}
	}
	if ridge < 1.25*behind {
		t.Errorf("ridge of %.1f um, film behind it %.1f um", ridge, behind)
	}
}

// A brush that carries nothing leaves the mean film, taken over all its strokes.
func TestWasherMovesFilm(t *testing.T) {
	w := newWasher(9, 100, 0.2, 0.08, 2.5, 0.25)
	var off float64
	for n := range washKinds {
		s := stroked(uint64(n), geom.Point{X: 200, Y: 200}, 250, 100, float64(n), 20)
		off += (meanOf(worked(w, &s, 0, 2)) - 68) * 400 * 400 / (250 * 100) / 68 / washKinds
	}
	if math.Abs(off) > 0.02 {
		t.Errorf("a stroke changes the film under it by %.4f", off)
	}
}

func TestLoadWeakens(t *testing.T) {
	sponge := newWasher(9, 130, 0.1, 0.05, 5, 0.42)
	sponge.carry = 0.08
	r := newTurned(geom.Point{X: 200, Y: 200}, 300, 300, 0)
	paperSheet := &sheet{turned: r, cut: newCut(paper(), 3, 0, 200, 25), palm: 90, sweep: 1, split: 0.6, contrast: 1}
	for name, try := range map[string]func(load, press float64) float64{
		"sponge": func(load, press float64) float64 {
			s := stroked(11, geom.Point{X: 200, Y: 200}, 300, 130, 1, 40)
			s.Load = load
			return meanOf(worked(sponge, &s, press, 2))
		},
		"paper": func(load, press float64) float64 {
			return meanOf(worked(paperSheet, &Stroke{Key: 5, Load: load, Reach: r.reach()}, press, 2))
		},
	} {
		clean, due, idle := try(0, 1), try(1, 1), try(0, 0)
		if taken := (idle - due) / (idle - clean); taken < 0.75 || taken > 0.9 {
			t.Errorf("%s: due to be cleaned it takes %.3f of what it takes clean", name, taken)
		}
	}
}

// Common practice: the film of a colourwash varies by 0.3 to 0.5 of its mean.
func TestColourwashIsCloudy(t *testing.T) {
	for _, variation := range []string{"", "swirl", "upwards"} {
		r := recipe("colourwash", variation)
		f := planned(t, furnished(geom.Rect(0, 0, 2400, 2000).Region()), r)
		tile := Grid(0, 0, 300, 250, 8)
		f.Fill(tile)
		mean, squares := meanOf(tile), 0.0
		for _, v := range tile.First {
			squares += (float64(v) - mean) * (float64(v) - mean)
		}
		if cv := math.Sqrt(squares/float64(len(tile.First))) / mean; cv < 0.27 || cv > 0.5 {
			t.Errorf("%q: film varies by %.3f of its mean", variation, cv)
		}
	}
}

func TestAngleAgreesWithAtan2(t *testing.T) {
	for n := range 720 {
		a := float64(n) * math.Pi / 360
		got, want := float64(angle(float32(40*math.Cos(a)), float32(40*math.Sin(a)))), math.Atan2(math.Sin(a), math.Cos(a))/(2*math.Pi)
		if d := math.Abs(got - want); math.Min(d, 1-d) > 0.001 {
			t.Errorf("at %d half degrees: %v turns, want %v", n, got, want)
		}
	}
}
