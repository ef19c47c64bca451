package stroke

import "scumble/geom"

// Tile is a grid of places on the wall and the film found there. X and Y are the
// places of its columns and rows, mm; they need not be evenly spaced.
type Tile struct {
	X, Y []float32
	// Pitch is how far places lie apart, mm; marks finer than it are averaged.
	Pitch float32
	// First and Second are um of the two glazes, row by row. Second is empty when there
	// is one glaze only, and a share 0..1 of the first when the film is mixed.
	First, Second []float32
	// Relief is mm above the plane of the wall.
	Relief []float32

	row  []float32 // scratch of one row
	desk []float32 // scratch of one stroke
	last []float32 // what the last pull of a comb leaves, as a share of the film
}

// Grid makes a tile of w columns and h rows of places pitch mm apart, in the middle
// of the cells of a grid through the origin of the wall; column i and row j of the
// grid are its lowest.
func Grid(i, j, w, h int, pitch float64) *Tile {
	t := &Tile{X: make([]float32, w), Y: make([]float32, h), Pitch: float32(pitch)}
	for k := range t.X {
		t.X[k] = float32((float64(i+k) + 0.5) * pitch)
	}
	for k := range t.Y {
		t.Y[k] = float32((float64(j+k) + 0.5) * pitch)
	}
	return t
}

// clear readies the planes for a film.
func (t *Tile) clear(f *Film) {
	n := len(t.X) * len(t.Y)
	t.First = zeroed(t.First, n)
	t.row = zeroed(t.row, len(t.X))
	if f.work.second {
		t.Second = zeroed(t.Second, n)
	}
	if f.work.relief {
		t.Relief = zeroed(t.Relief, n)
	}
}

func zeroed(s []float32, n int) []float32 {
	if cap(s) < n {
		return make([]float32, n)
	}
	s = s[:n]
	clear(s)
	return s
}

// room is scratch space for one stroke; what it holds is left over from the last.
func (t *Tile) room(n int) []float32 {
	if cap(t.desk) < n {
		t.desk = make([]float32, n)
	}
	return t.desk[:n]
}

// reach is what of the wall the tile shows, mm.
func (t *Tile) reach() geom.Bounds {
	if len(t.X) == 0 || len(t.Y) == 0 {
		return geom.Bounds{}
	}
	return geom.Bounds{
		Min: geom.Point{X: float64(t.X[0]), Y: float64(t.Y[0])},
		Max: geom.Point{X: float64(t.X[len(t.X)-1]), Y: float64(t.Y[len(t.Y)-1])},
	}
}

// window is the columns and rows whose places lie within bounds.
func (t *Tile) window(b geom.Bounds) (i0, i1, j0, j1 int) {
	i0, i1 = between(t.X, b.Min.X, b.Max.X)
	j0, j1 = between(t.Y, b.Min.Y, b.Max.Y)
	return i0, i1, j0, j1
}

// between finds the places from lo to hi in a rising list.
func between(at []float32, lo, hi float64) (from, to int) {
	from = lowest(at, float32(lo))
	to = lowest(at, float32(hi))
	for to < len(at) && at[to] <= float32(hi) {
		to++
	}
	return from, to
}

// lowest is the first place not below v, by halving.
func lowest(at []float32, v float32) int {
	lo, hi := 0, len(at)
	for lo < hi {
		mid := (lo + hi) / 2
		if at[mid] < v {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	return lo
}

// plane is the film of the first or second glaze.
func (t *Tile) plane(glaze int) []float32 {
	if glaze == 1 {
		return t.Second
	}
	return t.First
}
