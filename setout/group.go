package setout

import (
	"math"
	"slices"

	"scumble/survey"
)

// stretch is one face of a run.
type stretch struct {
	wall   *survey.Wall
	face   *survey.Face
	start  float64 // of the face's left end from the left end of the first face
	length float64
}

// run is a group of faces unrolled into one line. Places on it count in mm from
// its origin: the left end of the first face, or where a closed run is cut open by
// a floor-to-ceiling opening the right edge of that opening.
type run struct {
	room    *survey.Room
	finish  string
	faces   []stretch
	whole   float64 // length of all faces
	origin  float64 // from the left end of the first face
	length  float64 // what is divided
	ring    bool    // the faces go all the way round the room
	closed  bool    // and nothing cuts them: colours have to meet again
	cutFace int     // face with the opening that cuts a ring open, -1 = none
	cutAt   float64 // middle of that opening on its face
	edges   []edge  // in order of place
	corners []int   // of edges: those that are corners
}

// What an edge of a run is.
type edgeKind int

const (
	inCorner edgeKind = iota
	atOpening
	atEnd
)

// edge is a place where a piece of strip may end without a joint.
type edge struct {
	at    float64
	kind  edgeKind
	left  bool // there is wall to its left
	right bool
	lean  float64 // greatest lean of the two wall ends that meet in a corner
	seen  float64 // of a corner, mean of its walls
	face  int     // the face, of a corner the one to its right
	where string
}

// runs groups the faces of a room that share strips: neighbours round a corner
// with the same finish, above and below a dado apart.
func runs(room *survey.Room, strips func(finish string) bool) []*run {
	var list []*run
	for _, below := range []bool{false, true} {
		faces := make([]*survey.Face, len(room.Walls))
		for i := range room.Walls {
			w := &room.Walls[i]
			for k := range w.Faces {
				if f := &w.Faces[k]; (f.ID != w.ID) == below && strips(f.Finish) && w.Length > 0 {
					faces[i] = f
				}
			}
		}
		list = append(list, level(room, faces)...)
	}
	return list
}

// level makes the runs of the faces above, or below, a dado; nil where there is none.
func level(room *survey.Room, faces []*survey.Face) []*run {
	n := len(faces)
	linked := make([]bool, n) // to the next
	ring := n > 1
	for i := range faces {
		k := (i + 1) % n
		linked[i] = n > 1 && faces[i] != nil && faces[k] != nil && faces[i].Finish == faces[k].Finish &&
			room.Walls[i].Next != "" && room.Walls[i].Next == room.Walls[k].ID
		ring = ring && linked[i]
	}
	var list []*run
	for i := range faces {
		if faces[i] == nil || (ring && i > 0) || (!ring && linked[(i+n-1)%n]) {
			continue
		}
		r := &run{room: room, finish: faces[i].Finish, ring: ring}
		for k := i; ; k = (k + 1) % n {
			w := &room.Walls[k]
			r.faces = append(r.faces, stretch{w, faces[k], r.whole, float64(w.Length)})
			r.whole += float64(w.Length)
			if !linked[k] || len(r.faces) == n {
				break
			}
		}
		r.lay()
		list = append(list, r)
	}
	return list
}

// lay finds where the run starts and the edges along it.
func (r *run) lay() {
	r.length, r.closed, r.cutFace = r.whole, r.ring, -1
	if r.ring {
		if face, from, to := r.gap(); face >= 0 {
			r.closed = false
			r.cutFace, r.cutAt = face, (from+to)/2-r.faces[face].start
			r.origin = math.Mod(to, r.whole)
			r.length = r.whole - (to - from)
		}
	}
	cut := r.ring && !r.closed
	if !r.closed {
		kind, last := atEnd, len(r.faces)-1
		if cut {
			kind, last = atOpening, r.faceAt(r.length)
		}
		r.edges = append(r.edges,
			edge{at: 0, kind: kind, right: true, face: r.faceAt(0), where: "the start of the run"},
			edge{at: r.length, kind: kind, left: true, face: last, where: "the end of the run"})
	}
	for i, f := range r.faces {
		if i > 0 || r.ring {
			before := r.faces[(i+len(r.faces)-1)%len(r.faces)].wall
			r.add(edge{
				at: r.place(f.start), kind: inCorner, left: true, right: true, face: i,
				lean: math.Max(math.Abs(float64(before.LeanRight)), math.Abs(float64(f.wall.LeanLeft))),
				seen: float64(before.Seen+f.wall.Seen) / 2, where: before.Name + " | " + f.wall.Name,
			})
		}
		for _, k := range f.face.Openings {
			o := &f.wall.Openings[k]
			if x := float64(o.Left); x > corner && x < f.length-corner {
				r.add(edge{at: r.place(f.start + x), kind: atOpening, left: true, face: i, where: "left of " + o.Name + ", " + f.wall.Name})
			}
			if x := float64(o.Right); x > corner && x < f.length-corner {
				r.add(edge{at: r.place(f.start + x), kind: atOpening, right: true, face: i, where: "right of " + o.Name + ", " + f.wall.Name})
			}
		}
	}
	slices.SortStableFunc(r.edges, func(a, b edge) int {
		switch {
		case a.at < b.at:
			return -1
		case a.at > b.at:
			return 1
		}
		return 0
	})
	for i, e := range r.edges {
		if e.kind == inCorner {
			r.corners = append(r.corners, i)
		}
	}
}

// corner is the distance in mm within which a joint counts as lying in a corner or
// on the end of a run: marks are whole millimetres. The joint is then moved there.
const corner = 0.5 + hair

// add keeps an edge that lies strictly inside a run, or anywhere round a closed one.
func (r *run) add(e edge) {
	if r.closed || e.at > corner && e.at < r.length-corner {
		r.edges = append(r.edges, e)
	}
}

// place is where a distance from the left end of the first face lies on the run.
func (r *run) place(s float64) float64 { return wrap(s-r.origin, r.whole) }

// faceAt is the face that lies at a place of the run.
func (r *run) faceAt(u float64) int {
	s := wrap(u+r.origin, r.whole)
	i := len(r.faces) - 1
	for i > 0 && r.faces[i].start > s {
		i--
	}
	return i
}

// wrap is the remainder of v in [0, w).
func wrap(v, w float64) float64 {
	d := v - w*math.Floor(v/w)
	if d >= w { // rounding
		return 0
	}
	return d
}

// gap is the first opening from floor to ceiling, from the left end of the first
// face; face -1 when there is none. There the wall has nothing that strips could be carried over.
func (r *run) gap() (face int, from, to float64) {
	for i, f := range r.faces {
		for _, k := range f.face.Openings {
			o := &f.wall.Openings[k]
			left, right := math.Max(0, float64(o.Left)), math.Min(f.length, float64(o.Right))
			if right-left > 2 && bare(f.face, left+0.5) && bare(f.face, (left+right)/2) && bare(f.face, right-0.5) {
				return i, f.start + left, f.start + right
			}
		}
	}
	return -1, 0, 0
}

// bare reports that nothing is painted on the upright line at x.
func bare(f *survey.Face, x float64) bool {
	sum := 0.0
	for _, s := range f.Field.SpanAt(x) {
		sum += s[1] - s[0]
	}
	return sum < 1
}
