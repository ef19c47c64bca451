package colour

import "math"

// delta is where the cube root of CIELAB turns into a straight line (CIE 015:2018, section 8.2.1).
const delta = 6.0 / 29

// Lab is the CIELAB 1976 colour relative to a white (CIE 015:2018, section 8.2.1).
func (x XYZ) Lab(white XYZ) Lab {
	fx, fy, fz := compress(x.X/white.X), compress(x.Y/white.Y), compress(x.Z/white.Z)
	return Lab{L: 116*fy - 16, A: 500 * (fx - fy), B: 200 * (fy - fz)}
}

// XYZ are the tristimulus values of a CIELAB colour relative to a white; the inverse of XYZ.Lab.
func (l Lab) XYZ(white XYZ) XYZ {
	fy := (l.L + 16) / 116
	return XYZ{
		X: white.X * expand(fy+l.A/500),
		Y: white.Y * expand(fy),
		Z: white.Z * expand(fy-l.B/200),
	}
}

func compress(ratio float64) float64 {
	if ratio > delta*delta*delta {
		return math.Cbrt(ratio)
	}
	return ratio/(3*delta*delta) + 4.0/29
}

func expand(f float64) float64 {
	if f > delta {
		return f * f * f
	}
	return 3 * delta * delta * (f - 4.0/29)
}

// Chroma is C*ab, the distance from grey.
func (l Lab) Chroma() float64 { return math.Hypot(l.A, l.B) }

// Hue is h ab in degrees, from 0 (red) to below 360; 0 for a grey.
func (l Lab) Hue() float64 { return hueAngle(l.A, l.B) }

func hueAngle(a, b float64) float64 {
	if a == 0 && b == 0 {
		return 0
	}
	h := math.Atan2(b, a) * 180 / math.Pi
	if h < 0 {
		h += 360
	}
	if h == 360 { // a tiny negative angle rounds up to the full circle
		h = 0
	}
	return h
}
