package setout

import (
	"fmt"
	"math"
	"strings"

	"scumble/unit"
)

// speech prints lengths the way the job prints them.
type speech struct{ feet bool }

// length prints whole millimetres, or feet and inches.
func (s speech) length(mm float64) string {
	if s.feet {
		return unit.Length(mm).FeetInches()
	}
	return unit.Length(mm).String()
}

// fine prints tenths of a millimetre, or feet and inches.
func (s speech) fine(mm float64) string {
	if s.feet {
		return unit.Length(mm).FeetInches()
	}
	return unit.Figure(mm, 1) + "\u00a0mm"
}

// summary says in a few sentences what a division looks like and what spoils it.
func (r *run) summary(d *division, o *Option, want Want, say speech) string {
	var said []string
	add := func(format string, args ...any) { said = append(said, fmt.Sprintf(format, args...)) }
	switch d.way {
	case "each-wall":
		r.wallwiseWords(d, say, add)
	case "feature":
		r.featureWords(d, o, say, add)
	case "round":
		add("%s of %s%s%s.", strips(d.n), say.fine(d.width), r.carried(), r.endPieces(d, say))
	}
	if d.feature >= 0 && d.way == "round" {
		f := o.Faces[d.feature].Strips
		add("%s has equal ends of %s.", r.faces[d.feature].wall.Name, say.length(float64(f[0].Foot[1]-f[0].Foot[0])))
	}
	switch {
	case d.clash >= 0:
		add("An odd number cannot close: two A strips meet in the corner %s, the least seen.", o.Clash)
	case o.Closes:
		add("A and B alternate all the way round and meet again.")
	case r.ring:
		add("The opening from floor to ceiling parts the run, so the colours need not meet again.")
	}
	r.cornerWords(d, say, add)
	if !r.inBand(d, want) {
		add("Outside the wanted %s to %s.", say.length(float64(want.Narrowest)), say.length(float64(want.Widest)))
	}
	switch {
	case o.At == "":
		add("No strip is cut at an opening.")
	case o.Narrowest < want.Sliver:
		add("Leaves a sliver of %s %s, under the limit of %s.", say.length(float64(o.Narrowest)), spot(o.At), say.length(float64(want.Sliver)))
	default:
		add("Narrowest piece %s, %s.", say.length(float64(o.Narrowest)), spot(o.At))
	}
	return strings.Join(said, " ")
}

func strips(n int) string {
	if n == 1 {
		return "One strip"
	}
	return fmt.Sprintf("%d strips", n)
}

// spot puts the name of an edge into a sentence.
func spot(where string) string {
	if strings.Contains(where, " | ") {
		return "in the corner " + where
	}
	if strings.HasPrefix(where, "the ") {
		return "at " + where
	}
	return where
}

// endPieces names the pieces at the ends of an open run where they are not whole strips.
func (r *run) endPieces(d *division, say speech) string {
	if r.closed || len(d.joints) == 0 {
		return ""
	}
	first, last := d.joints[0], r.length-d.joints[len(d.joints)-1]
	if d.width-first < corner && d.width-last < corner {
		return ", no odd piece left"
	}
	return fmt.Sprintf(", with pieces of %s and %s at the ends", say.length(first), say.length(last))
}

func (r *run) carried() string {
	switch {
	case len(r.faces) == 1:
		return " along the wall"
	case r.ring:
		return ", carried right round the room"
	}
	return ", carried round the corners"
}

func (r *run) wallwiseWords(d *division, say speech, add func(string, ...any)) {
	if len(r.faces) == 1 {
		add("%s of %s, the wall divided evenly from end to end, no odd piece left.", strips(d.n), say.fine(d.width))
		return
	}
	ns := make([]string, len(d.perFace))
	narrow, wide := math.Inf(1), 0.0
	for i, n := range d.perFace {
		ns[i] = fmt.Sprint(n)
		w := r.faces[i].length / float64(n)
		narrow, wide = math.Min(narrow, w), math.Max(wide, w)
	}
	last := len(ns) - 1
	add("%s and %s strips, each wall divided by itself.", strings.Join(ns[:last], ", "), ns[last])
	if d.spread < 0.05 {
		add("All are %s wide.", say.fine(wide))
	} else {
		add("Widths run from %s to %s.", say.fine(narrow), say.fine(wide))
	}
}

func (r *run) featureWords(d *division, o *Option, say speech, add func(string, ...any)) {
	f := r.faces[d.feature]
	middle := "a strip"
	if d.jointInMiddle {
		middle = "a joint"
	}
	s := o.Faces[d.feature].Strips
	end := say.length(float64(s[0].Foot[1] - s[0].Foot[0]))
	rest := ""
	if len(r.faces) > 1 {
		rest = ", and carried on from there"
	}
	add("%s of %s, set out from the middle of %s with %s on its centre line and equal ends of %s%s.", strips(d.n), say.fine(d.width), f.wall.Name, middle, end, rest)
}

// cornerWords says which corners show a line, and where it will be noticed.
func (r *run) cornerWords(d *division, say speech, add func(string, ...any)) {
	if len(r.corners) == 0 {
		return
	}
	var lines, leans []string
	for _, i := range r.corners {
		e := &r.edges[i]
		if i == d.clash || !r.jointIn(d, e.at) {
			continue
		}
		lines = append(lines, e.where)
		if e.lean > 0 {
			leans = append(leans, fmt.Sprintf("%s leans %s", e.where, say.length(e.lean)))
		}
	}
	switch {
	case len(lines) == 0 && d.clash < 0:
		add("Every corner falls inside a strip, so one that is out of plumb shows no line.")
	case len(lines) == 0:
	case len(lines) == len(r.corners) && len(lines) > 1:
		add("A line lies in every corner.")
	case len(lines) == 1:
		add("A line lies in the corner %s.", lines[0])
	default:
		last := len(lines) - 1
		add("A line lies in the corners %s and %s.", strings.Join(lines[:last], ", "), lines[last])
	}
	if len(leans) > 0 {
		add("%s, and it will show.", strings.Join(leans, "; "))
	}
}

// leanWords says what the lines of a face do where its ends lean.
func (r *run) leanWords(i int, joints [][]onFace, want Want, say speech) string {
	f := r.faces[i]
	left, right := float64(f.wall.LeanLeft), float64(f.wall.LeanRight)
	if left == 0 && right == 0 {
		return ""
	}
	side := func(name string, lean float64) string {
		switch {
		case lean > 0:
			return fmt.Sprintf("the %s end leans %s into the wall", name, say.length(lean))
		case lean < 0:
			return fmt.Sprintf("the %s end leans %s out of the wall", name, say.length(-lean))
		}
		return ""
	}
	said := []string{}
	for _, s := range []string{side("left", left), side("right", right)} {
		if s != "" {
			said = append(said, s)
		}
	}
	words := strings.Join(said, "; ")
	words = strings.ToUpper(words[:1]) + words[1:]
	if want.Lines == "shared" {
		return fmt.Sprintf("%s. The lines share it out: at the ceiling hook the tape in the top left corner, which stands at %s, and divide the %s there the same way.", words, say.length(left), say.length(f.length-left-right))
	}
	taper := func(k int, lean float64) string {
		if lean > 0 {
			return fmt.Sprintf("strip %d is %s narrower at the top", k, say.length(lean))
		}
		return fmt.Sprintf("strip %d is %s wider at the top", k, say.length(-lean))
	}
	var tapers []string
	if left != 0 {
		tapers = append(tapers, taper(1, left))
	}
	if right != 0 {
		tapers = append(tapers, taper(len(joints[i])+1, right))
	}
	return fmt.Sprintf("%s. The lines stay plumb, so %s.", words, strings.Join(tapers, " and "))
}
