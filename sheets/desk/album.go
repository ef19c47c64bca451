package desk

import (
	"bytes"
	"context"
	"image"
	"image/jpeg"
	"math"
	"slices"
	"strings"
	"sync"

	"scumble/appearance"
	"scumble/appearance/finish"
	"scumble/draw"
	"scumble/geom"
	"scumble/job"
	"scumble/sheets/drafting"
	"scumble/sheets/elevation"
	"scumble/sheets/pattern"
)

// album keeps the pictures of a job, each painted once however many papers show it.
type album struct {
	lock  sync.Mutex
	shown map[string]func() *Shown
	walls map[string]func() pictured
}

// pictured is the picture of a wall, or why there is none.
type pictured struct {
	photo *elevation.Photo
	err   error
}

// Shown is a finish as papers show it.
type Shown struct {
	Finish     *finish.Finish
	Adjustment *finish.Adjustment // nil without sample boards
	Swatch     *finish.Swatch
	// Lamps are the lights of the rooms it is in, in their order; the first is the one
	// in the picture by lamp.
	Lamps []string
	// Day and Lamp are a piece of wall of Piece mm, as JPEG; Chip is a smaller one.
	Day, Lamp, Chip []byte
	// Trial is the sample board to make, and Board its picture by day: the wall of
	// Piece goes on in it.
	Trial finish.Trial
	Board []byte
	// Err says why there are no pictures; everything else is then empty.
	Err error
}

// Piece is the size of the piece of wall a finish is shown on, and Chip that of the
// smaller one in its middle, mm of wall.
var (
	Piece = [2]float64{900, 480}
	Chip  = [2]float64{550, 300}
)

// Sizes of pictures: pixels to the mm of wall, and of the longer side of a board.
const (
	pieceScale = 0.85
	chipScale  = 0.42
	boardLong  = 330
	wallScale  = 0.11
	mostOfWall = 600000 // pixels, for walls as large as a hall
)

// once keeps what is made under a key.
func once[T any](a *album, in *map[string]func() T, key string, make func() T) T {
	a.lock.Lock()
	if *in == nil {
		*in = map[string]func() T{}
	}
	if (*in)[key] == nil {
		(*in)[key] = sync.OnceValue(make)
	}
	made := (*in)[key]
	a.lock.Unlock()
	return made()
}

// Shown is a finish of the job with its pictures.
func (d *Desk) Shown(id string) *Shown {
	return once(&d.album, &d.album.shown, id, func() *Shown {
		s, err := d.show(id)
		if err != nil {
			return &Shown{Err: err}
		}
		return s
	})
}

func (d *Desk) show(id string) (*Shown, error) {
	p := d.Plan
	s := &Shown{Lamps: appearance.LampsOver(p.Job, p.Survey, id)}
	var err error
	if s.Finish, s.Adjustment, err = finish.Agreed(p.Job, p.Catalog, id); err != nil {
		return nil, err
	}
	if s.Swatch, err = finish.SwatchOf(s.Finish, p.Catalog); err != nil {
		return nil, err
	}
	s.Trial = finish.TrialOf(s.Finish, p.Catalog)
	wide, high := s.Trial.Width, s.Trial.Height
	wall := appearance.BoardWall(s.Finish, p.Catalog, "piece of "+id, max(Piece[0], wide), max(Piece[1], high))
	piece, board := geom.Rect(0, 0, Piece[0], Piece[1]).Bounds(), geom.Rect(0, 0, wide, high).Bounds()
	chip := geom.Rect((Piece[0]-Chip[0])/2, (Piece[1]-Chip[1])/2, Chip[0], Chip[1]).Bounds()
	for _, picture := range []struct {
		into    *[]byte
		options appearance.Options
	}{
		{&s.Day, appearance.Options{Scale: pieceScale, Crop: piece}},
		{&s.Lamp, appearance.Options{Scale: pieceScale, Crop: piece, Light: s.Lamps[0]}},
		{&s.Chip, appearance.Options{Scale: chipScale, Crop: chip}},
		{&s.Board, appearance.Options{Scale: boardLong / max(wide, high), Crop: board}},
	} {
		painted, err := appearance.Paint(context.Background(), wall, picture.options)
		if err != nil {
			return nil, err
		}
		if *picture.into, err = asJPEG(painted.Image); err != nil {
			return nil, err
		}
	}
	return s, nil
}

func asJPEG(img image.Image) ([]byte, error) {
	var b bytes.Buffer
	err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 84})
	return b.Bytes(), err
}

// Chip is a sample of a finish in a fine frame: its picture, or the sign of its
// technique where no picture can be made.
func (d *Desk) Chip(f *job.Finish, box draw.Box) draw.Item {
	s := d.Shown(f.ID)
	if s.Err != nil {
		return pattern.Chip(f, box)
	}
	whole := draw.Box{X: box.X, Y: box.Y, W: box.W, H: box.W * Chip[1] / Chip[0]}
	if whole.H < box.H {
		whole.W, whole.H = box.H*Chip[0]/Chip[1], box.H
	}
	frame := draw.Rect(box.X, box.Y, box.W, box.H)
	return draw.Group{Items: []draw.Item{
		draw.Group{Clip: frame.Outline, Items: []draw.Item{draw.Image{Box: whole, JPEG: s.Chip, Alt: f.Name}}},
		frame.Stroked(draw.Ink(drafting.FineWidth, drafting.Ink)),
	}}
}

// Views are all walls of the job in walking order, wearing their pictures by day.
func (d *Desk) Views() []elevation.View {
	p := d.Plan
	views := elevation.Walls(p.Job, p.Survey, p.SetOut)
	for i := range views {
		d.wear(&views[i])
	}
	return views
}

// View is one wall of the job wearing its picture by day.
func (d *Desk) View(wall string) (elevation.View, bool) {
	p := d.Plan
	for _, v := range elevation.Walls(p.Job, p.Survey, p.SetOut) {
		if v.Wall.ID == wall {
			d.wear(&v)
			return v, true
		}
	}
	return elevation.View{}, false
}

// wear gives a wall with a finish its picture. Where none can be made the wall keeps
// its drawn patterns, and why.
func (d *Desk) wear(v *elevation.View) {
	if !slices.ContainsFunc(v.Fields, func(f elevation.Field) bool { return f.Finish != nil }) {
		return
	}
	made := once(&d.album, &d.album.walls, v.Wall.ID, func() pictured {
		photo, err := d.photo(v)
		return pictured{photo, err}
	})
	if v.Photo = made.photo; made.err != nil {
		v.Unpictured = InOneLine(strings.Split(made.err.Error(), "\n")...)
	}
}

func (d *Desk) photo(v *elevation.View) (*elevation.Photo, error) {
	p := d.Plan
	wall, err := appearance.Of(p.Job, p.Catalog, p.Survey, p.SetOut, v.Wall.ID)
	if err != nil {
		return nil, err
	}
	scale := math.Min(wallScale, math.Sqrt(mostOfWall/(wall.Bounds.Width()*wall.Bounds.Height())))
	painted, err := appearance.Paint(context.Background(), wall, appearance.Options{Scale: scale, Samples: 2})
	if err != nil {
		return nil, err
	}
	content, err := asJPEG(painted.Image)
	if err != nil {
		return nil, err
	}
	return &elevation.Photo{JPEG: content, Shown: painted.Shown, Alt: v.Name() + " in its finish"}, nil
}
