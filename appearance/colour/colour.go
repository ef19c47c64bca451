// Package colour is colour science on a fixed grid of 81 bands: observers, lights,
// tristimulus values, differences, adaptation and the spectrum behind an entered
// colour. It knows no paint and no walls.
package colour

// The grid everything spectral stands on, nm.
const (
	First = 380
	Step  = 5
	Bands = 81
)

// Spectrum is a value for each band: reflectance factor 0..1, or relative power.
type Spectrum [Bands]float64

// XYZ are tristimulus values; Y is 1 for the perfect white under the same light.
type XYZ struct{ X, Y, Z float64 }

// Lab is a CIELAB 1976 colour.
type Lab struct{ L, A, B float64 }

// RGB is linear light of the sRGB primaries (IEC 61966-2-1), 0..1 inside the gamut.
type RGB struct{ R, G, B float64 }
