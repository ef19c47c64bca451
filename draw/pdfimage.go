package draw

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
)

func (c *content) image(im Image) {
	b := im.Box
	if !(b.W > 0 && b.H > 0) {
		return
	}
	name := -1
	switch {
	case im.JPEG != nil:
		var err error
		if name, err = c.pdf.jpeg(im.JPEG); err != nil {
			c.errs = append(c.errs, fmt.Errorf("image %q: damaged JPEG: %w", im.Alt, err))
			return
		}
	case im.Pixels != nil && !im.Pixels.Bounds().Empty():
		name = c.pdf.pixels(im.Pixels)
	default:
		return
	}
	c.set(Black, 0, true, false) // a picture is veiled by the fill opacity
	c.op("q %s 0 0 %s %s %s cm /I%d Do Q", num(b.W), num(-b.H), num(b.X), num(b.Y+b.H), name)
}

// picture notes a picture object under its digest and returns its name; the same
// picture is stored once.
func (p *pdf) picture(key [32]byte, make func() int) int {
	name, ok := p.images[key]
	if !ok {
		name = len(p.pics)
		p.images[key] = name
		p.pics = append(p.pics, make())
	}
	return name
}

// jpeg passes the bytes through as they are.
func (p *pdf) jpeg(data []byte) (int, error) {
	config, err := jpeg.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return 0, err
	}
	space := "/DeviceRGB"
	switch config.ColorModel {
	case color.GrayModel:
		space = "/DeviceGray"
	case color.CMYKModel: // stored inverted, as programs that write such files do
		space = "/DeviceCMYK/Decode[1 0 1 0 1 0 1 0]"
	}
	return p.picture(sha256.Sum256(data), func() int {
		return p.stream(fmt.Sprintf("/Type/XObject/Subtype/Image/Width %d/Height %d/BitsPerComponent 8/ColorSpace%s/Filter/DCTDecode",
			config.Width, config.Height, space), data, true)
	}), nil
}

// pixels stores a picture without loss, its transparency apart.
func (p *pdf) pixels(im image.Image) int {
	b := im.Bounds()
	w, h := b.Dx(), b.Dy()
	straight := image.NewNRGBA(image.Rect(0, 0, w, h))
	draw.Draw(straight, straight.Rect, im, b.Min, draw.Src)
	colours, alphas := make([]byte, 0, 3*w*h), make([]byte, 0, w*h)
	opaque := true
	for i := 0; i < len(straight.Pix); i += 4 {
		q := straight.Pix[i : i+4]
		colours, alphas = append(colours, q[0], q[1], q[2]), append(alphas, q[3])
		opaque = opaque && q[3] == 0xff
	}
	key := sha256.Sum256(fmt.Appendf(straight.Pix, "%d", w))
	return p.picture(key, func() int {
		entries := fmt.Sprintf("/Type/XObject/Subtype/Image/Width %d/Height %d/BitsPerComponent 8", w, h)
		mask := ""
		if !opaque {
			mask = fmt.Sprintf("/SMask %d 0 R", p.plane(entries+"/ColorSpace/DeviceGray", alphas, w, 1))
		}
		return p.plane(entries+"/ColorSpace/DeviceRGB"+mask, colours, w, 3)
	})
}

// plane compresses samples row by row as differences from the sample to the
// left (PNG filter 1), which suits pictures of paint better than plain bytes.
func (p *pdf) plane(entries string, samples []byte, w, parts int) int {
	row := w * parts
	out := make([]byte, 0, len(samples)+len(samples)/row)
	for ; len(samples) > 0; samples = samples[row:] {
		out = append(out, 1)
		out = append(out, samples[:parts]...)
		for i := parts; i < row; i++ {
			out = append(out, samples[i]-samples[i-parts])
		}
	}
	return p.stream(fmt.Sprintf("%s/DecodeParms<</Predictor 15/Colors %d/BitsPerComponent 8/Columns %d>>", entries, parts, w), out, false)
}
