// Package method is stage 4: a face, its technique and its glaze become the
// ordered steps of a coat system, with tools, mixes, waits and crew.
package method

import (
	"scumble/catalog"
	"scumble/job"
	"scumble/unit"
)

// Kinds of step, in the order they usually come.
const (
	Protect = "protect" // cover floors and mask; once a room
	Prime   = "prime"
	Fill    = "fill"
	Sand    = "sand"
	Ground  = "ground"
	Mark    = "mark" // setting-out
	Mask    = "mask"
	Relief  = "relief"
	Glaze   = "glaze" // lay and work, one step for two people
	Clear   = "clear"
	Inspect = "inspect"
	Unmask  = "unmask"
)

// Method is the coat system of every face.
type Method struct {
	Faces    []Face // in the order of the survey; only faces with a finish
	Rooms    []Room // protection before and clearing after, once a room
	Warnings []job.Warning
}

// Room holds the steps that belong to a whole room.
type Room struct {
	Name  string
	Steps []Step // Protect first, Unmask and Inspect last
}

// Face is the coat system of one face.
type Face struct {
	ID        string // of the survey face
	Room      string
	Wall      string
	Path      string
	Finish    *job.Finish
	Technique *catalog.Technique
	Substrate *catalog.Substrate
	GlazeKind string   // oil | metallic | water
	Adjoining []string // face IDs that meet this one in a corner
	Steps     []Step
}

// Step is one piece of work on one face (or room).
type Step struct {
	ID         string // "Breakfast room/North#ground-2"
	Rule       string // step id in the catalog
	Number     int    // from 1 on this face
	Face       string // face ID, "" for a step of a room
	Room       string
	Kind       string
	Title      string
	Do         string
	Edges      string
	Lays       string
	Works      string
	Product    *catalog.Product // nil = nothing is laid
	Colour     job.Colour       // colour laid
	Role       catalog.Role
	Let        LetDown         // dilution
	Spread     *catalog.Figure // m2 per litre of ready mix where the step has its own; nil = the product's
	SpreadPath string          // catalog path of Spread
	Over       string          // field | strips-a | strips-b | joints | edges | room
	Area       unit.Area       // painted in this step
	Length     unit.Length     // joints, edges
	Crew       int
	Rate       *catalog.Rate
	Work       unit.Range[unit.Hours] // elapsed, with the crew
	Skill      string                 // prepare | lay : what the people need to know; two-person steps need lay and work
	Stand      string                 // floor | steps | platform | scaffold: the highest needed
	Tools      []*catalog.Good
	Goods      []*catalog.Good
	WetEdge    bool
	Unbroken   bool
	Dwell      unit.Range[unit.Hours]
	Waits      []Wait
	Hold       string
	Cautions   []*catalog.Caution
}

// LetDown is how the product is thinned.
type LetDown struct {
	Parts   unit.Ratio // thinner on one part of product, by volume
	Thinner *catalog.Product
	Reading string     // parts | share : how the percentage was read
	Percent unit.Ratio // as stated
	Path    string     // of the figure or the job field it comes from
}

// Wait holds a step until another has dried.
type Wait struct {
	On     string                 // step ID
	From   unit.Range[unit.Hours] // after that step ends, at the reference climate
	Until  unit.Hours             // latest start after that step's end at the reference climate, 0 = no limit
	Base   string                 // water | oil | none: how climate changes the time
	Why    string
	Figure string // catalog path of the figure
}
