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
	lock   sync.Mutex
	shown  map[string]func() *Shown
	pieces map[Picture]func() painted
	walls  map[string]func() pictured
	pairs  map[string]func() answered // by step; kept here because they, too, are worked out once for all papers
}

// Kind is what a picture shows.
type Kind int

// The kinds of pictures papers show.
const (
	OfWall  Kind = iota // a wall by day
	Daylit              // a piece of wall in a finish, of Piece mm, by day
	Lamplit             // the same by the first lamp of its rooms
	Sample              // a smaller piece by day, of Chip mm
	OfBoard             // the sample board to make, by day
)

// Picture names one picture: of a wall by its ID, else of a finish by its ID.
type Picture struct {
	Kind Kind
	Of   string
}

// Words say what is painted.
func (p Picture) Words() string {
	return p.Of + map[Kind]string{OfWall: "", Daylit: " by day", Lamplit: " by lamp", Sample: ", small", OfBoard: ", sample board"}[p.Kind]
}

// painted is a picture of a finish as JPEG, or why there is none.
type painted struct {
	content []byte
	err     error
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
	// Trial is the sample board to make; the wall of Piece goes on in it.
	Trial finish.Trial
	// Pictures are those that were asked for, as JPEG.
	Pictures map[Kind][]byte
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
func once[K comparable, T any](a *album, in *map[K]func() T, key K, make func() T) T {
	a.lock.Lock()
	if *in == nil {
		*in = map[K]func() T{}
	}
	if (*in)[key] == nil {
		(*in)[key] = sync.OnceValue(make)
	}
	made := (*in)[key]
	a.lock.Unlock()
	return made()
}

// InMethod are pictures of all finishes on the walls of the job, of some kinds.
func (d *Desk) InMethod(kinds ...Kind) []Picture {
	var list []Picture
	seen := map[string]bool{}
	for i := range d.Plan.Method.Faces {
		if id := d.Plan.Method.Faces[i].Finish.ID; !seen[id] {
			seen[id] = true
			for _, k := range kinds {
				list = append(list, Picture{k, id})
			}
		}
	}
	return list
}

// OnWalls are the pictures of all walls with a finish, in walking order.
func (d *Desk) OnWalls() []Picture {
	p := d.Plan
	var list []Picture
	for _, v := range elevation.Walls(p.Job, p.Survey, p.SetOut) {
		if decorated(&v) {
			list = append(list, Picture{OfWall, v.Wall.ID})
		}
	}
	return list
}

// Paint paints a picture before a paper shows it. That there can be none is for the
// paper to say.
func (d *Desk) Paint(p Picture) {
	if p.Kind == OfWall {
		d.View(p.Of)
		return
	}
	d.Shown(p.Of, p.Kind)
}

// context ends painting when the papers are no longer wanted.
func (d *Desk) context() context.Context {
	if d.Context == nil {
		return context.Background()
	}
	return d.Context
}

// Shown is a finish of the job, with pictures of some kinds.
func (d *Desk) Shown(id string, kinds ...Kind) *Shown {
	shown := *once(&d.album, &d.album.shown, id, func() *Shown {
		s, err := d.show(id)
		if err != nil {
			return &Shown{Err: err}
		}
		return s
	})
	if shown.Err != nil {
		return &shown
	}
	shown.Pictures = map[Kind][]byte{}
	for _, k := range kinds {
		made := once(&d.album, &d.album.pieces, Picture{k, id}, func() painted {
			content, err := d.piece(&shown, k)
			return painted{content, err}
		})
		if made.err != nil {
			return &Shown{Err: made.err}
		}
		shown.Pictures[k] = made.content
	}
	return &shown
}

// show is a finish without its pictures.
func (d *Desk) show(id string) (*Shown, error) {
	p := d.Plan
	if err := d.context().Err(); err != nil {
		return nil, err
	}
	s := &Shown{Lamps: appearance.LampsOver(p.Job, p.Survey, id)}
	var err error
	if s.Finish, s.Adjustment, err = finish.Agreed(p.Job, p.Catalog, id); err != nil {
		return nil, err
	}
	if s.Swatch, err = finish.SwatchOf(s.Finish, p.Catalog); err != nil {
		return nil, err
	}
	s.Trial = finish.TrialOf(s.Finish, p.Catalog)
	return s, nil
}

// piece paints a piece of wall in a finish.
func (d *Desk) piece(s *Shown, k Kind) ([]byte, error) {
	wide, high := s.Trial.Width, s.Trial.Height
	wall := appearance.BoardWall(s.Finish, d.Plan.Catalog, "piece of "+s.Finish.ID, max(Piece[0], wide), max(Piece[1], high))
	o := appearance.Options{Scale: pieceScale, Crop: geom.Rect(0, 0, Piece[0], Piece[1]).Bounds()}
	switch k {
	case Lamplit:
		o.Light = s.Lamps[0]
	case Sample:
		o.Scale = chipScale
		o.Crop = geom.Rect((Piece[0]-Chip[0])/2, (Piece[1]-Chip[1])/2, Chip[0], Chip[1]).Bounds()
	case OfBoard:
		o.Scale = boardLong / max(wide, high)
		o.Crop = geom.Rect(0, 0, wide, high).Bounds()
	}
	made, err := appearance.Paint(d.context(), wall, o)
	if err != nil {
		return nil, err
	}
	return asJPEG(made.Image)
}

func asJPEG(img image.Image) ([]byte, error) {
	var b bytes.Buffer
	err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 84})
	return b.Bytes(), err
}

// Chip is a sample of a finish in a fine frame: its picture, or the sign of its
// technique where no picture can be made.
func (d *Desk) Chip(f *job.Finish, box draw.Box) draw.Item {
	s := d.Shown(f.ID, Sample)
	if s.Err != nil {
		return pattern.Chip(f, box)
	}
	whole := draw.Box{X: box.X, Y: box.Y, W: box.W, H: box.W * Chip[1] / Chip[0]}
	if whole.H < box.H {
		whole.W, whole.H = box.H*Chip[0]/Chip[1], box.H
	}
	frame := draw.Rect(box.X, box.Y, box.W, box.H)
	return draw.Group{Items: []draw.Item{
		draw.Group{Clip: frame.Outline, Items: []draw.Item{draw.Image{Box: whole, JPEG: s.Pictures[Sample], Alt: f.Name}}},
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
	if !decorated(v) {
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

func decorated(v *elevation.View) bool {
	return slices.ContainsFunc(v.Fields, func(f elevation.Field) bool { return f.Finish != nil })
}

func (d *Desk) photo(v *elevation.View) (*elevation.Photo, error) {
	p := d.Plan
	if err := d.context().Err(); err != nil {
		return nil, err
	}
	wall, err := appearance.Of(p.Job, p.Catalog, p.Survey, p.SetOut, v.Wall.ID)
	if err != nil {
		return nil, err
	}
	scale := math.Min(wallScale, math.Sqrt(mostOfWall/(wall.Bounds.Width()*wall.Bounds.Height())))
	made, err := appearance.Paint(d.context(), wall, appearance.Options{Scale: scale, Samples: 2})
	if err != nil {
		return nil, err
	}
	content, err := asJPEG(made.Image)
	if err != nil {
		return nil, err
	}
	return &elevation.Photo{JPEG: content, Shown: made.Shown, Alt: v.Name() + " in its finish"}, nil
}
