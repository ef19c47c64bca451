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
	Rooms    []Room
	Warnings []job.Warning
}

// Room is one room with its faces in walking order.
type Room struct {
	Path       string
	Name       string
	Closed     bool
	Climate    job.Climate
	Walls      []Wall
	Perimeter  unit.Length
	FloorStrip unit.Area   // floor covered along the walls, corners counted once
	Height     unit.Length // greatest
}

// Wall is a whole wall in its own plane, whatever is done to it.
type Wall struct {
	Path      string
	Name      string // "North"
	ID        string // "Breakfast room/North"
	Length    unit.Length
	Height    unit.Length // greatest
	Outline   geom.Polygon
	Skirting  unit.Length
	Cornice   unit.Length
	Dado      unit.Length // top of the rail, 0 = none
	DadoRail  unit.Length
	LeanLeft  unit.Length // top of the left end, + is into this wall; 0 for a drawn wall
	LeanRight unit.Length
	Corner    string // after this wall: internal | external | open
	Previous  string // ID of the wall before it round the room, "" at an open end
	Next      string // ID of the wall after it, "" at an open end
	Surface   job.Temp
	Seen      int
	Substrate string
	Openings  []Opening
	Faces     []Face // one, or two where a dado parts the wall; only those with a finish
}

// Opening is a hole in a wall, placed.
type Opening struct {
	Path       string
	Name       string
	Kind       string
	Shape      string
	Outline    geom.Polygon
	Area       unit.Area
	Left       unit.Length // bounds
	Right      unit.Length
	Sill       unit.Length
	Head       unit.Length
	Reveal     unit.Length
	Other      unit.Length // reveal depth of the other side
	Beyond     string
	Painted    []string  // sides of the reveal that get the finish
	RevealArea unit.Area // painted part of the reveal
}

// Face is one continuous field of one wall that gets one finish.
type Face struct {
	ID       string // "Landing/Long" or, below a dado, "Landing/Long, dado"
	Wall     string // ID of the wall
	Room     string
	Path     string
	Finish   string       // finish id
	Field    geom.Region  // what is painted: openings, skirting, cornice and rail taken out
	Gross    geom.Polygon // the same before openings are taken out; the largest part
	Net      unit.Area    // of Field
	Reveals  unit.Area    // painted reveals that belong to this face
	Edges    Edges
	Reach    []Reach
	Openings []int // indexes into Wall.Openings that touch this face
}

// Painted is what paint has to cover: field and reveals.
func (f Face) Painted() unit.Area { return f.Net + f.Reveals }

// Edges are the lengths along which one cuts in or masks. Where an opening
// breaks an edge, such as a door the skirting, the edge ends at the opening.
type Edges struct {
	Ceiling  unit.Length // upper edges, along the cornice where there is one
	Skirting unit.Length // lower edges, along the skirting or the floor
	Corners  unit.Length // ends of the wall, and edges steeper than 60 degrees
	Openings unit.Length // round openings, as far as they lie in the face
	Dado     unit.Length
}

// Total is the whole length of edge.
func (e Edges) Total() unit.Length {
	return e.Ceiling + e.Skirting + e.Corners + e.Openings + e.Dado
}

// Reach is the part of a face worked from one kind of stand.
type Reach struct {
	From string // floor | steps | platform | scaffold
	Area unit.Area
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
