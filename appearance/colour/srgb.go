package colour

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Primaries and white of sRGB, chromaticities x and y (IEC 61966-2-1:1999, table 1).
var (
	srgbWhite = fromXY(0.3127, 0.3290)
	toXYZ     = primaries(fromXY(0.64, 0.33), fromXY(0.30, 0.60), fromXY(0.15, 0.06), srgbWhite)
	fromXYZ   = toXYZ.inverse()
	// From cone responses as shares of those to white, straight to linear RGB.
	fromCones = coneMatrix()
)

func fromXY(x, y float64) XYZ { return XYZ{x / y, 1, (1 - x - y) / y} }

// primaries scales the primaries so that together they give white (SMPTE RP 177-1993).
func primaries(r, g, b, white XYZ) matrix {
	m := matrix{{r.X, g.X, b.X}, {r.Y, g.Y, b.Y}, {r.Z, g.Z, b.Z}}
	inverse := m.inverse()
	return m.scaled(inverse.times(white.X, white.Y, white.Z))
}

func coneMatrix() matrix {
	m := fromXYZ.after(&bradfordBack)
	return m.scaled(bradford.times(srgbWhite.X, srgbWhite.Y, srgbWhite.Z))
}

// RGB is the screen colour that looks like x seen under white: adapted to the white of the screen
// (see Adapt), so that white itself is exactly (1, 1, 1). It can lie outside the gamut; see Fit.
func (x XYZ) RGB(white XYZ) RGB {
	r, g, b := fromCones.times(shortOfWhite(x, white))
	return RGB{1 + r, 1 + g, 1 + b}
}

// RGBUnadapted is the screen colour with the tristimulus values of x, without adaptation: a white wall
// under a warm lamp stays yellow, as it looks to an eye still used to D65. The inverse of RGB.XYZ.
func (x XYZ) RGBUnadapted() RGB {
	r, g, b := fromXYZ.times(x.X, x.Y, x.Z)
	return RGB{r, g, b}
}

// XYZ are the tristimulus values of a screen colour for the 2-degree observer, relative to the white of
// sRGB, D65 with x 0.3127, y 0.3290.
func (c RGB) XYZ() XYZ {
	x, y, z := toXYZ.times(c.R, c.G, c.B)
	return XYZ{x, y, z}
}

// Lab is the CIELAB colour of a screen colour, under D65 for the 2-degree observer.
func (c RGB) Lab() Lab { return c.XYZ().Lab(srgbWhite) }

// outsideTolerance is how far outside 0..1 linear light may lie and still count as inside: arithmetic
// noise, a three-hundredth of an 8-bit step at its darkest.
const outsideTolerance = 1e-6

// Fit brings a colour into the gamut of sRGB: CIELAB lightness and hue are held and chroma is lowered
// until every channel is within 0..1. True says that it had to. What is lighter than white becomes white.
func (c RGB) Fit() (RGB, bool) {
	if c.inside() {
		return c.clipped(), false
	}
	full := c.Lab()
	switch {
	case full.L >= 100:
		return RGB{1, 1, 1}, true
	case !(full.L > 0):
		return RGB{}, true
	}
	grey := full
	grey.A, grey.B = 0, 0
	fitted := grey.XYZ(srgbWhite).RGBUnadapted()
	low, high := 0.0, 1.0
	for range 40 { // to 1e-12 of the chroma
		share := (low + high) / 2
		try := Lab{full.L, full.A * share, full.B * share}.XYZ(srgbWhite).RGBUnadapted()
		if try.inside() {
			low, fitted = share, try
		} else {
			high = share
		}
	}
	return fitted.clipped(), true
}

func (c RGB) inside() bool {
	return min(c.R, c.G, c.B) >= -outsideTolerance && max(c.R, c.G, c.B) <= 1+outsideTolerance
}

func (c RGB) clipped() RGB {
	return RGB{min(max(c.R, 0), 1), min(max(c.G, 0), 1), min(max(c.B, 0), 1)}
}

// decode is the light of an sRGB value, both 0..1 (IEC 61966-2-1:1999, 5.2).
func decode(value float64) float64 {
	if value <= 0.04045 {
		return value / 12.92
	}
	return math.Pow((value+0.055)/1.055, 2.4)
}

// encodeBins parts linear light so finely that no bin holds more than one edge between two bytes: the
// edges are nearest together in the dark, 1/(255 x 12.92) = 1/3295.
const encodeBins = 4096

var (
	bytesToLight [256]float64
	byteEdges    [257]float64      // the least light of each byte, and no end after the last
	byteAtBin    [encodeBins]uint8 // the byte of the dark end of the bin
)

func init() {
	for b := range bytesToLight {
		bytesToLight[b] = decode(float64(b) / 255)
		byteEdges[b] = decode((float64(b) - 0.5) / 255)
	}
	byteEdges[256] = math.Inf(1)
	b := 0
	for bin := range byteAtBin {
		for float64(bin)/encodeBins >= byteEdges[b+1] {
			b++
		}
		byteAtBin[bin] = uint8(b)
	}
}

// EncodeByte is the 8-bit sRGB value of linear light, rounded to the nearest; below 0 is 0, above 1 is
// 255, not a number is 0. A table look-up and one comparison: the fast way to fill a picture.
func EncodeByte(light float64) uint8 {
	switch {
	case !(light > 0):
		return 0
	case light >= 1:
		return 255
	}
	b := byteAtBin[int(light*encodeBins)]
	if light >= byteEdges[int(b)+1] {
		b++
	}
	return b
}

// Bytes is the 8-bit sRGB colour. Each channel is clipped by itself: call Fit first to keep the hue.
func (c RGB) Bytes() (r, g, b uint8) {
	return EncodeByte(c.R), EncodeByte(c.G), EncodeByte(c.B)
}

// FromBytes is the linear light of an 8-bit sRGB colour.
func FromBytes(r, g, b uint8) RGB {
	return RGB{bytesToLight[r], bytesToLight[g], bytesToLight[b]}
}

// Hex is the 8-bit sRGB colour as "#rrggbb".
func (c RGB) Hex() string {
	r, g, b := c.Bytes()
	return fmt.Sprintf("#%02x%02x%02x", r, g, b)
}

// ParseHex reads an sRGB colour as "#rrggbb" or "#rgb", in either case and with or without the sign.
func ParseHex(s string) (RGB, error) {
	digits := strings.TrimPrefix(s, "#")
	if len(digits) == 3 {
		digits = string([]byte{digits[0], digits[0], digits[1], digits[1], digits[2], digits[2]})
	}
	// ParseUint alone would also take a sign or an underscore.
	if len(digits) != 6 || strings.Trim(digits, "0123456789abcdefABCDEF") != "" {
		return RGB{}, fmt.Errorf("%q is not a screen colour: write # and six hexadecimal digits, like #c8b8a0", s)
	}
	n, err := strconv.ParseUint(digits, 16, 32)
	if err != nil {
		return RGB{}, fmt.Errorf("%q is not a screen colour: %w", s, err)
	}
	return FromBytes(uint8(n>>16), uint8(n>>8), uint8(n)), nil
}
