package setout

import (
	"errors"
	"fmt"
	"math"

	"scumble/catalog"
	"scumble/job"
	"scumble/survey"
	"scumble/unit"
)

// divider holds what setting-out looks up.
type divider struct {
	catalog  *catalog.Catalog
	finishes map[string]*job.Finish
	say      speech
	out      *SetOut
	errs     []error
}

// technique is that of a finish; nil when either is unknown.
func (d *divider) technique(finish string) *catalog.Technique {
	f := d.finishes[finish]
	if f == nil {
		return nil
	}
	return d.catalog.Techniques[f.Technique]
}

func (d *divider) strips(finish string) bool {
	t := d.technique(finish)
	return t != nil && t.Strips
}

// Divide sets out every face of a survey: equal strips where the technique has
// them, break lines and sections everywhere, rows and sheets where called for. The
// error names finishes without a technique and catalog figures that cannot be used.
func Divide(s *survey.Survey, j *job.Job, c *catalog.Catalog) (*SetOut, error) {
	if s == nil || j == nil || c == nil || c.Defaults == nil {
		return nil, errors.New("setting-out needs a survey, a job and a catalog with defaults")
	}
	d := &divider{catalog: c, finishes: map[string]*job.Finish{}, say: speech{feet: j.Lengths == "imperial"}, out: &SetOut{}}
	for i := range j.Finishes {
		d.finishes[j.Finishes[i].ID] = &j.Finishes[i]
	}
	groupOf := map[string]int{}
	for r := range s.Rooms {
		for _, run := range runs(&s.Rooms[r], d.strips) {
			group, err := d.group(run)
			if err != nil {
				d.errs = append(d.errs, err)
				continue
			}
			for _, id := range group.Faces {
				groupOf[id] = len(d.out.Groups)
			}
			d.out.Groups = append(d.out.Groups, group)
		}
	}
	for r := range s.Rooms {
		for w := range s.Rooms[r].Walls {
			wall := &s.Rooms[r].Walls[w]
			for f := range wall.Faces {
				d.face(&wall.Faces[f], wall, groupOf)
			}
		}
	}
	if err := errors.Join(d.errs...); err != nil {
		return nil, err
	}
	return d.out, nil
}

// face sets out one face beside its strips.
func (d *divider) face(f *survey.Face, w *survey.Wall, groupOf map[string]int) {
	t := d.technique(f.Finish)
	if t == nil {
		d.errs = append(d.errs, fmt.Errorf("%s: finish %q has no technique in the catalog; name one of its techniques", f.ID, f.Finish))
		return
	}
	face := Face{ID: f.ID, Group: -1}
	var marks []Mark
	if g, ok := groupOf[f.ID]; ok {
		face.Group = g
		group := &d.out.Groups[g]
		for _, s := range group.Options[group.Chosen].Faces {
			if s.Face == f.ID {
				marks = s.Marks
			}
		}
	}
	face.Breaks = breaks(f, w, marks, t.Section)
	face.Sections = Sections(f, face.Breaks, t.Section)
	if t.Rows != nil {
		face.Rows = rows(f, t.Rows)
	}
	if t.Sheets != nil {
		laid, err := sheets(f, t.Sheets, d.catalog.Goods[t.Sheets.Good], t.Section)
		if err != nil {
			d.errs = append(d.errs, fmt.Errorf("technique %s: %w", t.ID, err))
		}
		face.Sheets = laid
	}
	d.out.Faces = append(d.out.Faces, face)
}

// group offers the ways of dividing a run and picks one.
func (d *divider) group(r *run) (Group, error) {
	f := d.finishes[r.finish]
	want, said, err := wanted(f, d.technique(r.finish), d.catalog.Defaults)
	if err != nil {
		return Group{}, err
	}
	g := Group{Room: r.room.Name, Finish: r.finish, Closed: r.ring, Length: unit.Length(r.whole), Want: want}
	for _, s := range r.faces {
		g.Faces = append(g.Faces, s.face.ID)
	}
	warn := func(what, do string) {
		d.out.Warnings = append(d.out.Warnings, job.Warning{Path: r.faces[0].face.Path, Name: r.faces[0].face.ID, What: what, Do: do})
	}
	for _, what := range said {
		warn(what, "give narrowest, wanted and widest in rising order and a sliver limit below them; the usual figures are used")
	}
	feature, found := r.featureFace(want.Feature)
	if !found && want.Feature != "" {
		warn(fmt.Sprintf("the feature wall %q has none of these strips", want.Feature), "name a wall that has this finish; the wall seen first is used")
	}
	by := weigh(d.catalog.Defaults)
	for _, division := range r.divisions(want, by, feature) {
		g.Options = append(g.Options, r.option(division, want, by, d.say))
	}
	g.choose(len(r.faces), warn)
	switch o := &g.Options[g.Chosen]; {
	case o.Narrowest < want.Sliver:
		warn(fmt.Sprintf("the narrowest piece is only %s, %s", d.say.length(float64(o.Narrowest)), spot(o.At)), "look at the other ways, or change the wanted widths")
	case o.Width < want.Narrowest-0.05 || o.Width > want.Widest+0.05:
		warn(fmt.Sprintf("strips of %s are outside the wanted %s to %s", d.say.fine(float64(o.Width)), d.say.length(float64(want.Narrowest)), d.say.length(float64(want.Widest))), "no number of strips fits; widen the band if this is too far off")
	}
	return g, nil
}

// choose picks the way that was asked for: by its name, its count of strips, and where
// several are alike in both by the place of the first joint.
func (g *Group) choose(faces int, warn func(what, do string)) {
	named, counted := -1, -1
	for i, o := range g.Options {
		if g.Want.Way != "best" && o.Way != g.Want.Way {
			continue
		}
		if named < 0 {
			named = i
		}
		off := math.Abs(float64(o.Phase - g.Want.First))
		if o.Count == g.Want.Count && (counted < 0 || off < math.Abs(float64(g.Options[counted].Phase-g.Want.First))) {
			counted = i
		}
	}
	switch {
	case counted >= 0:
		g.Chosen = counted
		return
	case named >= 0:
		g.Chosen = named
	case faces > 1 || g.Want.Way != "round":
		warn(fmt.Sprintf("there is no way %q to divide these walls", g.Want.Way), "write best, round, each-wall or feature; the best is used")
	}
	if g.Want.Count > 0 {
		warn(fmt.Sprintf("no way offered has %d strips", g.Want.Count), "take one of the ways offered, or leave the count out; the best is used")
	}
}

// featureFace is the face of a wall by name or id, else of the wall seen first, the
// longest of these.
func (r *run) featureFace(name string) (int, bool) {
	best := 0
	for i, f := range r.faces {
		if name != "" && (f.wall.Name == name || f.wall.ID == name || f.face.ID == name) {
			return i, true
		}
		b := r.faces[best]
		if f.wall.Seen > b.wall.Seen || f.wall.Seen == b.wall.Seen && f.length > b.length {
			best = i
		}
	}
	return best, false
}
