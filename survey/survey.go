// Package survey is stage 2: measured rooms become wall faces with openings,
// net regions, runs of walls round corners, and the heights a person reaches.
package survey

import (
	"scumble/geom"
	"scumble/job"
	"scumble/unit"
)

// Reaches are the heights above the floor that a person works up to from each
// stand. Above Platform it takes a scaffold. A figure of zero counts as the one
// before it; all zero means that everything is reached from the floor.
type Reaches struct{ Floor, Steps, Platform unit.Length }

// Survey is every room of a job, measured.
type Survey struct {
	Rooms    []Room        `json:"rooms"`
	Warnings []job.Warning `json:"warnings"`
}

// Room is one room with its faces in walking order.
type Room struct {
	Path       string      `json:"path"`
	Name       string      `json:"name"`
	Closed     bool        `json:"closed"`
	Climate    job.Climate `json:"climate"`
	Walls      []Wall      `json:"walls"`
	Perimeter  unit.Length `json:"perimeter"`
	FloorStrip unit.Area   `json:"floorStrip"` // floor covered along the walls, corners counted once
	Height     unit.Length `json:"height"`     // greatest
}

// Wall is a whole wall in its own plane, whatever is done to it.
type Wall struct {
	Path      string       `json:"path"`
	Name      string       `json:"name"` // "North"
	ID        string       `json:"id"`   // "Breakfast room/North"
	Length    unit.Length  `json:"length"`
	Height    unit.Length  `json:"height"` // greatest
	Outline   geom.Polygon `json:"outline"`
	Skirting  unit.Length  `json:"skirting"`
	Cornice   unit.Length  `json:"cornice"`
	Dado      unit.Length  `json:"dado"` // top of the rail, 0 = none
	DadoRail  unit.Length  `json:"dadoRail"`
	LeanLeft  unit.Length  `json:"leanLeft"` // top of the left end, + is into this wall; 0 for a drawn wall
	LeanRight unit.Length  `json:"leanRight"`
	Corner    string       `json:"corner"`   // after this wall: internal | external | open
	Previous  string       `json:"previous"` // ID of the wall before it round the room, "" at an open end
	Next      string       `json:"next"`     // ID of the wall after it, "" at an open end
	Surface   job.Temp     `json:"surface"`
	Outside   bool         `json:"outside,omitempty"`
	Seen      int          `json:"seen"`
	Substrate string       `json:"substrate"`
	Openings  []Opening    `json:"openings"`
	Faces     []Face       `json:"faces"` // one, or two where a dado parts the wall; only those with a finish
}

// Opening is a hole in a wall, placed.
type Opening struct {
	Path       string       `json:"path"`
	Name       string       `json:"name"`
	Kind       string       `json:"kind"`
	Shape      string       `json:"shape"`
	Outline    geom.Polygon `json:"outline"`
	Area       unit.Area    `json:"area"`
	Left       unit.Length  `json:"left"` // bounds
	Right      unit.Length  `json:"right"`
	Sill       unit.Length  `json:"sill"`
	Head       unit.Length  `json:"head"`
	Reveal     unit.Length  `json:"reveal"`
	Other      unit.Length  `json:"other"` // reveal depth of the other side
	Beyond     string       `json:"beyond"`
	Painted    []string     `json:"painted"`    // sides of the reveal that get the finish
	RevealArea unit.Area    `json:"revealArea"` // painted part of the reveal
}

// Face is one continuous field of one wall that gets one finish.
type Face struct {
	ID       string       `json:"id"`   // "Landing/Long" or, below a dado, "Landing/Long, dado"
	Wall     string       `json:"wall"` // ID of the wall
	Room     string       `json:"room"`
	Path     string       `json:"path"`
	Finish   string       `json:"finish"`  // finish id
	Field    geom.Region  `json:"field"`   // what is painted: openings, skirting, cornice and rail taken out
	Gross    geom.Polygon `json:"gross"`   // the same before openings are taken out; the largest part
	Net      unit.Area    `json:"net"`     // of Field
	Reveals  unit.Area    `json:"reveals"` // painted reveals that belong to this face
	Edges    Edges        `json:"edges"`
	Reach    []Reach      `json:"reach"`
	Openings []int        `json:"openings"` // indexes into Wall.Openings that touch this face
}

// Painted is what paint has to cover: field and reveals.
func (f Face) Painted() unit.Area { return f.Net + f.Reveals }

// Edges are the lengths along which one cuts in or masks. Where an opening
// breaks an edge, such as a door the skirting, the edge ends at the opening.
type Edges struct {
	Ceiling  unit.Length `json:"ceiling"`  // upper edges, along the cornice where there is one
	Skirting unit.Length `json:"skirting"` // lower edges, along the skirting or the floor
	Corners  unit.Length `json:"corners"`  // ends of the wall, and edges steeper than 60 degrees
	Openings unit.Length `json:"openings"` // round openings, as far as they lie in the face
	Dado     unit.Length `json:"dado"`
}

// Total is the whole length of edge.
func (e Edges) Total() unit.Length {
	return e.Ceiling + e.Skirting + e.Corners + e.Openings + e.Dado
}

// Reach is the part of a face worked from one kind of stand.
type Reach struct {
	From string    `json:"from"` // floor | steps | platform | scaffold
	Area unit.Area `json:"area"`
}

// FaceByID finds a face with its wall and room.
func (s *Survey) FaceByID(id string) (*Room, *Wall, *Face) {
	for r := range s.Rooms {
		for w := range s.Rooms[r].Walls {
			for f := range s.Rooms[r].Walls[w].Faces {
				if s.Rooms[r].Walls[w].Faces[f].ID == id {
					return &s.Rooms[r], &s.Rooms[r].Walls[w], &s.Rooms[r].Walls[w].Faces[f]
				}
			}
		}
	}
	return nil, nil, nil
}
