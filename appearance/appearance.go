// Package appearance shows the finished wall before a tin is opened: it takes a
// wall with its setting-out and its finish and paints pictures from the optics of
// the glaze and the strokes of the tool. Below it, finish knows what an agreed
// finish is and what follows from it, colour knows colour science, film the optics
// of a glaze, stroke the marks of a tool and measured the files of instruments;
// those know no walls.
package appearance

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"

	"scumble/appearance/finish"
	"scumble/appearance/stroke"
	"scumble/catalog"
	"scumble/geom"
	"scumble/job"
	"scumble/setout"
	"scumble/survey"
	"scumble/unit"
)

// Wall is a wall whose faces have finishes.
type Wall struct {
	ID, Room, Name string
	// Bounds hold the whole wall, mm.
	Bounds geom.Bounds
	// Lamps are what the room is lit with after dark, as the CIE names it.
	Lamps string
	Faces []Face
}

// Face is one field of one finish.
type Face struct {
	ID     string
	Region geom.Region
	Finish *finish.Finish
	// Strips are the joints and colours of strips from left to right, none without.
	Strips []setout.Strip
	// Height is that of the wall, at which the heads of joints are measured, mm.
	Height float64

	panel stroke.Panel
	// worked is the film of the face, worked out when it is first looked at.
	worked func() (*stroke.Film, error)
}

// ready makes a face whose film is worked out once, however often it is painted.
func (f Face) ready() Face {
	panel, recipe := f.panel, f.Finish.Recipe
	f.worked = sync.OnceValues(func() (*stroke.Film, error) { return stroke.New(panel, recipe) })
	return f
}

// Of prepares a wall of a job for pictures. The id is Room/Wall, as in the survey,
// in any case. The error names what is missing.
func Of(j *job.Job, c *catalog.Catalog, s *survey.Survey, so *setout.SetOut, id string) (*Wall, error) {
	var names []string
	for r := range s.Rooms {
		room := &s.Rooms[r]
		for w := range room.Walls {
			wall := &room.Walls[w]
			if strings.EqualFold(wall.ID, id) {
				return of(j, c, so, r, room, wall)
			}
			if len(wall.Faces) > 0 {
				names = append(names, wall.ID)
			}
		}
	}
	return nil, fmt.Errorf("there is no wall %q; walls with a finish are %s", id, strings.Join(names, ", "))
}

func of(j *job.Job, c *catalog.Catalog, so *setout.SetOut, r int, room *survey.Room, wall *survey.Wall) (*Wall, error) {
	out := &Wall{ID: wall.ID, Room: room.Name, Name: wall.Name, Bounds: wall.Outline.Bounds(), Lamps: lampsOf(j, r)}
	var faults []error
	finishes := map[string]*finish.Finish{}
	for n := range wall.Faces {
		f := &wall.Faces[n]
		if finishes[f.Finish] == nil {
			agreed, _, err := finish.Agreed(j, c, f.Finish)
			if err != nil {
				faults = append(faults, fmt.Errorf("%s: %w", f.ID, err))
				continue
			}
			finishes[f.Finish] = agreed
		}
		face := Face{ID: f.ID, Region: f.Field, Finish: finishes[f.Finish], Height: float64(wall.Height)}
		set, _, strips := so.Of(f.ID)
		if strips != nil {
			face.Strips = strips.Strips
		}
		face.panel = panel(f, set, strips, float64(wall.Height))
		out.Faces = append(out.Faces, face.ready())
	}
	if len(faults) == 0 && len(out.Faces) == 0 {
		faults = append(faults, fmt.Errorf("%s has no finish", wall.ID))
	}
	return out, errors.Join(faults...)
}

// BoardWall is a board of a finish as a wall of its own, for pictures; name seeds its
// strokes.
func BoardWall(f *finish.Finish, c *catalog.Catalog, name string, width, height float64) *Wall {
	p, joints := finish.BoardPanel(f, c, name, width, height)
	face := Face{ID: name, Region: p.Region, Finish: f, Height: height, panel: p}
	if len(joints) > 0 {
		edges := append(append([]float64{0}, joints...), width)
		for n := range edges[1:] {
			ends := [2]unit.Length{unit.Length(edges[n]), unit.Length(edges[n+1])}
			face.Strips = append(face.Strips, setout.Strip{Colour: string(rune('A' + n%2)), Foot: ends, Head: ends})
		}
	}
	return &Wall{ID: name, Name: name, Bounds: p.Region.Bounds(), Faces: []Face{face.ready()}}
}

// lampsOf is what a room of the job is lit with after dark.
func lampsOf(j *job.Job, room int) string {
	if lamps := j.Rooms[room].Lamps; lamps != "" {
		return lamps
	}
	return j.Lamps
}

// LampsOver is what the finish of an id is lit with after dark, in the order of its rooms; that of
// the job where it is on no wall.
func LampsOver(j *job.Job, s *survey.Survey, id string) []string {
	var lamps []string
	for r := range s.Rooms {
		for _, wall := range s.Rooms[r].Walls {
			for _, face := range wall.Faces {
				if light := lampsOf(j, r); face.Finish == id && !slices.Contains(lamps, light) {
					lamps = append(lamps, light)
				}
			}
		}
	}
	if len(lamps) == 0 {
		return []string{j.Lamps}
	}
	return lamps
}

// film is the glaze on the face; lost shows every joint between sections as if the wet
// edge had been lost there.
func (f *Face) film(lost bool) (*stroke.Film, error) {
	if !lost {
		return f.worked()
	}
	p := f.panel
	p.Laps = uprightJoints(p.Sections)
	return stroke.New(p, f.Finish.Recipe)
}

// joints are where strips meet at a height, from left to right, mm.
func (f *Face) joints(into []float32, y float32) []float32 {
	into = into[:0]
	if len(f.Strips) == 0 {
		return into
	}
	share := float64(y) / f.Height
	for _, s := range f.Strips[1:] {
		foot, head := float64(s.Foot[0]), float64(s.Head[0])
		into = append(into, float32(foot+(head-foot)*share))
	}
	return into
}

// ground is the number of the ground colour of a strip.
func (f *Face) ground(strip int) int {
	if len(f.Strips) == 0 || f.Strips[strip].Colour != "B" || len(f.Finish.Grounds) < 2 {
		return 0
	}
	return 1
}
