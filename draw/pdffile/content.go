package pdffile

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"slices"
	"strings"

	"scumble/draw/outline"
)

// Content is the drawing of one page. What overlaps is painted in the order added.
type Content struct {
	file   *File
	page   int
	out    bytes.Buffer
	state  paintState
	saved  []paintState
	annots strings.Builder
}

// paintState is what the page was last told, so that it need not be told again.
type paintState struct {
	fill, stroke color.NRGBA
	line         string
	veil         veil
	told         bool
}

// veil is a pair of opacities for fills and strokes, named /G0, /G1...
type veil struct{ fill, stroke float64 }

// Begin starts the drawing of page n, counted from 0; End puts it into the file.
// It fails on a size that no page can have.
func (f *File) Begin(n int) (*Content, error) {
	w, h := f.pages[n].W, f.pages[n].H
	if !(w > 0 && h > 0 && w <= 5080 && h <= 5080) {
		return nil, fmt.Errorf("size %g by %g mm: a PDF page is more than 0 and at most 5080 mm wide and high", w, h)
	}
	c := &Content{file: f, page: n}
	c.op("%s 0 0 %s 0 %s cm %d M", num(pointsPerMM), num(-pointsPerMM), num(h*pointsPerMM), outline.MiterLimit)
	return c, nil
}

// End puts the page into the file.
func (c *Content) End() {
	f, page := c.file, c.file.pages[c.page]
	stream := f.stream("", c.out.Bytes(), false)
	annots := ""
	if c.annots.Len() > 0 {
		annots = "/Annots[" + c.annots.String() + "]"
	}
	f.set(firstPageID+c.page, "<</Type/Page/Parent %d 0 R/MediaBox[0 0 %s %s]/Contents %d 0 R/Resources %d 0 R%s>>", treeID,
		num(page.W*pointsPerMM), num(page.H*pointsPerMM), stream, resourcesID, annots)
}

func (c *Content) op(format string, args ...any) {
	fmt.Fprintf(&c.out, format, args...)
	c.out.WriteByte('\n')
}

// Save keeps the coordinates, the clip and the colours until Restore.
func (c *Content) Save() {
	c.saved = append(c.saved, c.state)
	c.op("q")
}

// Restore goes back to the state of the last Save.
func (c *Content) Restore() {
	last := len(c.saved) - 1
	c.state, c.saved = c.saved[last], c.saved[:last]
	c.op("Q")
}

// Place maps what follows by t.
func (c *Content) Place(t outline.Transform) {
	c.op("%s %s %s %s %s %s cm", num(t.A), num(t.B), num(t.C), num(t.D), num(t.E), num(t.F))
}

// Clip hides what follows outside the outline (even-odd).
func (c *Content) Clip(o outline.Outline) {
	c.outline(o)
	c.op("W* n")
}

// Rect is an upright rectangle in mm; X, Y is its top left corner.
type Rect struct{ X, Y, W, H float64 }

// LinkTo makes an area of the page, in page coordinates, lead to the place at on
// page n, counted from 0.
func (c *Content) LinkTo(area Rect, n int, at outline.Point) {
	c.link(area, fmt.Sprintf("/Dest[%d 0 R/XYZ %s %s null]", firstPageID+n,
		num(at.X*pointsPerMM), num((c.file.pages[n].H-at.Y)*pointsPerMM)))
}

// LinkOut makes an area of the page, in page coordinates, lead to an address
// outside the document.
func (c *Content) LinkOut(area Rect, address string) {
	c.link(area, "/A<</S/URI/URI"+pdfString(address)+">>")
}

func (c *Content) link(area Rect, action string) {
	x, y := area.X*pointsPerMM, (c.file.pages[c.page].H-area.Y)*pointsPerMM
	fmt.Fprintf(&c.annots, "<</Type/Annot/Subtype/Link/Border[0 0 0]/F 4/Rect[%s %s %s %s]%s>>",
		num(x), num(y-area.H*pointsPerMM), num(x+area.W*pointsPerMM), num(y), action)
}

func (c *Content) outline(o outline.Outline) {
	var at, start outline.Point
	for _, s := range o {
		switch s.Op {
		case outline.MoveTo:
			at, start = s.P[0], s.P[0]
			c.op("%s %s m", num(at.X), num(at.Y))
		case outline.LineTo:
			at = s.P[0]
			c.op("%s %s l", num(at.X), num(at.Y))
		case outline.QuadTo:
			a, b := outline.Between(at, s.P[0], 2.0/3), outline.Between(s.P[1], s.P[0], 2.0/3)
			at = s.P[1]
			c.op("%s %s %s %s %s %s c", num(a.X), num(a.Y), num(b.X), num(b.Y), num(at.X), num(at.Y))
		case outline.CubeTo:
			at = s.P[2]
			c.op("%s %s %s %s %s %s c", num(s.P[0].X), num(s.P[0].Y), num(s.P[1].X), num(s.P[1].Y), num(at.X), num(at.Y))
		case outline.Close:
			at = start
			c.op("h")
		}
	}
}

// Path fills an outline (even-odd) and then draws along it. A colour without
// opacity, a pen without width and an outline without a start paint nothing.
func (c *Content) Path(o outline.Outline, fill color.NRGBA, pen outline.Pen, stroke color.NRGBA) {
	filling, stroking := fill.A > 0, pen.Width > 0 && stroke.A > 0
	if len(o) == 0 || o[0].Op != outline.MoveTo || !filling && !stroking {
		return
	}
	c.set(fill, stroke, filling, stroking)
	if stroking {
		c.setLine(pen)
	}
	c.outline(o)
	switch {
	case filling && stroking:
		c.op("B*")
	case filling:
		c.op("f*")
	default:
		c.op("S")
	}
}

// set tells the page the colours that are about to be used.
func (c *Content) set(fill, stroke color.NRGBA, filling, stroking bool) {
	s := &c.state
	if !s.told {
		black := color.NRGBA{A: 0xff}
		*s = paintState{fill: black, stroke: black, veil: veil{1, 1}, told: true}
	}
	next := *s
	if filling {
		next.fill, next.veil.fill = fill, float64(fill.A)/255
	}
	if stroking {
		next.stroke, next.veil.stroke = stroke, float64(stroke.A)/255
	}
	if next.veil != s.veil {
		c.op("/G%d gs", c.file.veilName(next.veil))
	}
	if parts(next.fill) != parts(s.fill) {
		c.op("%s rg", shares(next.fill))
	}
	if parts(next.stroke) != parts(s.stroke) {
		c.op("%s RG", shares(next.stroke))
	}
	*s = next
}

func parts(c color.NRGBA) [3]uint8 { return [3]uint8{c.R, c.G, c.B} }

func shares(c color.NRGBA) string {
	return num(float64(c.R)/255) + " " + num(float64(c.G)/255) + " " + num(float64(c.B)/255)
}

// veilName is the number of a pair of opacities.
func (f *File) veilName(v veil) int {
	if i := slices.Index(f.veils, v); i >= 0 {
		return i
	}
	f.veils = append(f.veils, v)
	return len(f.veils) - 1
}

func (c *Content) setLine(pen outline.Pen) {
	var dash strings.Builder
	if pen.Dashes() {
		for i, d := range pen.Dash {
			if i > 0 {
				dash.WriteByte(' ')
			}
			dash.WriteString(num(d))
		}
	}
	line := fmt.Sprintf("%s w %d J %d j [%s] %s d", num(pen.Width), pen.Cap, pen.Join, dash.String(), num(max(0, pen.Phase)))
	if line != c.state.line {
		c.op("%s", line)
		c.state.line = line
	}
}

// JPEG lays a JPEG in a box; its bytes go into the file as they are. It fails
// when they are no JPEG.
func (c *Content) JPEG(data []byte, box Rect) error {
	name, err := c.file.jpeg(data)
	if err == nil {
		c.picture(name, box)
	}
	return err
}

// Pixels lays a picture in a box, without loss.
func (c *Content) Pixels(im image.Image, box Rect) { c.picture(c.file.pixels(im), box) }

func (c *Content) picture(name int, b Rect) {
	c.set(color.NRGBA{A: 0xff}, color.NRGBA{}, true, false) // a picture is veiled by the fill opacity
	c.op("q %s 0 0 %s %s %s cm /I%d Do Q", num(b.W), num(-b.H), num(b.X), num(b.Y+b.H), name)
}

// picture notes a picture object under its digest and returns its name; the same
// picture is stored once.
func (f *File) picture(key [32]byte, make func() int) int {
	name, ok := f.images[key]
	if !ok {
		name = len(f.pics)
		f.images[key] = name
		f.pics = append(f.pics, make())
	}
	return name
}

// jpeg passes the bytes through as they are.
func (f *File) jpeg(data []byte) (int, error) {
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
	return f.picture(sha256.Sum256(data), func() int {
		return f.stream(fmt.Sprintf("/Type/XObject/Subtype/Image/Width %d/Height %d/BitsPerComponent 8/ColorSpace%s/Filter/DCTDecode",
			config.Width, config.Height, space), data, true)
	}), nil
}

// pixels stores a picture without loss, its transparency apart.
func (f *File) pixels(im image.Image) int {
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
	return f.picture(key, func() int {
		entries := fmt.Sprintf("/Type/XObject/Subtype/Image/Width %d/Height %d/BitsPerComponent 8", w, h)
		mask := ""
		if !opaque {
			mask = fmt.Sprintf("/SMask %d 0 R", f.plane(entries+"/ColorSpace/DeviceGray", alphas, w, 1))
		}
		return f.plane(entries+"/ColorSpace/DeviceRGB"+mask, colours, w, 3)
	})
}

// plane compresses samples row by row as differences from the sample to the
// left (PNG filter 1), which suits pictures of paint better than plain bytes.
func (f *File) plane(entries string, samples []byte, w, parts int) int {
	row := w * parts
	out := make([]byte, 0, len(samples)+len(samples)/row)
	for ; len(samples) > 0; samples = samples[row:] {
		out = append(out, 1)
		out = append(out, samples[:parts]...)
		for i := parts; i < row; i++ {
			out = append(out, samples[i]-samples[i-parts])
		}
	}
	return f.stream(fmt.Sprintf("%s/DecodeParms<</Predictor 15/Colors %d/BitsPerComponent 8/Columns %d>>", entries, parts, w), out, false)
}
