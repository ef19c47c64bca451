package setout

import (
	"fmt"

	"scumble/catalog"
	"scumble/job"
	"scumble/unit"
)

// weights turn what spoils a division into one figure (catalog defaults).
type weights struct {
	width  float64 // a width off the wanted one by all of itself
	sliver float64 // a sliver as deep as the limit
	bonus  float64 // a joint on an edge, taken off
	spread float64 // widths that differ round the run by the wanted one
	pace   catalog.Figure
}

func weigh(d *catalog.Defaults) weights {
	return weights{
		width: d.WidthWeight.Likely, sliver: d.SliverWeight.Likely, bonus: d.EdgeBonus.Likely,
		spread: d.SpreadWeight.Likely, pace: d.MarkingPace,
	}
}

// wanted settles what is asked of the strips of a finish: the job's figures, else
// the technique's, else the defaults.
func wanted(f *job.Finish, t *catalog.Technique, d *catalog.Defaults) (Want, []string, error) {
	own := Want{Sliver: unit.Length(d.Sliver.Likely), OnEdge: unit.Length(d.OnEdge.Likely)}
	if t.StripWidth != nil {
		own.Narrowest = unit.Length(t.StripWidth.Narrowest.Likely)
		own.Wanted = unit.Length(t.StripWidth.Wanted.Likely)
		own.Widest = unit.Length(t.StripWidth.Widest.Likely)
	}
	w := own
	w.Narrowest = f.Strips.Narrowest.Or(own.Narrowest)
	w.Wanted = f.Strips.Wanted.Or(own.Wanted)
	w.Widest = f.Strips.Widest.Or(own.Widest)
	w.Sliver = f.Strips.Sliver.Or(own.Sliver)
	w.Way, w.Feature, w.Count, w.First, w.Lines = f.Strips.Way, f.Strips.Feature, f.Strips.Count, f.Strips.First.Value, f.Strips.Lines
	if w.Way == "" {
		w.Way = "best"
	}
	if w.Lines == "" {
		w.Lines = "plumb"
	}
	// One figure given moves the band with it.
	if f.Strips.Wanted.Given() {
		if !f.Strips.Narrowest.Given() {
			w.Narrowest = min(w.Narrowest, w.Wanted)
		}
		if !f.Strips.Widest.Given() {
			w.Widest = max(w.Widest, w.Wanted)
		}
	} else {
		w.Wanted = min(max(w.Wanted, w.Narrowest), w.Widest)
	}
	var said []string
	if !sensible(w) {
		said = append(said, fmt.Sprintf("the strip widths asked for cannot be used (narrowest %s, wanted %s, widest %s, sliver limit %s)", w.Narrowest, w.Wanted, w.Widest, w.Sliver))
		w.Narrowest, w.Wanted, w.Widest, w.Sliver = own.Narrowest, own.Wanted, own.Widest, own.Sliver
	}
	if !sensible(w) {
		return Want{}, nil, fmt.Errorf("technique %s is set out in strips but its strip-width (narrowest %s, wanted %s, widest %s) cannot be used; correct it in the catalog", t.ID, w.Narrowest, w.Wanted, w.Widest)
	}
	return w, said, nil
}

// thinnest is the narrowest strip in mm that anyone tapes and rolls.
const thinnest = 10

func sensible(w Want) bool {
	return w.Narrowest >= thinnest && w.Narrowest <= w.Wanted && w.Wanted <= w.Widest && w.Widest < 1e6 && w.Sliver >= 0 && w.Sliver <= w.Narrowest
}
