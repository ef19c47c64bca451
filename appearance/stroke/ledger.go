package stroke

import (
	"math"

	"scumble/geom"
)

// Ledger is where the glaze went, mL: of both glazes together.
type Ledger struct {
	// Area is what was looked at, m2.
	Area float64
	// Laid is what was rolled or dabbed on before the tool; Taken what strokes took
	// from the film and PutBack what they piled up in ridges or laid down; Left is
	// what is on the wall.
	Laid, Taken, PutBack, Left float64
}

// Lifted is what the tool carried away, mL.
func (l Ledger) Lifted() float64 { return l.Taken - l.PutBack }

// Share is the part of the laid glaze that was carried away.
func (l Ledger) Share() float64 {
	if l.Laid == 0 {
		return 0
	}
	return l.Lifted() / l.Laid
}

// Ledger keeps the accounts of the film over the region, with places pitch mm apart.
// Every stroke is entered for itself, while Left is read from the finished film.
func (f *Film) Ledger(pitch float64) Ledger {
	box := f.panel.Region.Bounds()
	var total Ledger
	i0, i1 := int(math.Floor(box.Min.X/pitch)), int(math.Ceil(box.Max.X/pitch))
	j0, j1 := int(math.Floor(box.Min.Y/pitch)), int(math.Ceil(box.Max.Y/pitch))
	const side = 256
	for j := j0; j < j1; j += side {
		for i := i0; i < i1; i += side {
			t := Grid(i, j, min(side, i1-i), min(side, j1-j), pitch)
			total.add(f.account(t, f.press, f.inside(t)))
		}
	}
	perPlace := pitch * pitch * 1e-6 // m2; one um over one m2 is one mL
	total.Laid, total.Taken, total.PutBack, total.Left = total.Laid*perPlace, total.Taken*perPlace, total.PutBack*perPlace, total.Left*perPlace
	total.Area *= perPlace
	return total
}

func (l *Ledger) add(o Ledger) {
	l.Area += o.Area
	l.Laid += o.Laid
	l.Taken += o.Taken
	l.PutBack += o.PutBack
	l.Left += o.Left
}

// inside tells for every place of a tile whether it is glazed.
func (f *Film) inside(t *Tile) []bool {
	in := make([]bool, len(t.X)*len(t.Y))
	for i, x := range t.X {
		for _, span := range f.panel.Region.SpanAt(float64(x)) {
			j0, j1 := between(t.Y, span[0], span[1])
			for j := j0; j < j1; j++ {
				in[j*len(t.X)+i] = true
			}
		}
	}
	return in
}

// account works a tile and enters every change, in um times places.
func (f *Film) account(t *Tile, press float64, in []bool) Ledger {
	var l Ledger
	before := make([]float32, len(in))
	var second []float32
	if f.work.twoFilms() {
		second = make([]float32, len(in))
	}
	enter := func(now, was []float32, b geom.Bounds, laying bool) {
		i0, i1, j0, j1 := t.window(b)
		for j := j0; j < j1; j++ {
			for i := i0; i < i1; i++ {
				k := j*len(t.X) + i
				d := float64(now[k]) - float64(was[k])
				was[k] = now[k]
				switch {
				case !in[k] || d == 0:
				case laying:
					l.Laid += d
				case d > 0:
					l.PutBack += d
				default:
					l.Taken -= d
				}
			}
		}
	}
	laid := false
	f.fill(t, press, func(t *Tile, s *Stroke) {
		reach := t.reach()
		if s != nil {
			reach = s.Reach
		}
		enter(t.First, before, reach, !laid)
		if f.work.twoFilms() {
			enter(t.Second, second, reach, !laid)
		}
		laid = true
	})
	for k, here := range in {
		if here {
			l.Area++
			l.Left += float64(t.First[k])
			if f.work.twoFilms() {
				l.Left += float64(t.Second[k])
			}
		}
	}
	return l
}

// Places strews places over the whole panel and tells which of them are glazed; Fill
// then works the film there.
func (f *Film) Places(across, up int) (t *Tile, inside []bool) {
	box := f.panel.Region.Bounds()
	t = &Tile{X: make([]float32, across), Y: make([]float32, up), Pitch: float32(max(1, f.work.even))}
	for i := range t.X {
		t.X[i] = float32(box.Min.X + box.Width()*(float64(i)+unit(at(f.panel.Seed, i, 1)))/float64(across))
	}
	for j := range t.Y {
		t.Y[j] = float32(box.Min.Y + box.Height()*(float64(j)+unit(at(f.panel.Seed, j, 2)))/float64(up))
	}
	return t, f.inside(t)
}

// calibrated finds how hard the tool has to be pressed for it to carry away the
// share the recipe states, by the rule of false position on a sample of the wall.
func (f *Film) calibrated() float64 {
	// As many places on the mm across as up, however narrow the panel.
	box := f.panel.Region.Bounds()
	across := min(max(math.Sqrt(96*56*box.Width()/box.Height()), 24), 224)
	t, in := f.Places(int(across), int(96*56/across))
	miss := func(press float64) float64 { return f.account(t, press, in).Share() - f.recipe.Lifted }
	lo, hi := 0.0, 1.0
	atLo, atHi := miss(lo), miss(hi)
	for atHi < 0 && hi < 8 { // a tool may have to be pressed harder than usual
		lo, atLo = hi, atHi
		hi *= 2
		atHi = miss(hi)
	}
	if atLo >= 0 || atHi <= 0 {
		if math.Abs(atLo) < math.Abs(atHi) {
			return lo
		}
		return hi
	}
	for range 8 {
		press := lo - atLo*(hi-lo)/(atHi-atLo)
		m := miss(press)
		if math.Abs(m) < 2e-4 {
			return press
		}
		if m < 0 {
			lo, atLo, atHi = press, m, atHi/2 // the Illinois rule keeps both ends moving
		} else {
			hi, atHi, atLo = press, m, atLo/2
		}
	}
	return lo - atLo*(hi-lo)/(atHi-atLo)
}
