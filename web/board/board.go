// Package board lays a job out for the pages: its text, what was read from it, what
// is wrong in it, the plan as far as it goes, and how far each wall has come. It
// computes nothing about the work; the stages do.
package board

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"

	"scumble/catalog"
	"scumble/job"
	"scumble/plan"
	"scumble/schedule"
	"scumble/survey"
)

// Board is a job laid out.
type Board struct {
	Text []byte
	File *job.File
	Job  *job.Job
	// Plan is as much as can be planned, without the alternatives, which take longer than
	// all the rest; stages that cannot answer are nil.
	Plan *plan.Plan
	// Quick is the programme of a short look, which changes are compared with; Looked tells
	// that the one of the plan was looked for at length.
	Quick  *schedule.Programme
	Looked bool
	// Problems are all that is wrong or missing, sorted by place in the text.
	Problems []job.Problem
	Walls    []Wall // in walking order

	catalog *catalog.Catalog
	ways    func() []plan.Alternative
}

// Wall is a wall of the job, whether it can be measured or not.
type Wall struct {
	RoomIndex, Index int
	Path             string // rooms[1].walls[0]
	ID               string // Breakfast room/North
	Room, Name       string
	Typed            *job.Wall
	// Survey is nil while the figures of the wall do not fit.
	Survey   *survey.Wall
	Problems []job.Problem // of this wall, and of its room where they keep it from being measured
	Warnings []job.Warning
}

// Lay lays a job out.
func Lay(text []byte, c *catalog.Catalog) *Board {
	file, problems := job.Read("job", text)
	problems = append(problems, file.Check()...)
	problems = append(problems, file.CheckAgainst(plan.Known(c))...)
	b := &Board{Text: text, File: file, Job: file.Job, catalog: c}
	plain := *file.Job
	plain.Alternatives = nil
	b.Plan, problems = plan.AsFar(&plain, c, problems)
	b.Plan.Job, b.Quick = file.Job, b.Plan.Programme
	b.Problems = job.Sorted(placed(file, problems))
	b.ways = sync.OnceValue(func() []plan.Alternative {
		if len(b.Problems) > 0 {
			return nil
		}
		return plan.Ways(b.Plan, schedule.Quick)
	})
	b.walls()
	return b
}

// Look looks longer for a programme, and returns the board laid with the best one and with
// the other ways of the job: what papers are made of. Each better one on the way is told to
// found. A board without a programme has nothing to look for.
func (b *Board) Look(e schedule.Effort, found func(*Board)) (*Board, error) {
	if b.Plan.Programme == nil {
		return b.looked(b.Plan, nil), nil
	}
	shown, failed := b.Plan.Programme, error(nil)
	e.Watch = func(p *schedule.Programme) {
		if failed != nil || !better(p, shown) {
			return
		}
		var with *plan.Plan
		if with, failed = b.Plan.With(p); failed == nil {
			shown = p
			found(b.with(with))
		}
	}
	best, err := plan.Better(b.Plan, e)
	if err = errors.Join(err, failed); err != nil {
		return nil, err
	}
	var ways []plan.Alternative
	if len(b.Problems) == 0 {
		e.Watch = nil
		ways = plan.Ways(best, e)
	}
	return b.looked(best, ways), nil
}

// better reports whether a programme may take the place of another while a still better one
// is looked for.
func better(p, shown *schedule.Programme) bool {
	return len(p.Warnings) <= len(shown.Warnings) &&
		cmp.Or(p.SiteDays-shown.SiteDays, p.Visits-shown.Visits, p.Finish.Compare(shown.Finish)) < 0
}

// with is the board laid with another programme.
func (b *Board) with(p *plan.Plan) *Board {
	other := &Board{Text: b.Text, File: b.File, Job: b.Job, Plan: p, Problems: b.Problems, Quick: b.Quick, catalog: b.catalog, ways: b.ways}
	other.walls()
	return other
}

func (b *Board) looked(p *plan.Plan, ways []plan.Alternative) *Board {
	other := b.with(p)
	other.Looked, other.ways = true, func() []plan.Alternative { return ways }
	return other
}

// Ways are the alternatives of the job, planned with the same effort as its programme when
// they are first asked for. While anything is wrong in the job there are none.
func (b *Board) Ways() []plan.Alternative { return b.ways() }

// Whole is the plan with its alternatives.
func (b *Board) Whole() *plan.Plan {
	whole := *b.Plan
	whole.Alternatives = b.Ways()
	return &whole
}

// Ready reports whether papers can be made of the job: it has a price, and nothing is left
// to mend.
func (b *Board) Ready() bool { return b.Plan.Quote != nil && len(b.ToMend()) == 0 }

// LampsOf is what a wall of a job is lit with after dark.
func (w *Wall) LampsOf(j *job.Job) string {
	if own := j.Rooms[w.RoomIndex].Lamps; own != "" {
		return own
	}
	return j.Lamps
}

// BuiltIn is the catalog without the figures that the job replaces.
func (b *Board) BuiltIn() *catalog.Catalog { return b.catalog }

// placed gives problems of later stages the position of their field.
func placed(file *job.File, problems []job.Problem) []job.Problem {
	out := slices.Clone(problems)
	for i := range out {
		if out[i].Line == 0 {
			out[i].File, out[i].Position = file.Name, file.At(out[i].Path)
		}
	}
	return out
}

func (b *Board) walls() {
	measured := map[string]*survey.Wall{}
	if s := b.Plan.Survey; s != nil {
		for r := range s.Rooms {
			for w := range s.Rooms[r].Walls {
				wall := &s.Rooms[r].Walls[w]
				measured[wall.Path] = wall
			}
		}
	}
	for r := range b.Job.Rooms {
		room := &b.Job.Rooms[r]
		for w := range room.Walls {
			wall := Wall{RoomIndex: r, Index: w, Path: fmt.Sprintf("rooms[%d].walls[%d]", r, w),
				ID: room.Name + "/" + room.Walls[w].Name, Room: room.Name, Name: room.Walls[w].Name, Typed: &room.Walls[w]}
			wall.Survey = measured[wall.Path]
			for _, p := range b.Problems {
				if Within(p.Path, wall.Path) {
					wall.Problems = append(wall.Problems, p)
				}
			}
			for _, warning := range b.Plan.Warnings {
				if Within(warning.Path, wall.Path) {
					wall.Warnings = append(wall.Warnings, warning)
				}
			}
			b.Walls = append(b.Walls, wall)
		}
	}
}

// Within reports whether a field path lies in another, or is it.
func Within(path, group string) bool {
	rest, ok := strings.CutPrefix(path, group)
	return ok && (rest == "" || rest[0] == '.' || rest[0] == '[')
}

// Wall finds a wall by its ID in any case; nil when there is none of that name.
func (b *Board) Wall(id string) *Wall {
	for i := range b.Walls {
		if strings.EqualFold(b.Walls[i].ID, id) {
			return &b.Walls[i]
		}
	}
	return nil
}

// ProblemsOf are the problems at a field or within it.
func (b *Board) ProblemsOf(path string) []job.Problem {
	var out []job.Problem
	for _, p := range b.Problems {
		if Within(p.Path, path) {
			out = append(out, p)
		}
	}
	return out
}

// ToMend are the problems a person can act on: without those that only say that a later
// stage waits, and without the lists an empty job does not have yet.
func (b *Board) ToMend() []job.Problem {
	var out []job.Problem
	for _, p := range b.Problems {
		waits := strings.HasPrefix(p.What, "no ") && strings.Contains(p.What, " yet: ")
		if !waits && (p.Path != "rooms" && p.Path != "finishes" || b.Holds(p.Path)) {
			out = append(out, p)
		}
	}
	return out
}

// Typed is what stands at a field, readable or not; "" when nothing does.
func (b *Board) Typed(path string) string {
	text, _ := b.File.Typed(path)
	return text
}

// Same reports whether a text is the one laid out.
func (b *Board) Same(text []byte) bool { return bytes.Equal(b.Text, text) }

// Title is the name of a wall for people: Breakfast room, north.
func (w *Wall) Title() string {
	if w.Name == "" {
		return w.Room
	}
	return w.Room + ", " + w.Name
}
