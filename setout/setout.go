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
	Groups   []Group // runs of faces that share strips
	Faces    []Face  // one for each face of the survey, in its order
	Warnings []job.Warning
}

// Group is a run of faces in one room divided into strips together.
type Group struct {
	Room    string
	Finish  string
	Faces   []string // face IDs in walking order
	Closed  bool     // the run goes all the way round the room, cut by an opening or not
	Length  unit.Length
	Options []Option // best first; Options[0] is used unless the job asks for another way
	Chosen  int
	Want    Want
}

// Want is what was asked of the strips, after defaults.
type Want struct {
	Narrowest, Wanted, Widest, Sliver, OnEdge unit.Length
	Way, Feature, Lines                       string
}

// Option is one way of dividing the group.
type Option struct {
	Way       string      // round | each-wall | feature
	Count     int         // strips in all, pieces at the ends of an open run among them
	PerFace   []int       // strips begun on each face; they add up to Count
	Width     unit.Length // mean width
	Phase     unit.Length // first joint from the start of the run; 0 for each-wall
	Closes    bool        // colours alternate all the way round
	Clash     string      // corner where two strips of one colour meet, "" = none
	Narrowest unit.Length // narrowest piece left at a corner or opening
	At        string      // where that is
	Cost      float64
	Costs     []Cost
	Joints    unit.Length // length of tape along the joints
	Marking   unit.Range[unit.Hours]
	Summary   string
	Faces     []Strips // per face of the group
}

// Cost is one part of what an option costs, in the units of the weights of the
// catalog defaults.
type Cost struct {
	What   string
	Where  string
	Amount float64
}

// Strips are the marks and strips of one face.
type Strips struct {
	Face      string
	Datum     string // words: where the tape is hooked
	Marks     []Mark
	Strips    []Strip
	AreaA     unit.Area // exact, openings out
	AreaB     unit.Area
	FoldLeft  unit.Length // width of the same strip on the wall before, 0 = joint in the corner or end of the run
	FoldRight unit.Length // the same on the wall after
	Lean      string      // what the lines do at a leaning corner
}

// Mark is a joint inside a face: its distance from the datum, cumulative, in whole
// mm. Joints in corners have no mark; FoldLeft or FoldRight is 0 there.
type Mark struct {
	Number      int
	Foot        unit.Length // along the skirting, from the left end
	Head        unit.Length // at the greatest height of the wall, from plumb above the left foot
	Left, Right string      // colours: A | B
}

// Strip is one strip on one face, between joints or corners.
type Strip struct {
	Colour string // A | B
	Foot   [2]unit.Length
	Head   [2]unit.Length
	Area   unit.Area
}

// Face is the setting-out of one face beside its strips.
type Face struct {
	ID       string
	Group    int // index into Groups, -1 = no strips
	Breaks   []Break
	Sections []Section // default working sections over the breaks; a later stage may choose others
	Rows     []Row     // staggered rows (combing)
	Sheets   *Sheets   // laid papers (frottage, tissue)
}

// Break is a place where work may stop or a section may end.
type Break struct {
	X     unit.Length
	Kind  string // corner | opening | strip | grid
	Where string
}

// Section is a piece laid and worked as one.
type Section struct {
	Number int
	X0, X1 unit.Length
	Y0, Y1 unit.Length
	Area   unit.Area
}

// Row is one row of motifs.
type Row struct {
	Y0, Y1 unit.Length
	Start  unit.Length // x of the first motif's left end; may be before the wall
	Motif  unit.Length
	Count  int
}

// Sheets is how many papers a face takes.
type Sheets struct {
	Good          string
	Across, Up    int
	Layers        float64
	Count         int // sheets laid
	Need          int // sheets bought, reuse counted
	Width, Height unit.Length
	Overlap       unit.Length
}

// Joint is a joint drawn on the wall.
func (m Mark) Joint(height unit.Length) (foot, head geom.Point) {
	return geom.Point{X: float64(m.Foot)}, geom.Point{X: float64(m.Head), Y: float64(height)}
}
