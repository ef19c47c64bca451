package setout

import (
	"fmt"
	"math"
	"slices"

	"scumble/geom"
	"scumble/survey"
	"scumble/unit"
)

// whole rounds to whole millimetres, halves up: half to even could make
// neighbouring strips differ by 2 mm.
func whole(x float64) float64 { return math.Floor(x + 0.5) }

// line is a joint on a wall: x at the floor and how far it goes right for every
// millimetre up.
type line struct{ foot, tilt float64 }

func (l line) at(y float64) float64 { return l.foot + l.tilt*y }

// ends are the two ends of a wall as lines. Only walls measured by heights lean;
// their outline begins with the two feet and closes with the left top corner.
func ends(w *survey.Wall) (left, right line) {
	right.foot = float64(w.Length)
	if n := len(w.Outline); n >= 4 {
		if top := w.Outline[n-1]; w.LeanLeft != 0 && top.Y > 0 {
			left.tilt = float64(w.LeanLeft) / top.Y
		}
		if top := w.Outline[2]; w.LeanRight != 0 && top.Y > 0 {
			right.tilt = -float64(w.LeanRight) / top.Y
		}
	}
	return left, right
}

// boundary is a line on a face with the colours on its sides; mark is false for
// the ends of the face and where a floor-to-ceiling opening parts the colours.
type boundary struct {
	line
	left, right string
	mark        bool
}

// strips writes out one face: marks, strips with their exact areas, folds. Tape is
// the length of its joints inside the field.
func (r *run) strips(i int, d *division, joints [][]onFace, want Want, say speech) (Strips, unit.Length) {
	f := r.faces[i]
	s := Strips{Face: f.face.ID, Datum: r.datum(i, say)}
	tape := 0.0
	bounds := r.boundaries(i, d, joints[i], want)
	if len(joints[i]) > 0 {
		s.Marks = make([]Mark, 0, len(joints[i]))
	}
	for _, b := range bounds {
		if b.mark {
			s.Marks = append(s.Marks, Mark{
				Number: len(s.Marks) + 1, Foot: unit.Length(b.foot), Head: unit.Length(b.at(float64(f.wall.Height))),
				Left: b.left, Right: b.right,
			})
			tape += along(f.face.Field, b.line)
		}
	}
	r.areas(&s, i, bounds)
	s.FoldLeft, s.FoldRight = r.folds(i, d, joints)
	s.Lean = r.leanWords(i, joints, want, say)
	return s, unit.Length(tape)
}

// boundaries are the joints of a face as lines, between its two ends.
func (r *run) boundaries(i int, d *division, joints []onFace, want Want) []boundary {
	f := r.faces[i]
	left, right := ends(f.wall)
	height := float64(f.wall.Height)
	shared := want.Lines == "shared" && (left.tilt != 0 || right.tilt != 0)
	list := make([]boundary, 1, len(joints)+3)
	list[0] = boundary{line: left, right: r.colourAt(d, math.Min(r.place(f.start+corner-hair), r.length))}
	part := func(x float64) { // the run ends and starts again in the opening
		if r.cutFace == i && list[len(list)-1].foot < r.cutAt && r.cutAt <= x {
			list = append(list, boundary{line: line{foot: r.cutAt}, left: r.colourAt(d, r.length), right: r.colourAt(d, 0)})
		}
	}
	for _, j := range joints {
		part(j.x)
		b := boundary{line: line{foot: whole(j.x)}, left: "A", right: r.colourAt(d, d.joints[j.place]), mark: true}
		if b.right == "A" {
			b.left = "B"
		}
		if shared {
			top := right.at(height) - left.at(height)
			b.tilt = (left.at(height) + whole(j.x/f.length*top) - b.foot) / height
		}
		list = append(list, b)
	}
	part(f.length)
	return append(list, boundary{line: right, left: list[len(list)-1].right})
}

// areas fills in the strips between lines. The field left of each line is measured
// whole, so that the strips add up to the field.
func (r *run) areas(s *Strips, i int, bounds []boundary) {
	f := r.faces[i]
	height := float64(f.wall.Height)
	s.Strips = make([]Strip, 0, len(bounds)-1)
	before := 0.0
	for k := 0; k+1 < len(bounds); k++ {
		a, b := bounds[k], bounds[k+1]
		to := f.face.Field.Area()
		if k+2 < len(bounds) {
			to = leftOf(f.face.Field, b.line)
		}
		strip := Strip{
			Colour: a.right,
			Foot:   [2]unit.Length{unit.Length(a.foot), unit.Length(b.foot)},
			Head:   [2]unit.Length{unit.Length(a.at(height)), unit.Length(b.at(height))},
			Area:   unit.Area(math.Max(0, to-before) / 1e6),
		}
		before = to
		if strip.Colour == "A" {
			s.AreaA += strip.Area
		} else {
			s.AreaB += strip.Area
		}
		s.Strips = append(s.Strips, strip)
	}
}

// leaned moves every point of a field so that the line becomes upright at x = 0;
// areas do not change.
func leaned(r geom.Region, l line) geom.Region {
	move := func(ring geom.Polygon) geom.Polygon {
		out := make(geom.Polygon, len(ring))
		for i, p := range ring {
			out[i] = geom.Point{X: p.X - l.at(p.Y), Y: p.Y}
		}
		return out
	}
	out := make(geom.Region, len(r))
	for i, part := range r {
		out[i].Outer = move(part.Outer)
		for _, h := range part.Holes {
			out[i].Holes = append(out[i].Holes, move(h))
		}
	}
	return out
}

// leftOf is the area in mm2 of a field left of a line.
func leftOf(r geom.Region, l line) float64 {
	if l.tilt == 0 {
		return geom.BandArea(r, math.Inf(-1), l.foot)
	}
	return geom.BandArea(leaned(r, l), math.Inf(-1), 0)
}

// along is the length of a line in mm inside a field.
func along(r geom.Region, l line) float64 {
	x := l.foot
	if l.tilt != 0 {
		r, x = leaned(r, l), 0
	}
	sum := 0.0
	for _, s := range r.SpanAt(x) {
		sum += s[1] - s[0]
	}
	return sum * math.Hypot(1, l.tilt)
}

// folds are the widths that the outer strips of a face go on with round its
// corners; 0 where a joint lies in the corner or the run ends there.
func (r *run) folds(i int, d *division, joints [][]onFace) (left, right unit.Length) {
	n := len(r.faces)
	carried := func(at float64) bool { // no joint lies here and the run goes on
		return !r.jointIn(d, at) && (r.closed || at > corner && at < r.length-corner)
	}
	if (i > 0 || r.ring) && carried(r.place(r.faces[i].start)) {
		k := (i + n - 1) % n
		width := r.faces[k].length
		if m := len(joints[k]); m > 0 {
			width -= whole(joints[k][m-1].x)
		}
		left = unit.Length(width)
	}
	if (i < n-1 || r.ring) && carried(r.place(r.faces[i].start+r.faces[i].length)) {
		k := (i + 1) % n
		width := r.faces[k].length
		if len(joints[k]) > 0 {
			width = whole(joints[k][0].x)
		}
		right = unit.Length(width)
	}
	return left, right
}

// jointIn reports a joint in the corner at a place of the run.
func (r *run) jointIn(d *division, at float64) bool {
	for _, u := range []float64{at, at + r.length, at - r.length} {
		if k, _ := slices.BinarySearch(d.joints, u-corner); k < len(d.joints) && d.joints[k] < u+corner {
			return true
		}
		if !r.closed {
			break
		}
	}
	return false
}

// datum says where the tape is hooked.
func (r *run) datum(i int, say speech) string {
	f := r.faces[i]
	corner := "the left end of " + f.wall.Name
	if f.wall.Previous != "" {
		for k := range r.room.Walls {
			if w := &r.room.Walls[k]; w.ID == f.wall.Previous {
				corner = "the corner of " + w.Name + " and " + f.wall.Name
			}
		}
	}
	low := f.face.Gross.Bounds().Min.Y
	switch {
	case f.face.ID == f.wall.ID && f.wall.Dado > 0:
		return fmt.Sprintf("hook the tape in %s, along the top of the dado rail, %s above the floor", corner, say.length(low))
	case f.wall.Skirting > 0:
		return fmt.Sprintf("hook the tape in %s, along the top of the skirting, %s above the floor", corner, say.length(float64(f.wall.Skirting)))
	}
	return fmt.Sprintf("hook the tape in %s, along the floor", corner)
}
