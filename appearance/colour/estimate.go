package colour

import (
	"errors"
	"fmt"
	"math"
)

// The estimate is the smoothest reflectance in the logit sense (S. A. Burns, "Numerical methods for
// smoothest reflectance reconstruction", Color Res. Appl. 45, 8-21, 2020, method LHTSS): with
// R = (1 + tanh z) / 2, minimise the sum of (z[i+1] - z[i])^2 so that R has the wanted tristimulus values.
// R stays between 0 and 1 whatever z is. Here z has a node every 10 nm and is straight in between, so that
// the wanted values hold on all 81 bands.
const nodes = (Bands + 1) / 2

// Where Newton's method ends.
const (
	mostSteps = 200   // ordinary colours need 7, colours at the edge of the solid most
	settled   = 1e-9  // largest move of a node in the last step, in z
	met       = 1e-12 // largest miss in X, Y or Z
)

var errNoReflectance = errors.New("no smooth reflectance between 0 and 1 has these values")

// Estimate is the smoothest reflectance with the tristimulus values x for the viewer v, strictly between
// 0 and 1 in every band. Many spectra share a colour under one light, so under another light the estimate is
// a guess. It fails for values outside the object-colour solid and for those so near its edge, white and
// black among them, that some band would have to be 0 or 1.
func Estimate(x XYZ, v *Viewer) (Spectrum, error) {
	white := v.white
	if x.X > 0 && x.Y > 0 && x.Z > 0 && x.X < white.X && x.Y < white.Y && x.Z < white.Z {
		s := smoothest{viewer: v, wanted: x}
		for i := range s.z {
			s.z[i] = math.Atanh(2*x.Y - 1) // start from a grey as light as the colour
		}
		for range mostSteps {
			s.look()
			moved, ok := s.step()
			if !ok {
				break
			}
			if moved < settled {
				s.look()
				if s.miss() < met && s.open() {
					return s.r, nil
				}
			}
		}
	}
	return Spectrum{}, fmt.Errorf("tristimulus values %.4f %.4f %.4f under %s: %w: take a duller colour, or one less near white or black",
		x.X, x.Y, x.Z, v.name, errNoReflectance)
}

// Black and white would need a reflectance of exactly 0 and 1, which no surface has. Channels of entered
// colours are brought in to this range of linear light; of 8-bit values that moves only 0 and 255.
const (
	darkest  = 0.0001
	lightest = 0.999
)

// FromRGB is Estimate for a screen colour, under D65 for the 2-degree observer. A colour outside the
// gamut is fitted first (see RGB.Fit). Channels below 0.0001 or above 0.999 of full light are taken as
// that, which shifts pure black, pure white and colours with a channel there by less than 0.25 CIEDE2000;
// all others come back exactly. It has an answer for every 8-bit colour.
func FromRGB(c RGB) (Spectrum, error) {
	v := Daylight()
	return Estimate(Adapt(enterable(c).XYZ(), srgbWhite, v.white), v)
}

func enterable(c RGB) RGB {
	c, _ = c.Fit()
	return RGB{
		min(max(c.R, darkest), lightest),
		min(max(c.G, darkest), lightest),
		min(max(c.B, darkest), lightest),
	}
}

// smoothest is a state of the search.
type smoothest struct {
	viewer *Viewer
	wanted XYZ
	z      [nodes]float64
	lambda [3]float64 // Lagrange multipliers of X, Y and Z

	// What look finds.
	r      Spectrum
	excess [3]float64        // tristimulus values less those wanted
	slope  [3][nodes]float64 // their derivatives by each node
	curve  [nodes]float64    // second derivative of lambda times excess by a node,
	link   [nodes]float64    // and by a node and the next
}

// look computes all that follows from z and lambda.
func (s *smoothest) look() {
	*s = smoothest{viewer: s.viewer, wanted: s.wanted, z: s.z, lambda: s.lambda}
	v := s.viewer
	for band := range s.r {
		// On a node the band hangs on that node alone, in between on two by half.
		left, right, share := band/2, band/2, 0.5
		if band%2 == 1 {
			right++
		}
		r := 1 / (1 + math.Exp(-(s.z[left] + s.z[right]))) // (1 + tanh z) / 2 with z their mean
		weights := [3]float64{v.x[band], v.y[band], v.z[band]}
		first := 2 * r * (1 - r)
		second := 2 * first * (1 - 2*r) * (s.lambda[0]*weights[0] + s.lambda[1]*weights[1] + s.lambda[2]*weights[2])
		s.r[band] = r
		for k, weight := range weights {
			s.slope[k][left] += share * first * weight
			s.slope[k][right] += share * first * weight
		}
		if left == right {
			s.curve[left] += second
			continue
		}
		s.curve[left] += share * share * second
		s.curve[right] += share * share * second
		s.link[left] += share * share * second
	}
	got := v.XYZ(&s.r)
	s.excess = [3]float64{got.X - s.wanted.X, got.Y - s.wanted.Y, got.Z - s.wanted.Z}
}

func (s *smoothest) miss() float64 {
	return max(math.Abs(s.excess[0]), math.Abs(s.excess[1]), math.Abs(s.excess[2]))
}

// open reports whether every band is strictly between 0 and 1.
func (s *smoothest) open() bool {
	for _, r := range s.r {
		if !(r > 0 && r < 1) {
			return false
		}
	}
	return true
}
