package wetedge

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"
	"time"

	"scumble/catalog"
	"scumble/drying"
	"scumble/method"
	"scumble/schedule"
	"scumble/setout"
	"scumble/survey"
	"scumble/unit"
)

// ErrNoWall is wrapped where a question names no step that keeps a wet edge.
var ErrNoWall = errors.New("no wall is glazed there")

// scene is a wall with everything a question about it needs.
type scene struct {
	Parts
	q        Question
	face     *method.Face
	step     *method.Step
	wall     *survey.Wall
	of       *survey.Face
	set      *setout.Face
	task     *schedule.Task
	first    time.Time
	at       time.Time
	climate  drying.Climate
	declared unit.Range[unit.Hours]
	film     unit.Ratio
	spreads  spreads
	open     func(minute float64) float64 // likely, min
	ends     [3]float64                   // low, likely, high of glaze laid first
}

// Steps are those of a face that keep a wet edge. Where a second glaze is worked into the
// first while that is wet, both are one.
func Steps(f *method.Face) []*method.Step {
	var out []*method.Step
	for i := range f.Steps {
		s := &f.Steps[i]
		if s.WetEdge && s.Product != nil && !(f.Technique.Mixed && s.Role == catalog.RoleGlazeB && len(out) > 0) {
			out = append(out, s)
		}
	}
	return out
}

func newScene(p Parts, q Question) (*scene, error) {
	s := &scene{Parts: p, q: q}
	for f := range p.Method.Faces {
		for _, step := range Steps(&p.Method.Faces[f]) {
			if step.ID == q.Step {
				s.face, s.step = &p.Method.Faces[f], step
			}
		}
	}
	if s.step == nil {
		return nil, fmt.Errorf("%w: %q is no step that keeps a wet edge", ErrNoWall, q.Step)
	}
	var room *survey.Room
	room, s.wall, s.of = p.Survey.FaceByID(s.face.ID)
	if s.of == nil {
		return nil, fmt.Errorf("%w: %s is not measured", ErrNoWall, s.face.ID)
	}
	s.set, _, _ = p.SetOut.Of(s.face.ID)
	if s.set == nil {
		return nil, fmt.Errorf("%w: %s is not set out", ErrNoWall, s.face.ID)
	}
	var err error
	if s.first, err = time.Parse(time.DateOnly, string(p.Job.Crew.Start)); err != nil {
		return nil, fmt.Errorf("crew.start: %q is not a date: write it as 2027-03-08", p.Job.Crew.Start)
	}
	s.when()
	s.air(room)
	return s, s.opens()
}

// when settles the hour: as asked, as the programme has it, or the first of the first day.
func (s *scene) when() {
	s.at = s.first.Add(8 * time.Hour)
	if h := s.Job.Crew.Hours; len(h) > 0 {
		s.at = s.first.Add(time.Duration(h[0].From) * time.Minute)
	}
	if s.Programme != nil {
		for i := range s.Programme.Tasks {
			if t := &s.Programme.Tasks[i]; t.Step == s.step.ID {
				s.task, s.at = t, t.Start
			}
		}
	}
	if !s.q.At.IsZero() {
		s.at = s.q.At
	}
}

// air is the climate of the wall with what the question changes in it.
func (s *scene) air(room *survey.Room) {
	place := drying.Place{Air: room.Climate, Surface: s.wall.Surface, Outside: s.wall.Outside, First: s.first}
	if s.q.Draught != "" {
		place.Air.Draught = s.q.Draught
	}
	s.climate = place.Climate(s.Catalog.Defaults)
	if s.q.Temp == nil && s.q.Humidity == nil {
		return
	}
	now := s.climate.At(s.at.Sub(s.first).Hours())
	s.climate = s.climate.With(func(_ int, a drying.Air) drying.Air {
		if s.q.Temp != nil {
			a.Surface += *s.q.Temp - now.Temp
			a.Temp += *s.q.Temp - now.Temp
		}
		if s.q.Humidity != nil {
			a.Humidity = min(1, a.Humidity*(*s.q.Humidity)/now.Humidity)
		}
		return a
	})
}

// opens finds how long glaze stays open through the work.
func (s *scene) opens() error {
	d, p := s.Catalog.Defaults, s.step.Product
	s.declared = unit.Range[unit.Hours]{Low: unit.Hours(p.Drying.Open.Low), Likely: unit.Hours(p.Drying.Open.Likely), High: unit.Hours(p.Drying.Open.High)}
	if !(s.declared.Low > 0) {
		return fmt.Errorf("products/%s states no open time: add drying.open, timed on a sample board", p.ID)
	}
	if s.q.Retarder && drying.Base(p) == "water" {
		s.declared = unit.Range[unit.Hours]{Low: s.declared.Low * unit.Hours(d.Retarder.Low), Likely: s.declared.Likely * unit.Hours(d.Retarder.Likely), High: s.declared.High * unit.Hours(d.Retarder.High)}
	}
	s.film = s.step.Film()
	s.spreads = spreads{d.OpenWall.Likely, d.OpenJoint.Likely, d.PaceSpread.Likely}
	return s.reopen()
}

// reopen works out the open times of the film as it is laid.
func (s *scene) reopen() error {
	watch, err := s.climate.Watch(drying.Base(s.step.Product))
	if err != nil {
		return err
	}
	start := s.at.Sub(s.first).Hours()
	first, err := watch.Open(s.declared, s.film, 1, start)
	if err != nil {
		return err
	}
	s.ends = [3]float64{60 * float64(first.Low), 60 * float64(first.Likely), 60 * float64(first.High)}
	if s.climate.Steadily() {
		s.open = func(float64) float64 { return s.ends[1] }
		return nil
	}
	const quarters = 40 // of an hour, beyond which the last stands
	table := make([]float64, quarters+1)
	for i := range table {
		r, err := watch.Open(s.declared, s.film, 1, start+float64(i)/4)
		if err != nil {
			return err
		}
		table[i] = 60 * float64(r.Likely)
	}
	s.open = func(minute float64) float64 {
		x := min(quarters, max(0, minute/15))
		i := min(quarters-1, int(x))
		return table[i] + (x-float64(i))*(table[i+1]-table[i])
	}
	return nil
}

// crew of so many people at likely paces.
func (s *scene) crew(people int) *crew {
	d, t := s.Catalog.Defaults, &s.face.Technique.Pair
	spread := s.step.Product.Spread
	if s.step.Spread != nil {
		spread = *s.step.Spread
	}
	tray := math.Inf(1)
	if spread.Unit == "m2/L" {
		tray = d.Tray.Likely * spread.Likely
	}
	c := &crew{people: people, lay: t.Lay.Likely / 60, work: t.Work.Likely / 60, cutIn: d.CutInPace.Likely / 60, tall: 1,
		refill: d.Refill.Likely, tray: tray, clean: t.Clean.Likely, wipe: t.Wipe.Likely, shift: d.Shift.Likely, climb: d.Climb.Likely,
		dwell: 60 * float64(s.step.Dwell.Likely), patient: 60 * float64(s.step.Dwell.High-s.step.Dwell.Likely)}
	if s.step.Rate != nil {
		c.tall = s.step.Rate.Tall.Likely
	}
	return c
}

func (s *scene) reach() survey.Reaches {
	d := s.Catalog.Defaults
	return survey.Reaches{Floor: unit.Length(d.ReachFloor.Likely), Steps: unit.Length(d.ReachSteps.Likely), Platform: unit.Length(d.ReachPlatform.Likely)}
}

// narrowest section anybody would lay, mm (own default), and how many ways of columns are tried.
const (
	narrowest = 300
	mostWays  = 12
)

// layouts are the ways to part the wall, the fewest pieces first: columns from as wide as the
// technique goes down to narrowest, rows as its sections are high.
func (s *scene) layouts() []*Layout {
	section := s.face.Technique.Section
	long := s.of.Gross.Bounds().Width()
	high := s.of.Gross.Bounds().Height()
	least := max(1, int(math.Ceil(long/max(section.Width.Likely, section.Width.High)-1e-9)))
	most := max(least, int(math.Floor(long/narrowest)))
	var columns []int
	if s.q.Columns > 0 {
		columns = []int{s.q.Columns}
	} else {
		for i := range mostWays {
			n := least + int(math.Round(float64(i)*float64(most-least)/(mostWays-1)))
			if most-least < mostWays {
				n = least + i
			}
			if n <= most && !slices.Contains(columns, n) {
				columns = append(columns, n)
			}
		}
	}
	heights := []float64{0}
	if h := section.Height; h.Likely > 0 {
		heights = nil
		rows := map[int]bool{}
		for _, one := range []float64{max(h.High, h.Likely), h.Likely, h.Low} {
			if n := int(math.Ceil(high/one - 1e-9)); one > 0 && !rows[n] {
				rows[n] = true
				heights = append(heights, high/float64(n))
			}
		}
	}
	var out []*Layout
	for _, n := range columns {
		for _, h := range heights {
			if l := layout(s.of, s.set, section, long/float64(n), h, s.reach()); len(l.Pieces) > 0 {
				out = append(out, l)
			}
		}
	}
	sort.SliceStable(out, func(a, b int) bool { return len(out[a].Pieces) < len(out[b].Pieces) })
	return out
}

func (s *scene) target() float64 { return s.Catalog.Defaults.LapChance.Likely }

func (s *scene) chance(c *crew, l *Layout) float64 {
	return chance(c, l, s.face.Technique.Pair.Cross, s.spreads, s.open, 1)
}

// rough is the chance by the oldest joint alone, in closed form: enough to tell ways apart.
func (s *scene) rough(c *crew, l *Layout) float64 {
	done := c.run(l, false)
	worst := math.Inf(-1)
	for _, a := range done.ages(l) {
		worst = max(worst, math.Log(a.matters(s.face.Technique.Pair.Cross)/s.open(a.since)))
	}
	return bell(worst / math.Sqrt(s.spreads.wall*s.spreads.wall+s.spreads.joint*s.spreads.joint+s.spreads.pace*s.spreads.pace))
}

// best is the way with the fewest pieces that keeps to the target; where none does, the one
// with the least chance of a lap mark.
func (s *scene) best(c *crew, ways []*Layout) (*Layout, float64) {
	rough := make([]float64, len(ways))
	for i, l := range ways {
		rough[i] = s.rough(c, l)
	}
	for i, l := range ways {
		if rough[i] > 2*s.target() { // many joints only add to that
			continue
		}
		if p := s.chance(c, l); p <= s.target() {
			return l, p
		}
	}
	order := make([]int, len(ways))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return rough[order[a]] < rough[order[b]] })
	var best *Layout
	least := math.Inf(1)
	for _, i := range order[:min(3, len(order))] {
		if p := s.chance(c, ways[i]); p < least {
			best, least = ways[i], p
		}
	}
	return best, least
}

// names of who lays, works and helps.
func (s *scene) names(people int) []string {
	var out []string
	if s.task != nil {
		out = append(out, s.task.People...)
	}
	for _, p := range s.Job.Crew.People {
		if !slices.Contains(out, p.Name) {
			out = append(out, p.Name)
		}
	}
	for len(out) < people {
		out = append(out, [...]string{"one who lays", "one who works", "a third hand"}[len(out)%3])
	}
	return out[:people]
}
