// Package setout is stage 3: walls become equal strips with marks, candidate
// break lines, working sections, staggered rows and sheet layouts.
package setout

import (
	"scumble/geom"
	"scumble/job"
	"scumble/unit"
)

// SetOut is the setting-out of every face of a job.
type SetOut struct {
	Groups   []Group       `json:"groups"` // runs of faces that share strips
	Faces    []Face        `json:"faces"`  // one for each face of the survey, in its order
	Warnings []job.Warning `json:"warnings"`
}

// Group is a run of faces in one room divided into strips together.
type Group struct {
	Room    string      `json:"room"`
	Finish  string      `json:"finish"`
	Faces   []string    `json:"faces"`  // face IDs in walking order
	Closed  bool        `json:"closed"` // the run goes all the way round the room, cut by an opening or not
	Length  unit.Length `json:"length"`
	Options []Option    `json:"options"` // best first; Options[0] is used unless the job asks for another way
	Chosen  int         `json:"chosen"`
	Want    Want        `json:"want"`
}

// Want is what was asked of the strips, after defaults.
type Want struct {
	Narrowest unit.Length `json:"narrowest"`
	Wanted    unit.Length `json:"wanted"`
	Widest    unit.Length `json:"widest"`
	Sliver    unit.Length `json:"sliver"`
	OnEdge    unit.Length `json:"onEdge"`
	Way       string      `json:"way"`
	Feature   string      `json:"feature"`
	Count     int         `json:"count,omitempty"` // 0 = any
	First     unit.Length `json:"first,omitempty"` // the nearest of those with the count
	Lines     string      `json:"lines"`
}

// Option is one way of dividing the group.
type Option struct {
	Way       string                 `json:"way"`       // round | each-wall | feature
	Count     int                    `json:"count"`     // strips in all, pieces at the ends of an open run among them
	PerFace   []int                  `json:"perFace"`   // strips begun on each face; they add up to Count
	Width     unit.Length            `json:"width"`     // mean width
	Phase     unit.Length            `json:"phase"`     // first joint from the start of the run; 0 for each-wall
	Closes    bool                   `json:"closes"`    // colours alternate all the way round
	Clash     string                 `json:"clash"`     // corner where two strips of one colour meet, "" = none
	Narrowest unit.Length            `json:"narrowest"` // narrowest piece left at a corner or opening
	At        string                 `json:"at"`        // where that is
	Cost      float64                `json:"cost"`
	Costs     []Cost                 `json:"costs"`
	Joints    unit.Length            `json:"joints"` // length of tape along the joints
	Marking   unit.Range[unit.Hours] `json:"marking"`
	Summary   string                 `json:"summary"`
	Faces     []Strips               `json:"faces"` // per face of the group
}

// Cost is one part of what an option costs, in the units of the weights of the
// catalog defaults.
type Cost struct {
	What   string  `json:"what"`
	Where  string  `json:"where"`
	Amount float64 `json:"amount"`
}

// Strips are the marks and strips of one face.
type Strips struct {
	Face      string      `json:"face"`
	Datum     string      `json:"datum"` // words: where the tape is hooked
	Marks     []Mark      `json:"marks"`
	Strips    []Strip     `json:"strips"`
	AreaA     unit.Area   `json:"areaA"` // exact, openings out
	AreaB     unit.Area   `json:"areaB"`
	FoldLeft  unit.Length `json:"foldLeft"`  // width of the same strip on the wall before, 0 = joint in the corner or end of the run
	FoldRight unit.Length `json:"foldRight"` // the same on the wall after
	Lean      string      `json:"lean"`      // what the lines do at a leaning corner
}

// Mark is a joint inside a face: its distance from the datum, cumulative, in whole
// mm. Joints in corners have no mark; FoldLeft or FoldRight is 0 there.
type Mark struct {
	Number int         `json:"number"`
	Foot   unit.Length `json:"foot"` // along the skirting, from the left end
	Head   unit.Length `json:"head"` // at the greatest height of the wall, from plumb above the left foot
	// colours: A | B
	Left  string `json:"left"`
	Right string `json:"right"`
}

// Strip is one strip on one face, between joints or corners.
type Strip struct {
	Colour string         `json:"colour"` // A | B
	Foot   [2]unit.Length `json:"foot"`
	Head   [2]unit.Length `json:"head"`
	Area   unit.Area      `json:"area"`
}

// Face is the setting-out of one face beside its strips.
type Face struct {
	ID       string    `json:"id"`
	Group    int       `json:"group"` // index into Groups, -1 = no strips
	Breaks   []Break   `json:"breaks"`
	Sections []Section `json:"sections"` // default working sections over the breaks; a later stage may choose others
	Rows     []Row     `json:"rows"`     // staggered rows (combing)
	Sheets   *Sheets   `json:"sheets"`   // laid papers (frottage, tissue)
}

// Break is a place where work may stop or a section may end.
type Break struct {
	X     unit.Length `json:"x"`
	Kind  string      `json:"kind"` // corner | opening | strip | grid
	Where string      `json:"where"`
}

// Section is a piece laid and worked as one.
type Section struct {
	Number int         `json:"number"`
	X0     unit.Length `json:"x0"`
	X1     unit.Length `json:"x1"`
	Y0     unit.Length `json:"y0"`
	Y1     unit.Length `json:"y1"`
	Area   unit.Area   `json:"area"`
}

// Row is one row of motifs.
type Row struct {
	Y0    unit.Length `json:"y0"`
	Y1    unit.Length `json:"y1"`
	Start unit.Length `json:"start"` // x of the first motif's left end; may be before the wall
	Motif unit.Length `json:"motif"`
	Count int         `json:"count"`
}

// Sheets is how many papers a face takes.
type Sheets struct {
	Good    string      `json:"good"`
	Across  int         `json:"across"`
	Up      int         `json:"up"`
	Layers  float64     `json:"layers"`
	Count   int         `json:"count"` // sheets laid
	Need    int         `json:"need"`  // sheets bought, reuse counted
	Width   unit.Length `json:"width"`
	Height  unit.Length `json:"height"`
	Overlap unit.Length `json:"overlap"`
}

// Of finds how a face is set out: its own record, and where it has strips their
// group and the strips in the way that was chosen. What there is not is nil.
func (so *SetOut) Of(face string) (*Face, *Group, *Strips) {
	for i := range so.Faces {
		f := &so.Faces[i]
		if f.ID != face {
			continue
		}
		if f.Group < 0 || f.Group >= len(so.Groups) {
			return f, nil, nil
		}
		g := &so.Groups[f.Group]
		if g.Chosen < 0 || g.Chosen >= len(g.Options) {
			return f, g, nil
		}
		faces := g.Options[g.Chosen].Faces
		for k := range faces {
			if faces[k].Face == face {
				return f, g, &faces[k]
			}
		}
		return f, g, nil
	}
	return nil, nil, nil
}

// Joint is a joint drawn on the wall.
func (m Mark) Joint(height unit.Length) (foot, head geom.Point) {
	return geom.Point{X: float64(m.Foot)}, geom.Point{X: float64(m.Head), Y: float64(height)}
}
