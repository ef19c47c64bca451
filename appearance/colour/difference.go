package colour

import "math"

// DeltaE is the CIEDE2000 difference of two colours with kL = kC = kH = 1 (ISO/CIE 11664-6:2022;
// G. Sharma, W. Wu, E. N. Dalal, Color Res. Appl. 30, 21-30, 2005, equations 2 to 22). About 1 is
// just seen side by side.
func DeltaE(a, b Lab) float64 {
	// Equations 2-7: chroma and hue after stretching the a axis near grey.
	g := 0.5 * (1 - saturation((a.Chroma()+b.Chroma())/2))
	a1, a2 := (1+g)*a.A, (1+g)*b.A
	c1, c2 := math.Hypot(a1, a.B), math.Hypot(a2, b.B)
	h1, h2 := hueAngle(a1, a.B), hueAngle(a2, b.B)

	// Equations 8-14: differences and means; hues meet across the shorter arc.
	turn, meanH := h2-h1, (h1+h2)/2
	switch {
	case c1*c2 == 0:
		turn, meanH = 0, h1+h2
	case turn > 180:
		turn -= 360
	case turn < -180:
		turn += 360
	}
	if c1*c2 != 0 && math.Abs(h1-h2) > 180 {
		if meanH < 180 {
			meanH += 180
		} else {
			meanH -= 180
		}
	}
	dL, dC := b.L-a.L, c2-c1
	dH := 2 * math.Sqrt(c1*c2) * sinDegrees(turn/2)
	meanL, meanC := (a.L+b.L)/2, (c1+c2)/2

	// Equations 15-22: weights.
	t := 1 - 0.17*cosDegrees(meanH-30) + 0.24*cosDegrees(2*meanH) + 0.32*cosDegrees(3*meanH+6) - 0.20*cosDegrees(4*meanH-63)
	bend := (meanH - 275) / 25
	rotation := -2 * saturation(meanC) * sinDegrees(60*math.Exp(-bend*bend))
	l50 := (meanL - 50) * (meanL - 50)
	sL := 1 + 0.015*l50/math.Sqrt(20+l50)
	sC := 1 + 0.045*meanC
	sH := 1 + 0.015*meanC*t
	l, c, h := dL/sL, dC/sC, dH/sH
	return math.Sqrt(math.Max(0, l*l+c*c+h*h+rotation*c*h))
}

// saturation is sqrt(C^7 / (C^7 + 25^7)), which two of the equations share.
func saturation(c float64) float64 {
	c2 := c * c
	c7 := c2 * c2 * c2 * c
	return math.Sqrt(c7 / (c7 + 25*25*25*25*25*25*25))
}

func sinDegrees(a float64) float64 { return math.Sin(a * math.Pi / 180) }

func cosDegrees(a float64) float64 { return math.Cos(a * math.Pi / 180) }
