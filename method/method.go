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
	Faces    []Face        `json:"faces"` // in the order of the survey; only faces with a finish
	Rooms    []Room        `json:"rooms"` // protection before and clearing after, once a room
	Warnings []job.Warning `json:"warnings"`
}

// Room holds the steps that belong to a whole room.
type Room struct {
	Name  string `json:"name"`
	Steps []Step `json:"steps"` // Protect first, Unmask and Inspect last
}

// Face is the coat system of one face.
type Face struct {
	ID        string             `json:"id"` // of the survey face
	Room      string             `json:"room"`
	Wall      string             `json:"wall"`
	Path      string             `json:"path"`
	Finish    *job.Finish        `json:"finish"`
	Technique *catalog.Technique `json:"technique"`
	Substrate *catalog.Substrate `json:"substrate"`
	GlazeKind string             `json:"glazeKind"` // oil | metallic | water
	Adjoining []string           `json:"adjoining"` // face IDs that meet this one in a corner
	Steps     []Step             `json:"steps"`
}

// Step is one piece of work on one face (or room).
type Step struct {
	ID         string                 `json:"id"`     // "Breakfast room/North#ground-2"
	Rule       string                 `json:"rule"`   // step id in the catalog
	Number     int                    `json:"number"` // from 1 on this face
	Face       string                 `json:"face"`   // face ID, "" for a step of a room
	Room       string                 `json:"room"`
	Kind       string                 `json:"kind"`
	Title      string                 `json:"title"`
	Do         string                 `json:"do"`
	Edges      string                 `json:"edges"`
	Lays       string                 `json:"lays"`
	Works      string                 `json:"works"`
	Product    *catalog.Product       `json:"product"` // nil = nothing is laid
	Colour     job.Colour             `json:"colour"`  // colour laid
	Role       catalog.Role           `json:"role"`
	Let        LetDown                `json:"let"`              // dilution
	Spread     *catalog.Figure        `json:"spread"`           // m2 per litre of ready mix where the step has its own; nil = the product's
	SpreadPath string                 `json:"spreadPath"`       // catalog path of Spread
	Shared     bool                   `json:"shared,omitempty"` // its tone lies beside another in one film
	Over       string                 `json:"over"`             // field | strips-a | strips-b | joints | edges | room
	Area       unit.Area              `json:"area"`             // painted in this step
	Length     unit.Length            `json:"length"`           // joints, edges
	Crew       int                    `json:"crew"`
	Rate       *catalog.Rate          `json:"rate"`
	Work       unit.Range[unit.Hours] `json:"work"`  // elapsed, with the crew
	Skill      string                 `json:"skill"` // prepare | lay : what the people need to know; two-person steps need lay and work
	Stand      string                 `json:"stand"` // floor | steps | platform | scaffold: the highest needed
	Tools      []*catalog.Good        `json:"tools"`
	Goods      []*catalog.Good        `json:"goods"`
	WetEdge    bool                   `json:"wetEdge"`
	Unbroken   bool                   `json:"unbroken"`
	Dwell      unit.Range[unit.Hours] `json:"dwell"`
	Waits      []Wait                 `json:"waits"`
	Begin      string                 `json:"begin,omitempty"` // must be so before it is begun
	Hold       string                 `json:"hold"`            // check of what was done, before going on
	Cautions   []*catalog.Caution     `json:"cautions"`
}

// LetDown is how the product is thinned.
type LetDown struct {
	Parts   unit.Ratio       `json:"parts"` // thinner on one part of product, by volume
	Thinner *catalog.Product `json:"thinner"`
	Reading string           `json:"reading"` // parts | share : how the percentage was read
	Percent unit.Ratio       `json:"percent"` // as stated
	Path    string           `json:"path"`    // of the figure or the job field it comes from
}

// Wait holds a step until another has dried.
type Wait struct {
	On     string                 `json:"on"`    // step ID
	From   unit.Range[unit.Hours] `json:"from"`  // after that step ends, at the reference climate
	Until  unit.Hours             `json:"until"` // latest start after that step's end at the reference climate, 0 = no limit
	Base   string                 `json:"base"`  // water | oil | none: how climate changes the time
	Why    string                 `json:"why"`
	Figure string                 `json:"figure"` // catalog path of the figure
}

// Film is the thickness a step lays over that its product states: what its own spreading rate
// makes of it. It is 1 where either is not known, and where two tones share one film.
func (s *Step) Film() unit.Ratio {
	if s.Product == nil || s.Spread == nil || s.Spread.Unit != "m2/L" || s.Product.Spread.Unit != "m2/L" || !(s.Spread.Likely > 0) || s.Shared {
		return 1
	}
	return unit.Ratio(s.Product.Spread.Likely / s.Spread.Likely)
}
