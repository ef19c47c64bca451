package colour

import "sync"

// Viewer is an observer under a light, ready to see reflectances.
type Viewer struct {
	name    string
	x, y, z Spectrum // the light times the observer, scaled so that y sums to 1
	white   XYZ
}

// NewViewer prepares the weights of an observer under a light (CIE 015:2018, sums over the grid in
// place of integrals). A light without power where the eye sees makes everything black.
func NewViewer(l Light, o *Observer) *Viewer {
	v := &Viewer{name: l.ID + ", CIE " + o.ID + " observer"}
	sum := 0.0
	for i, power := range l.Power {
		sum += power * o.Y[i]
	}
	if sum > 0 {
		for i, power := range l.Power {
			v.x[i] = power * o.X[i] / sum
			v.y[i] = power * o.Y[i] / sum
			v.z[i] = power * o.Z[i] / sum
		}
	}
	var perfect Spectrum
	for i := range perfect {
		perfect[i] = 1
	}
	// Summed like any other reflectance, so that the perfect white is neutral to the last digit.
	v.white = v.XYZ(&perfect)
	return v
}

// XYZ are the tristimulus values of a surface of reflectance factor r; Y is 1 for the perfect white.
func (v *Viewer) XYZ(r *Spectrum) XYZ {
	var s XYZ
	for i, reflected := range r {
		s.X += v.x[i] * reflected
		s.Y += v.y[i] * reflected
		s.Z += v.z[i] * reflected
	}
	return s
}

// White is the perfect white, reflectance 1 in every band.
func (v *Viewer) White() XYZ { return v.white }

// Lab is the CIELAB colour of a surface of reflectance factor r, relative to the perfect white.
func (v *Viewer) Lab(r *Spectrum) Lab { return v.XYZ(r).Lab(v.white) }

// Daylight is D65 for the 2-degree observer: the viewer of screen colours.
var Daylight = sync.OnceValue(func() *Viewer { return daylightFor(Observer1931()) })

// wallViewer is D65 for the 10-degree observer: the viewer of light reflectance values.
var wallViewer = sync.OnceValue(func() *Viewer { return daylightFor(Observer1964()) })

func daylightFor(o *Observer) *Viewer {
	d65, _ := LightByID("D65") // the tests hold it against published chromaticities
	return NewViewer(d65, o)
}

// LRV is the light reflectance value of a surface of reflectance factor r, 0 black to 100 the perfect
// white: Y under D65 for the 10-degree observer (BS 8493:2008+A1:2010, ISO 21542:2021 annex B). The
// standard asks for a sphere instrument; r from another geometry gives a figure that only resembles an LRV.
// A broken-colour wall has the mean of its parts by area, not the LRV of its mean colour.
func LRV(r *Spectrum) float64 {
	v := wallViewer()
	return 100 * v.XYZ(r).Y / v.white.Y
}
