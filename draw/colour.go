package draw

import (
	"fmt"
	"image/color"
	"strconv"
	"strings"
)

// Colour is an sRGB colour with straight alpha, written 0xRRGGBBAA.
// The zero Colour paints nothing.
type Colour uint32

// Black and White are the opaque ends of the grey scale.
const (
	Black Colour = 0x000000ff
	White Colour = 0xffffffff
)

// ParseColour reads "#rgb", "#rrggbb" or "#rrggbbaa".
func ParseColour(s string) (Colour, error) {
	digits := strings.TrimPrefix(s, "#")
	if len(digits) == 3 {
		digits = string([]byte{digits[0], digits[0], digits[1], digits[1], digits[2], digits[2]})
	}
	if len(digits) == 6 {
		digits += "ff"
	}
	v, err := strconv.ParseUint(digits, 16, 32)
	if err != nil || len(digits) != 8 || !strings.HasPrefix(s, "#") {
		return 0, fmt.Errorf("colour %q: write it as #rrggbb, for example #b7410e", s)
	}
	return Colour(v), nil
}

// RGB is the opaque colour of three 8-bit sRGB components.
func RGB(r, g, b uint8) Colour {
	return Colour(r)<<24 | Colour(g)<<16 | Colour(b)<<8 | 0xff
}

// WithAlpha is the same colour with an opacity from 0 (nothing) to 1 (opaque),
// kept to 1/255.
func (c Colour) WithAlpha(alpha float64) Colour {
	if !(alpha > 0) {
		alpha = 0
	}
	return c&^0xff | Colour(min(alpha, 1)*255+0.5)
}

// Alpha is the opacity, 0 to 1.
func (c Colour) Alpha() float64 { return float64(c&0xff) / 255 }

// RGBA returns the premultiplied 16-bit components, so that a Colour is an
// image/color.Color.
func (c Colour) RGBA() (r, g, b, a uint32) { return c.nrgba().RGBA() }

// String writes "#rrggbb", with two more digits where the colour is not opaque.
func (c Colour) String() string {
	if c&0xff == 0xff {
		return fmt.Sprintf("#%06x", uint32(c>>8))
	}
	return fmt.Sprintf("#%08x", uint32(c))
}

func (c Colour) nrgba() color.NRGBA {
	return color.NRGBA{R: uint8(c >> 24), G: uint8(c >> 16), B: uint8(c >> 8), A: uint8(c)}
}

func (c Colour) visible() bool { return c&0xff != 0 }
