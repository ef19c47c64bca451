package appearance

import (
	"fmt"
	"image"
	"image/color"
	"math"

	"scumble/appearance/finish"
	"scumble/appearance/stroke"
	"scumble/catalog"
	"scumble/geom"
)

// Seamless is a piece of a finish that goes on without a seam when it is laid beside
// itself, for drawing programs in three dimensions.
type Seamless struct {
	// Width and Height are the size of the piece, mm: that asked for, or the next that
	// holds whole repeats.
	Width, Height float64
	Colour        *image.RGBA
	// Heights are from Lowest (0) to Highest (65535), mm above the ground.
	Heights         *image.Gray16
	Lowest, Highest float64
	// Facing is the direction the surface faces in each place: red to the right, green
	// up, blue out of the wall, 128 standing for 0.
	Facing *image.RGBA
}

// beyond is how far the piece is cut from the edges of its panel, mm: there the tool
// turns, starts and ends.
const beyond = 450

// SeamlessOf makes a seamless piece about size mm square at scale pixels to the mm. The
// ends of the film are laid over one another with weights that keep its variance
// (Heitz and Neyret, High-Performance By-Example Noise, 2018, section 3).
func SeamlessOf(f *finish.Finish, c *catalog.Catalog, size, scale float64, light string) (*Seamless, error) {
	if !(size >= 50 && size <= 4000 && scale > 0 && size*scale <= 8192) {
		return nil, fmt.Errorf("a piece of %g mm at %g pixels to the mm: give 50 to 4000 mm and at most 8192 pixels", size, scale)
	}
	s := &Seamless{Width: size, Height: size}
	t := f.Technique
	var strip float64
	switch {
	case t.Rows != nil:
		motif, high := finish.Repeat(f)
		s.Width, s.Height = motif*math.Max(1, math.Round(size/motif)), 2*high*math.Max(1, math.Round(size/(2*high)))
	case t.StripWidth != nil && len(f.Grounds) > 1:
		strip = size / (2 * math.Max(1, math.Round(size/(2*t.StripWidth.Wanted.Likely))))
	}
	w, h := int(math.Round(s.Width*scale)), int(math.Round(s.Height*scale))
	s.Width, s.Height = float64(w)/scale, float64(h)/scale
	over := [2]int{w / 4, h / 4}
	worked, err := stroke.New(seamlessPanel(f, c, s, strip, scale, over), f.Recipe)
	if err != nil {
		return nil, fmt.Errorf("finish %s: %w", f.ID, err)
	}
	colours, err := newPalette(f, Options{Light: light})
	if err != nil {
		return nil, err
	}
	from := int(math.Ceil(beyond * scale))
	tile := stroke.Grid(from, from, w+over[0], h+over[1], 1/scale)
	worked.Fill(tile)
	planes := [][]float32{tile.First}
	if worked.HasSecond() {
		planes = append(planes, tile.Second)
	}
	if worked.HasRelief() {
		planes = append(planes, tile.Relief)
	}
	for i := range planes {
		planes[i] = wrapped(planes[i], w, h, over)
	}
	first, second, relief := planes[0], []float32(nil), make([]float32, w*h)
	if worked.HasSecond() {
		second = planes[1]
	}
	if worked.HasRelief() {
		relief = planes[len(planes)-1]
	}
	s.paint(f, colours, first, second, w, h, strip, scale)
	s.raise(f, first, second, relief, w, h, scale)
	return s, nil
}

// seamlessPanel is a panel round the piece whose rows and joints go on as they do in
// the piece laid beside itself.
func seamlessPanel(f *finish.Finish, c *catalog.Catalog, s *Seamless, strip, scale float64, over [2]int) stroke.Panel {
	wide, high := s.Width+float64(over[0])/scale+2*beyond, s.Height+float64(over[1])/scale+2*beyond
	p, _ := finish.BoardPanel(f, c, "seamless "+f.ID, wide, high)
	edge := math.Ceil(beyond*scale) / scale
	if f.Technique.Rows != nil {
		motif, row := finish.Repeat(f)
		rows := math.Round(s.Height / row)
		row, motif = s.Height/rows, s.Width/math.Round(s.Width/motif)
		p.Rows = nil
		for n := int(math.Ceil((high - edge) / row)); float64(n+1)*row+edge > 0; n-- {
			y := edge + float64(n)*row
			start := edge - motif*math.Ceil(edge/motif)
			if n%2 != 0 {
				start -= motif / 2
			}
			p.Rows = append(p.Rows, stroke.Row{Y0: y, Y1: y + row, Start: start, Motif: motif})
		}
	}
	if strip > 0 {
		p.Joints = nil
		for x := edge - strip*math.Floor(edge/strip); x < wide; x += strip {
			p.Joints = append(p.Joints, geom.Segment{A: geom.Point{X: x}, B: geom.Point{X: x, Y: high}})
		}
	}
	return p
}

// wrapped lays what lies beyond the right and upper edge over the left and lower one.
func wrapped(plane []float32, w, h int, over [2]int) []float32 {
	wide := w + over[0]
	var sum float64
	for _, v := range plane {
		sum += float64(v)
	}
	mean := float32(sum / float64(len(plane)))
	level := make([]float32, w*(h+over[1]))
	for j := range h + over[1] {
		for i := range w {
			v := plane[j*wide+i]
			if i < over[0] {
				v = laidOver(v, plane[j*wide+i+w], mean, float32(i)/float32(over[0]))
			}
			level[j*w+i] = v
		}
	}
	out := level[:w*h]
	for j := range over[1] {
		for i := range w {
			out[j*w+i] = laidOver(level[j*w+i], level[(j+h)*w+i], mean, float32(j)/float32(over[1]))
		}
	}
	return out
}

// laidOver blends two values, the second giving way to the first as t goes from 0 to 1.
func laidOver(a, b, mean, t float32) float32 {
	t = t * t * (3 - 2*t)
	u := 1 - t
	return max(0, mean+(t*(a-mean)+u*(b-mean))/float32(math.Sqrt(float64(t*t+u*u))))
}

// paint fills the colours.
func (s *Seamless) paint(f *finish.Finish, p *palette, first, second []float32, w, h int, strip, scale float64) {
	s.Colour = image.NewRGBA(image.Rect(0, 0, w, h))
	x, rgb, spare := make([]float32, w), make([]float32, 3*w), make([]float32, 3*w)
	for i := range x {
		x[i] = float32((float64(i) + 0.5) / scale)
	}
	b := newBrushful(1, Options{})
	for j := range h {
		y := float32((float64(j) + 0.5) / scale)
		for i := 0; i < w; {
			next, ground := w, 0
			if strip > 0 {
				n := int(float64(x[i]) / strip)
				ground = n % 2
				for next = i + 1; next < w && int(float64(x[next])/strip) == n; next++ {
				}
			}
			var two []float32
			if second != nil {
				two = second[j*w+i : j*w+next]
			}
			p.look(rgb[3*i:3*next], spare, ground, first[j*w+i:j*w+next], two, x[i:next], y, float32(1/scale))
			i = next
		}
		for i := range w {
			s.Colour.SetRGBA(i, h-1-j, color.RGBA{b.encoded(rgb[3*i]), b.encoded(rgb[3*i+1]), b.encoded(rgb[3*i+2]), 255})
		}
	}
}

// raise fills heights and directions: the relief, and on it the glaze as it dries.
func (s *Seamless) raise(f *finish.Finish, first, second, relief []float32, w, h int, scale float64) {
	solids := 0.4
	if f.Product.Solids.Likely > 0 {
		solids = f.Product.Solids.Likely
	}
	heights := make([]float64, w*h)
	s.Lowest, s.Highest = math.Inf(1), math.Inf(-1)
	for k := range heights {
		um := float64(first[k])
		if second != nil && !f.Mixed {
			um += float64(second[k])
		}
		heights[k] = float64(relief[k]) + um*solids/1000
		s.Lowest, s.Highest = math.Min(s.Lowest, heights[k]), math.Max(s.Highest, heights[k])
	}
	s.Heights, s.Facing = image.NewGray16(image.Rect(0, 0, w, h)), image.NewRGBA(image.Rect(0, 0, w, h))
	span := math.Max(s.Highest-s.Lowest, 1e-9)
	for j := range h {
		for i := range w {
			k := j*w + i
			s.Heights.SetGray16(i, h-1-j, color.Gray16{Y: uint16(math.Round(65535 * (heights[k] - s.Lowest) / span))})
			dx := (heights[j*w+(i+1)%w] - heights[j*w+(i+w-1)%w]) * scale / 2
			dy := (heights[(j+1)%h*w+i] - heights[(j+h-1)%h*w+i]) * scale / 2
			long := math.Sqrt(1 + dx*dx + dy*dy)
			s.Facing.SetRGBA(i, h-1-j, color.RGBA{facing(-dx / long), facing(-dy / long), facing(1 / long), 255})
		}
	}
}

func facing(v float64) uint8 { return uint8(math.Round(127.5 + 127.5*v)) }
