package appearance

import (
	"context"
	"fmt"
	"image"
	"image/color"
	"math"
	"runtime"
	"slices"
	"sync"

	"scumble/appearance/colour"
	"scumble/appearance/stroke"
	"scumble/geom"
)

// Options say how a wall is looked at.
type Options struct {
	// Light is a light as the CIE names it; empty is daylight D65. Lamp is a measured one
	// in its place.
	Light string
	Lamp  *colour.Light
	// Fresh shows the light with its cast, as to an eye that has just come in. The
	// usual eye has adapted to the light, and only sees colours turn.
	Fresh bool
	// Scale is pixels to the mm of wall.
	Scale float64
	// Crop is the part of the wall shown, mm; without extent it is the whole wall.
	Crop geom.Bounds
	// Samples is how many places of wall are looked at for each pixel; 0 takes as
	// many as the scale asks for, 1 is a quick preview, and more than 255 is 255.
	Samples int
	// Lost shows every joint between sections as it looks when the wet edge was lost.
	Lost bool
	// Workers is how many tiles are worked at once; 0 is one for each core.
	Workers int
	// Progress, when given, is told how many rows of pixels are done.
	Progress func(done, all int)
}

// bare is the look of wall and openings that get no finish.
var bare = color.RGBA{0xf6, 0xf6, 0xf4, 0xff}

// Picture is a wall, or a part of one, in its finish.
type Picture struct {
	Image *image.RGBA
	// Shown is the part of the wall on it, mm. Its corners lie on whole pixels of a
	// grid through the lower left corner of the wall.
	Shown geom.Bounds
	// Clipped is the share of the films it can hold whose colour a screen cannot show;
	// there the nearest of the same hue and lightness stands for it.
	Clipped float64
}

// mostPixels keeps a picture from filling the memory (4 bytes each).
const mostPixels = 1 << 27

// band is how many rows of pixels are worked at a time.
const band = 96

// painted is one face, ready to be looked at.
type painted struct {
	face    *Face
	film    *stroke.Film
	palette *palette
}

// Paint makes the picture of a wall. The same wall shows the same pixels in any
// crop and on any number of cores. The error is that of ctx, or says what is
// missing for a picture.
func Paint(ctx context.Context, w *Wall, o Options) (*Picture, error) {
	if o.Scale == 0 {
		o.Scale = 1
	}
	if o.Samples == 0 {
		o.Samples = samplesAt(o.Scale)
	}
	o.Samples = min(o.Samples, math.MaxUint8) // as many as a brushful counts
	if o.Workers == 0 {
		o.Workers = runtime.GOMAXPROCS(0)
	}
	shown := w.Bounds
	if o.Crop.Width() > 0 && o.Crop.Height() > 0 {
		shown = o.Crop
	}
	i0, i1 := int(math.Floor(shown.Min.X*o.Scale+1e-9)), int(math.Ceil(shown.Max.X*o.Scale-1e-9))
	j0, j1 := int(math.Floor(shown.Min.Y*o.Scale+1e-9)), int(math.Ceil(shown.Max.Y*o.Scale-1e-9))
	if wide, high := float64(i1-i0), float64(j1-j0); !(wide*high <= mostPixels) || i1 <= i0 || j1 <= j0 {
		return nil, fmt.Errorf("a picture of %.0f by %.0f pixels: give a scale and a part of the wall that make between 1 and %d", wide, high, mostPixels)
	}
	p := &Picture{Shown: geom.Bounds{
		Min: geom.Point{X: float64(i0) / o.Scale, Y: float64(j0) / o.Scale}, Max: geom.Point{X: float64(i1) / o.Scale, Y: float64(j1) / o.Scale}}}
	faces, err := prepare(w, o)
	if err != nil {
		return nil, err
	}
	p.Image = image.NewRGBA(image.Rect(0, 0, i1-i0, j1-j0))
	bands := (j1 - j0 + band - 1) / band
	next := make(chan int, bands)
	for n := range bands {
		next <- n
	}
	close(next)
	var wait sync.WaitGroup
	var lock sync.Mutex
	done := 0
	for range min(o.Workers, max(bands, 1)) {
		wait.Go(func() {
			b := newBrushful(i1-i0, o)
			for n := range next {
				if ctx.Err() != nil {
					return
				}
				top := j1 - n*band // rows of the picture run down, those of the wall up
				low := max(j0, top-band)
				b.paint(p.Image, faces, i0, low, top-low, j1)
				lock.Lock()
				done += top - low
				if o.Progress != nil {
					o.Progress(done, j1-j0)
				}
				lock.Unlock()
			}
		})
	}
	wait.Wait()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	for _, f := range faces {
		p.Clipped = max(p.Clipped, f.palette.clipped)
	}
	return p, nil
}

// samplesAt is how many places a pixel averages: the marks of tools are a mm or two
// wide, so a pixel of several mm must look at several.
func samplesAt(scale float64) int {
	switch pitch := 1 / scale; {
	case pitch <= 1.2:
		return 1
	case pitch <= 2.5:
		return 2
	case pitch <= 5:
		return 4
	default:
		return 6
	}
}

// prepare works out films and colours of all faces, side by side.
func prepare(w *Wall, o Options) ([]painted, error) {
	faces := make([]painted, len(w.Faces))
	errs := make([]error, 2*len(w.Faces))
	var wait sync.WaitGroup
	for n := range w.Faces {
		face := &w.Faces[n]
		faces[n].face = face
		wait.Go(func() {
			faces[n].film, errs[2*n] = face.film(o.Lost)
		})
		wait.Go(func() {
			faces[n].palette, errs[2*n+1] = newPalette(face.Finish, o)
		})
	}
	wait.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return faces, nil
}

// brushful is what one worker paints a band of pixels with.
type brushful struct {
	o          Options
	apart      float32 // of samples, mm
	tile       stroke.Tile
	sum        []float32 // linear red, green and blue of each pixel
	used       []uint8   // samples of each pixel that fell on a finish
	rgb, spare []float32 // of a row
	joints     []float32
	bytes      *[1 << 16]uint8 // 8-bit values of linear light
}

func newBrushful(width int, o Options) *brushful {
	return &brushful{o: o, apart: float32(1 / (o.Scale * math.Sqrt(float64(o.Samples)))), sum: make([]float32, 3*width*band), used: make([]uint8, width*band),
		rgb: make([]float32, 3*width), spare: make([]float32, 3*width), bytes: encoding()}
}

// paint fills rows [low, low+rows) of the pixel grid of the wall, from column i0 on;
// top is the grid row above the first row of the picture.
func (b *brushful) paint(img *image.RGBA, faces []painted, i0, low, rows, top int) {
	w := img.Rect.Dx()
	clear(b.sum[:3*w*rows])
	clear(b.used[:w*rows])
	for n := range b.o.Samples {
		for k := range faces {
			b.sample(&faces[k], n, i0, low, w, rows)
		}
	}
	for j := range rows {
		at := img.PixOffset(0, top-1-(low+j))
		b.encode(img.Pix[at:at+4*w], j*w, w)
	}
}

// sample adds what one place in each pixel looks like.
func (b *brushful) sample(f *painted, n, i0, low, w, rows int) {
	box := f.face.Region.Bounds()
	pitch := 1 / b.o.Scale
	if float64(low)*pitch >= box.Max.Y || float64(low+rows)*pitch <= box.Min.Y {
		return
	}
	from := max(0, int(math.Floor(box.Min.X/pitch))-i0)
	to := min(w, int(math.Ceil(box.Max.X/pitch))-i0)
	if from >= to {
		return
	}
	halo := 0
	if f.film.HasRelief() {
		halo = 1 // light on a slope needs the heights round a place
	}
	t := &b.tile
	// Marks are sampled sharply however coarse the picture is: what is averaged is light,
	// for the colour of a mean film is not the mean colour.
	t.Pitch = min(1, b.apart)
	t.X, t.Y = resized(t.X, to-from+2*halo), resized(t.Y, rows+2*halo)
	for i := range t.X {
		column := i0 + from + i - halo
		t.X[i] = float32((float64(column) + b.place(column, n, 0)) * pitch)
	}
	for j := range t.Y {
		row := low + j - halo
		t.Y[j] = float32((float64(row) + b.place(row, n, 1)) * pitch)
	}
	f.film.Fill(t)
	for j := range rows {
		b.row(f, j, from, w, halo)
	}
}

func resized(s []float32, n int) []float32 {
	if cap(s) < n {
		return make([]float32, n)
	}
	return s[:n]
}

// place is where in a pixel a sample lies, 0 to 1: in the middle when there is one,
// else strewn, each sample in a column and a row of its own.
func (b *brushful) place(i, n, axis int) float64 {
	all := b.o.Samples
	if all == 1 {
		return 0.5
	}
	if axis == 1 {
		stride := 3
		if all%3 == 0 {
			stride = 5
		}
		n = (n*stride + 1) % all
	}
	return (float64(n) + stroke.Chance(uint64(axis+1), i, n)) / float64(all)
}

// row adds one row of samples of a face to the sums, stretch by stretch: what lies in
// the field, strip by strip.
func (b *brushful) row(f *painted, j, from, w, halo int) {
	t := &b.tile
	y := t.Y[j+halo]
	wide := len(t.X)
	x := t.X[halo : wide-halo]
	base := (j+halo)*wide + halo
	b.joints = f.face.joints(b.joints, y)
	for _, span := range f.face.Region.SpanAcross(float64(y)) {
		i := firstNotBelow(x, float32(span[0]))
		end := firstNotBelow(x, float32(span[1]))
		for i < end {
			strip, next := 0, end
			for strip < len(b.joints) && b.joints[strip] <= x[i] {
				strip++
			}
			if strip < len(b.joints) {
				next = min(end, firstNotBelow(x, b.joints[strip]))
			}
			at := j*w + from + i
			sum, rgb := b.sum[3*at:3*(at+next-i)], b.rgb[:3*(next-i)]
			if b.o.Samples == 1 {
				rgb = sum // there is nothing to add up
			}
			var second []float32
			if f.film.HasSecond() {
				second = t.Second[base+i : base+next]
			}
			f.palette.look(rgb, b.spare, f.face.ground(strip), t.First[base+i:base+next], second, x[i:next], y, b.apart)
			if halo > 0 {
				shade(rgb, t, base+i, wide, halo+i, j+halo)
			}
			if b.o.Samples > 1 {
				for k, v := range rgb {
					sum[k] += v
				}
			}
			used := b.used[at : at+next-i]
			for k := range used {
				used[k]++
			}
			i = next
		}
	}
}

// firstNotBelow is the first place of a rising list that is not below v.
func firstNotBelow(x []float32, v float32) int {
	n, _ := slices.BinarySearch(x, v)
	return n
}

// The light that shows a relief comes from the upper left, a little from the front.
const lightX, lightY, lightZ = -0.45, 0.5, 0.74

// shade lights a run of places by the slope of the relief (Lambert), against a flat
// wall in the same light.
func shade(rgb []float32, t *stroke.Tile, at, wide, column, row int) {
	for n := range len(rgb) / 3 {
		k, i := at+n, column+n
		dx := (t.Relief[k+1] - t.Relief[k-1]) / (t.X[i+1] - t.X[i-1])
		dy := (t.Relief[k+wide] - t.Relief[k-wide]) / (t.Y[row+1] - t.Y[row-1])
		lit := (lightZ - lightX*dx - lightY*dy) / (lightZ * float32(math.Sqrt(float64(1+dx*dx+dy*dy))))
		lit = max(0.35, lit) // light from the room reaches every fold
		rgb[3*n] *= lit
		rgb[3*n+1] *= lit
		rgb[3*n+2] *= lit
	}
}

// encode turns sums into pixels; where no sample fell on a finish the wall is bare.
func (b *brushful) encode(pix []uint8, at, w int) {
	all := b.o.Samples
	share := 1 / float32(all)
	sums := b.sum[3*at : 3*(at+w)]
	for i, used := range b.used[at : at+w] {
		p, sum := pix[4*i:4*i+4:4*i+4], sums[3*i:3*i+3:3*i+3]
		p[3] = 0xff
		switch {
		case int(used) == all:
			p[0], p[1], p[2] = b.encoded(sum[0]*share), b.encoded(sum[1]*share), b.encoded(sum[2]*share)
		case used == 0:
			p[0], p[1], p[2] = bare.R, bare.G, bare.B
		default:
			rest := float32(all-int(used)) * share
			p[0] = b.encoded(float32(sum[0]*share) + float32(rest*bareLight[0]))
			p[1] = b.encoded(float32(sum[1]*share) + float32(rest*bareLight[1]))
			p[2] = b.encoded(float32(sum[2]*share) + float32(rest*bareLight[2]))
		}
	}
}

var bareLight = func() [3]float32 {
	c := colour.FromBytes(bare.R, bare.G, bare.B)
	return [3]float32{float32(c.R), float32(c.G), float32(c.B)}
}()

// encoding gives the 8-bit value of linear light, closer than a tenth of a step.
var encoding = sync.OnceValue(func() *[1 << 16]uint8 {
	var table [1 << 16]uint8
	for i := range table {
		table[i] = colour.EncodeByte(float64(i) / (1<<16 - 1))
	}
	return &table
})

func (b *brushful) encoded(v float32) uint8 {
	return b.bytes[uint16(min(max(int(float32(v*(1<<16-1))+0.5), 0), 1<<16-1))]
}
