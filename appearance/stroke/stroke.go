// Package stroke simulates the film of glaze on a panel: it is rolled on, then
// worked with a tool, stroke by stroke, in mm of wall and um of wet film. It knows
// no colour and no room. The film at a point depends on the panel, the recipe and
// that point alone, so any crop, scale, tile or order of tiles shows the same film.
package stroke

import (
	"fmt"
	"slices"
	"strings"

	"scumble/geom"
)

// Panel is the piece of wall that is glazed.
type Panel struct {
	// Seed names the wall: the same seed gives the same strokes.
	Seed uint64
	// Region is what is glazed, openings out, mm.
	Region geom.Region
	// Sections are worked in this order; a tool that blots starts each anew.
	Sections []geom.Bounds
	// Joints of strips, from left to right.
	Joints []geom.Segment
	// Rows of motifs from the setting-out.
	Rows []Row
	// Sheet is the paper laid, where there is one.
	Sheet Sheet
	// Laps are joints where the wet edge was lost, to show what that looks like.
	Laps []geom.Segment
}

// Row is one row of motifs; Start is where the first begins, mm.
type Row struct{ Y0, Y1, Start, Motif float64 }

// Sheet is a paper pressed on the wall, mm.
type Sheet struct{ Width, Height, Overlap float64 }

// Recipe says how a technique is worked.
type Recipe struct {
	// Technique and Variation choose the pattern.
	Technique, Variation string
	// Laid is the wet film as rolled on, um: of the first glaze and of the second.
	Laid [2]float64
	// Lifted is the share of the laid film the tool carries away, 0..1.
	Lifted float64
	// Figures are the measures of tool and stroke by name, in the units of the catalog.
	Figures map[string]float64
	// Levelling is how the film flows out; the zero value keeps every mark.
	Levelling Levelling
	// Contrast exaggerates (above 1) or calms (below 1) the marks of the tool. 0 counts as 1.
	Contrast float64
}

// Stroke is one contact of a tool with the wall.
type Stroke struct {
	Tool int
	// Key seeds what is by chance about this stroke.
	Key uint64
	// From and To are the ends of its centre line, mm; a dab has both in one place.
	From, To geom.Point
	// Bow is how far the middle of the line lies to the left of the straight one, mm.
	Bow float64
	// Width is the breadth of the contact, mm.
	Width float64
	// Turn is how the tool is turned in the hand, radians.
	Turn float64
	// Load is how full of glaze the tool is: 0 just cleaned, 1 due to be cleaned.
	Load float64
	// Glaze is the film it works in: 0 the first, 1 the second.
	Glaze int
	// Reach is all of the wall it may touch, mm.
	Reach geom.Bounds
}

// tool is what a stroke does to the film; it may change nothing outside the reach
// of the stroke. Press scales how much it takes, and is found by calibration.
type tool interface {
	mark(t *Tile, s *Stroke, press float64)
}

// work is what a pattern plans for a panel.
type work struct {
	tools   []tool
	strokes []Stroke
	// lay fills the planes of a tile before any stroke.
	lay func(t *Tile)
	// settle is what happens to the film after the last stroke; may be nil.
	settle func(t *Tile, press float64)
	second bool // there is a second glaze
	mixed  bool // the second plane is the share of the second glaze in the film, 0..1
	relief bool // the wall has a relief
	// even is over how many mm the lines of the tools even out to their mean; a sample
	// of the wall averages over it. 0 for tools without lines.
	even float64
}

// twoFilms tells whether the second plane holds film of its own.
func (w *work) twoFilms() bool { return w.second && !w.mixed }

// patterns is the table of techniques: one row and one file each.
var patterns = map[string]func(*Panel, *figures) work{
	"colourwash":            colourwash,
	"combing":               combing,
	"cross-drag-weave":      weave,
	"dragging":              dragging,
	"frottage":              frottage,
	"palette-knife":         paletteKnife,
	"tissue-relief":         tissueRelief,
	"rag-rolling":           ragRolling,
	"sponging-off":          spongingOff,
	"two-tone-sponge-blend": twoToneBlend,
}

// Techniques lists what can be simulated, sorted.
func Techniques() []string {
	var names []string
	for name := range patterns {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// Film is the glaze on a panel, ready to be looked at anywhere.
type Film struct {
	panel  *Panel
	recipe Recipe
	work   work
	index  index
	press  float64
}

// New plans the strokes of a recipe on a panel. The error names every figure of
// the recipe that is missing or cannot be used.
func New(p Panel, r Recipe) (*Film, error) {
	plan, ok := patterns[r.Technique]
	if !ok {
		return nil, fmt.Errorf("technique %q has no stroke pattern; there are patterns for %s", r.Technique, strings.Join(Techniques(), ", "))
	}
	if r.Contrast == 0 {
		r.Contrast = 1
	}
	given := &figures{recipe: &r}
	w := plan(&p, given)
	if err := given.err(); err != nil {
		return nil, err
	}
	f := &Film{panel: &p, recipe: r, work: w, press: 1}
	f.index = newIndex(w.strokes, p.Region.Bounds())
	f.press = f.calibrated()
	return f, nil
}

// Strokes are the strokes in the order they are made.
func (f *Film) Strokes() []Stroke { return f.work.strokes }

// HasSecond tells whether there is a second glaze.
func (f *Film) HasSecond() bool { return f.work.second }

// Mixed tells whether the two glazes are one film: then the first plane is um of both
// together, and the second is the share of the second glaze in it, 0..1.
func (f *Film) Mixed() bool { return f.work.mixed }

// HasRelief tells whether the wall has a relief.
func (f *Film) HasRelief() bool { return f.work.relief }

// Fill works the film of a tile. It may be called from several goroutines at once.
func (f *Film) Fill(t *Tile) { f.fill(t, f.press, nil) }

// fill lays and works the film; watch, when given, sees the tile before and after
// each change.
func (f *Film) fill(t *Tile, press float64, watch func(t *Tile, s *Stroke)) {
	t.clear(f)
	f.work.lay(t)
	f.lap(t)
	if watch != nil {
		watch(t, nil)
	}
	for _, n := range f.index.touching(t.reach()) {
		s := &f.work.strokes[n]
		f.work.tools[s.Tool].mark(t, s, press)
		if watch != nil {
			watch(t, s)
		}
	}
	if f.work.settle != nil {
		f.work.settle(t, press)
		if watch != nil {
			watch(t, nil)
		}
	}
}

// figures reads the measures of a recipe and remembers what is missing.
type figures struct {
	recipe  *Recipe
	missing []string
}

// of is a measure by name; it must lie above zero.
func (f *figures) of(name string) float64 {
	v, ok := f.recipe.Figures[name]
	if !ok || !(v > 0) {
		f.missing = append(f.missing, name)
		return 1
	}
	return v
}

// wider notes it when one measure is not greater than another: a brush no broader than
// its overlap would never get on.
func (f *figures) wider(name, than string) {
	if f.of(name) < f.of(than)+1 && len(f.missing) == 0 {
		f.missing = append(f.missing, name+" (it must be more than "+than+")")
	}
}

func (f *figures) err() error {
	if len(f.missing) == 0 {
		return nil
	}
	slices.Sort(f.missing)
	f.missing = slices.Compact(f.missing)
	return fmt.Errorf("technique %s: stroke figures missing or not above zero: %s", f.recipe.Technique, strings.Join(f.missing, ", "))
}

// around is all within a distance of a line, mm.
func around(s geom.Segment, by float64) geom.Bounds {
	return geom.Bounds{
		Min: geom.Point{X: min(s.A.X, s.B.X) - by, Y: min(s.A.Y, s.B.Y) - by},
		Max: geom.Point{X: max(s.A.X, s.B.X) + by, Y: max(s.A.Y, s.B.Y) + by},
	}
}
