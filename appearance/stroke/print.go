package stroke

import (
	"math"

	"scumble/geom"
)

// dab is a tool pressed straight on and taken off again: sponge, rag, paper. What
// touches the film takes a share of it: the film splits between wall and tool.
type dab struct {
	// prints are the faces of the tool; each stroke uses one, turned and perhaps
	// mirrored.
	prints []*texture
	// split is the share of the film that full contact takes at press 1.
	split float64
	// fade is the part by which a tool due to be cleaned takes less than a clean one.
	fade float64
}

// grip is the share full contact takes: at press 1 the split, and never all of it.
func grip(split, press float64) float64 { return 1 - math.Pow(1-split, press) }

// weight is how a hand varies: the strength of one stroke against the usual.
func weight(s *Stroke, uneven, fade float64) float64 {
	return (1 + uneven*signed(mix(s.Key, 0x3e1))) * (1 - fade*s.Load)
}

// mark prints the dab once.
func (d *dab) mark(t *Tile, s *Stroke, press float64) {
	a, b, j0, j1 := t.window(s.Reach)
	xs := t.X[a:b]
	print := d.prints[s.Key>>8%uint64(len(d.prints))]
	face := print.at(t.Pitch)
	takes := float32(min(grip(d.split, press)*weight(s, 0.16, d.fade), 1))
	plane := t.plane(s.Glaze)
	sin, cos := math.Sincos(s.Turn)
	// u runs along the print, v across it, 256 to a value of it
	ux, uy := 256*float32(cos)/face.texel, 256*float32(sin)/face.texel
	vx, vy := -uy, ux
	if s.Key&1 == 1 {
		vx, vy = -vx, -vy
	}
	middle := 256 * (float32(face.side)/2 - 0.5)
	reach := print.reach() - float64(face.texel)/2
	cx, cy := float32(s.From.X), float32(s.From.Y)
	w := len(t.X)
	words, side, mask := face.words, int32(face.side), int32(face.side-1)
	for j := j0; j < j1; j++ {
		dy := t.Y[j] - cy
		chord := reach*reach - float64(dy)*float64(dy)
		if chord <= 0 {
			continue
		}
		half := math.Sqrt(chord)
		i0, i1 := between(xs, s.From.X-half, s.From.X+half)
		u0, v0 := dy*uy+middle, dy*vy+middle
		row := plane[j*w+a+i0 : j*w+a+i1]
		for i, x := range xs[i0:i1] {
			dx := x - cx
			u, v := int32(u0+dx*ux), int32(v0+dx*vx)
			word := words[v>>8&mask*side|u>>8&mask]
			row[i] *= 1 - takes*blended(word, uint32(u&255), uint32(v&255))
		}
	}
}

// dabAt is a dab at a place; reach is how far the print extends, mm.
func dabAt(tool int, key uint64, at geom.Point, reach float64) Stroke {
	return Stroke{
		Tool: tool, Key: key, From: at, To: at, Width: 2 * reach,
		Turn:  2 * math.Pi * unit(mix(key, 0x7a2)),
		Reach: around(geom.Segment{A: at, B: at}, reach),
	}
}

// dabbed plans dabs at random all over a panel: whole prints wherever the tool finds
// room, smaller pieces along the edges, and paper in the corners.
type dabbed struct {
	whole, piece, paper int     // tools
	width, pieceWidth   float64 // mm
	pitch               float64 // of the grid of dabs, in widths
	cleaned             float64 // dabs from one cleaning to the next
	corner              float64 // breadth of wall that belongs to the corner, mm
}

func (d *dabbed) plan(p *Panel, tools []tool) []Stroke {
	edge := newEdges(p.Region)
	box := p.Region.Bounds()
	var strokes []Stroke
	reach := func(n int) float64 { return tools[n].(*dab).prints[0].reach() }
	need := 0.8 * d.width / 2
	for n, at := range scatter(box, mix(p.Seed, 0xdab), d.pitch*d.width) {
		if edge.distance(at) >= need {
			strokes = append(strokes, dabAt(d.whole, mix(p.Seed, uint64(n)), at, reach(d.whole)))
		}
	}
	for n, at := range scatter(box, mix(p.Seed, 0x91ece), 0.9*d.pitch*d.pieceWidth) {
		key := mix(p.Seed+1, uint64(n))
		// the pieces fill up what whole prints leave, and a little over
		if beyond(need-edge.distance(at), d.width/2) < 0.1+0.35*unit(mix(key, 0x5e)) || !edge.near(at, 0.35*d.pieceWidth) {
			continue
		}
		use := d.piece
		if min(at.X-box.Min.X, box.Max.X-at.X) < d.corner {
			use = d.paper
		}
		strokes = append(strokes, dabAt(use, key, at, reach(use)))
	}
	p.inOrder(strokes)
	soil(strokes, d.cleaned)
	return strokes
}

// beyond is the part of a disc that lies past a line, where the line lies over the
// middle by over mm: all of it at the radius, none at minus the radius.
func beyond(over, radius float64) float64 {
	c := min(max(over/radius, -1), 1)
	return 1 - (math.Acos(c)-c*math.Sqrt(1-c*c))/math.Pi
}

// loadFade is the part by which a tool due to be cleaned takes less than a clean one;
// chosen by eye.
const loadFade = 0.2

// soil fills the tool with glaze from one cleaning to the next, so many strokes later.
func soil(strokes []Stroke, between float64) {
	n := max(1, int(math.Round(between)))
	for k := range strokes {
		strokes[k].Load = float64(k%n) / float64(max(n-1, 1))
	}
}
