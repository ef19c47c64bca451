package film

import (
	"errors"
	"fmt"
	"math"

	"scumble/appearance/colour"
)

// Flake is the mirror-like part of a metallic or pearl glaze: a lobe about the mirror direction, on top of
// what K and S of the glaze give. It is for flakes that have one colour at all angles.
type Flake struct {
	// PerUm is what a film of flakes and nothing else adds to the reflectance factor in the mirror
	// direction, per um of wet film.
	PerUm colour.Spectrum
	// Sigma is the spread of the tilts of the flakes, degrees; films lie below about 10.
	Sigma float64
}

// The index of the binder that light is bent by on its way to a flake.
const binderIndex = 1.5

// flakeTilt is the angle between the film and a flake that mirrors light arriving at incoming degrees from
// the normal to an eye at seen degrees on the other side of it (negative: on the same side), in degrees:
// half the difference of the directions within a binder of index 1.5 (Snell).
func flakeTilt(incoming, seen float64) float64 { return (inside(incoming) - inside(seen)) / 2 }

func inside(degrees float64) float64 {
	return math.Asin(math.Sin(degrees*math.Pi/180)/binderIndex) * 180 / math.Pi
}

// Tilt is the tilt of the flakes that light the instrument at an aspecular angle, degrees, with light at 45
// degrees (ASTM E2194: measured from the mirror direction towards the normal).
func Tilt(angle float64) float64 { return flakeTilt(45, 45-angle) }

// Brightness is the strength of the lobe when light comes from incoming degrees from the normal and the eye
// is at seen degrees on the other side of it (negative: the same side), as a share of that in the mirror
// direction, 0..1.
func (f *Flake) Brightness(incoming, seen float64) float64 {
	return lobe(flakeTilt(incoming, seen), f.Sigma)
}

func lobe(tilt, sigma float64) float64 {
	if !(sigma > 0) {
		return 0
	}
	return math.Exp(-tilt * tilt / (2 * sigma * sigma))
}

// reach is how much of the flakes in x um is lit and seen through the film above them, um. Light goes to a
// flake at depth z and back with T(z)^2, and dR0/dX = S T^2 (Kubelka 1948), so the integral over the film is R0/S.
func reach(k, s, x float64) float64 {
	t, _ := bend(k, s, x)
	return t / (1 + (k+s)*t)
}

// Lobe is what x um of the glaze add to the reflectance factor in the mirror direction; nothing without
// flakes. Times Flake.Brightness it is added to the finish outside its surface.
func (g *Glaze) Lobe(x float64) colour.Spectrum {
	var add colour.Spectrum
	if g.Flake == nil {
		return add
	}
	x = atLeastNothing(x)
	for i := range add {
		add[i] = g.Flake.PerUm[i] * reach(g.K[i], g.S[i], x)
	}
	return add
}

// with is the flakes of a mix and a share of another glaze.
func (f *Flake) with(share float64, other *Flake) (*Flake, error) {
	mix := Flake{Sigma: other.Sigma}
	if f != nil {
		if f.Sigma != other.Sigma {
			return nil, fmt.Errorf("flakes spread by %.1f degrees do not mix with flakes spread by %.1f: one lobe cannot show both",
				other.Sigma, f.Sigma)
		}
		mix = *f
	}
	for i, v := range other.PerUm {
		mix.PerUm[i] += share * v
	}
	return &mix, nil
}

// Metallic is a film of flakes as measured at three angles, parted into what depends on the angle and what
// does not.
type Metallic struct {
	Peak  colour.Spectrum // the lobe in the mirror direction
	Base  colour.Spectrum // film and ground without the lobe
	Sigma float64         // degrees
	Worst float64         // largest difference at the three angles, CIEDE2000 under D65, 2 degrees
}

// mostOff is what a fit must keep to, CIEDE2000.
const mostOff = 0.5

// Spreads are searched from the least to the most, degrees, in even ratios and then about the best.
const (
	leastSigma, mostSigma = 2.0, 25.0
	sigmas, narrowings    = 60, 40
)

var aspecular = [3]float64{15, 45, 110} // ASTM E2194

// FitMetallic parts reflectance factors at the aspecular angles 15, 45 and 110 degrees with light at 45
// (ASTM E2194) into a lobe and a base. In each band peak and base follow by least squares; the spread is
// the one with the smallest worst difference. Three angles are enough for flakes of one colour (US patent
// 4,711,580). It fails when the lobe and base so found miss an angle by more than 0.5 CIEDE2000: then the
// hue or its strength goes with the angle, as with interference pigments, and needs a table by angle.
func FitMetallic(near, middle, far *colour.Spectrum) (Metallic, error) {
	seen := [3]*colour.Spectrum{near, middle, far}
	for i, r := range seen {
		for band, v := range r {
			if !(v >= -0.01) || math.IsInf(v, 0) {
				return Metallic{}, fmt.Errorf("at %v degrees the film reflects %v at %d nm: give reflectance factors, 0 or more",
					aspecular[i], v, nanometres(band))
			}
		}
	}
	v := colour.Daylight()
	try := func(sigma float64) Metallic { return part(seen, sigma, v) }
	best := try(leastSigma)
	ratio := math.Pow(mostSigma/leastSigma, 1.0/sigmas)
	for i := 1; i <= sigmas; i++ {
		if m := try(leastSigma * math.Pow(ratio, float64(i))); m.Worst < best.Worst {
			best = m
		}
	}
	low, high := max(best.Sigma/ratio, leastSigma), min(best.Sigma*ratio, mostSigma)
	for range narrowings {
		a, b := try(low+(high-low)/3), try(high-(high-low)/3)
		if a.Worst < b.Worst {
			high = b.Sigma
		} else {
			low = a.Sigma
		}
		for _, m := range [2]Metallic{a, b} {
			if m.Worst < best.Worst {
				best = m
			}
		}
	}
	if best.Worst > mostOff {
		return Metallic{}, best.refuse(seen, v)
	}
	return best, nil
}

// part finds peak and base of each band for one spread, by least squares of relative misses.
func part(seen [3]*colour.Spectrum, sigma float64, v *colour.Viewer) Metallic {
	m := Metallic{Sigma: sigma}
	var shine [3]float64
	for i, angle := range aspecular {
		shine[i] = lobe(Tilt(angle), sigma)
	}
	for band := range m.Peak {
		var w, we, wee, wr, wer float64
		for i, e := range shine {
			r := max(seen[i][band], 0)
			weight := lightnessWeight(r)
			weight *= weight
			w += weight
			we += weight * e
			wee += weight * e * e
			wr += weight * r
			wer += weight * e * r
		}
		peak, base := 0.0, wr/w
		if det := w*wee - we*we; det > 0 {
			peak, base = (w*wer-we*wr)/det, (wee*wr-we*wer)/det
		}
		if peak < 0 { // nothing shines: the base alone
			peak, base = 0, wr/w
		}
		if base < 0 { // all of it shines
			base, peak = 0, wer/wee
		}
		m.Peak[band], m.Base[band] = peak, base
	}
	for i, angle := range aspecular {
		given := m.At(angle)
		m.Worst = max(m.Worst, colour.DeltaE(v.Lab(seen[i]), v.Lab(&given)))
	}
	return m
}

// At is the reflectance factor at an aspecular angle, degrees, with light at 45 degrees.
func (m *Metallic) At(angle float64) colour.Spectrum {
	e := lobe(Tilt(angle), m.Sigma)
	var r colour.Spectrum
	for i := range r {
		r[i] = m.Base[i] + e*m.Peak[i]
	}
	return r
}

// In puts the flakes of a film of x um into its glaze, whose K and S come from the base of the film.
func (m *Metallic) In(g *Glaze, x float64) (Glaze, error) {
	if err := errors.Join(checkFilm(x), g.check()); err != nil {
		return Glaze{}, err
	}
	with := Glaze{K: g.K, S: g.S, Flake: &Flake{Sigma: m.Sigma}}
	for i, peak := range m.Peak {
		with.Flake.PerUm[i] = peak / reach(g.K[i], g.S[i], x)
	}
	return with, nil
}

// refuse says what in the measurements no lobe over a base can give.
func (m *Metallic) refuse(seen [3]*colour.Spectrum, v *colour.Viewer) error {
	var lab [3]colour.Lab
	for i, r := range seen {
		lab[i] = v.Lab(r)
	}
	if lab[0].L < lab[1].L || lab[1].L < lab[2].L-mostOff {
		return fmt.Errorf("lightness %.1f at 15, %.1f at 45 and %.1f at 110 degrees: flakes shine most near the mirror direction; check the order of the angles",
			lab[0].L, lab[1].L, lab[2].L)
	}
	// Flakes of one colour add light of one chromaticity at every angle: compare what 15 and 45 add to 110.
	var added [2]colour.Lab
	for i := range added {
		var more colour.Spectrum
		for band := range more {
			more[band] = seen[i][band] - seen[2][band]
		}
		x := v.XYZ(&more)
		scale := 0.5 / max(x.Y, 1e-6)
		added[i] = colour.XYZ{X: x.X * scale, Y: x.Y * scale, Z: x.Z * scale}.Lab(v.White())
	}
	travel := math.Abs(math.Remainder(added[0].Hue()-added[1].Hue(), 360))
	return fmt.Errorf("colour goes with the angle: the light flakes add to 110 degrees has hue %.0f and chroma %.0f at 15 degrees, hue %.0f and chroma %.0f at 45 (at equal lightness), a travel of %.0f degrees and %.1f CIEDE2000; "+
		"one flake colour over one base comes within %.1f CIEDE2000 at best, where %.1f is allowed: this is an interference pigment (or a mistaken reading); it needs a table of colours by angle, as ASTM E2539 measures",
		added[0].Hue(), added[0].Chroma(), added[1].Hue(), added[1].Chroma(), travel, colour.DeltaE(added[0], added[1]), m.Worst, mostOff)
}
