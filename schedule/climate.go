package schedule

import (
	"fmt"
	"math"

	"scumble/catalog"
	"scumble/drying"
	"scumble/job"
	"scumble/schedule/place"
	"scumble/schedule/solve"
	"scumble/survey"
	"scumble/unit"
)

// climate gives each activity the air it dries in. Where the air is on hold while
// people work it gives the nearest air that is not, because nobody paints before
// that, and says so.
type climate struct {
	n     *network
	d     *catalog.Defaults
	job   job.Climate
	room  map[string]*survey.Room
	told  map[string]bool
	seen  map[seen]bool
	spots map[spotKey]*spot
}

// spot is a wall, or a room, with its air.
type spot struct {
	measured drying.Climate // as the job states it
	good     drying.Climate // put right while people work
	by       string         // rule of waiting
	watches  map[string]*drying.Watch
	leaves   map[drying.Coat]*leave
}

// seen is a product at one place; its holds are looked for once.
type seen struct {
	where   string
	product *catalog.Product
}

func newClimate(n *network, s *survey.Survey, j *job.Job, d *catalog.Defaults) *climate {
	c := &climate{n, d, j.Climate, map[string]*survey.Room{}, map[string]bool{}, map[seen]bool{}, map[spotKey]*spot{}}
	for r := range s.Rooms {
		c.room[s.Rooms[r].Name] = &s.Rooms[r]
	}
	return c
}

// of is the air of an activity.
func (c *climate) of(a *planned) *spot {
	if a.spot == nil {
		a.spot = c.find(a)
	}
	return a.spot
}

// find looks for the spot of an activity; walls of a room with one air are one.
func (c *climate) find(a *planned) *spot {
	place := drying.Place{Air: c.job, First: c.n.first}
	if r := c.room[a.step.Room]; r != nil {
		place.Air = r.Climate
	}
	key := spotKey{room: a.step.Room}
	if a.face != nil {
		if at, ok := c.n.walls[a.face.ID]; ok {
			place.Surface, place.Outside = at.wall.Surface, at.wall.Outside
			key.surface, key.outside = at.wall.Surface, at.wall.Outside
		}
	}
	if s := c.spots[key]; s != nil {
		return s
	}
	s := &spot{measured: place.Climate(c.d), by: place.WaitBy(), watches: map[string]*drying.Watch{}, leaves: map[drying.Coat]*leave{}}
	steady := s.measured.Steadily()
	s.good = s.measured.With(func(hour int, a drying.Air) drying.Air {
		if steady || c.attended(hour) {
			return drying.Better(a, c.d)
		}
		return a
	})
	c.spots[key] = s
	return s
}

// spotKey is what the air of a spot follows from.
type spotKey struct {
	room    string
	surface job.Temp
	outside bool
}

// attended reports whether people may be at work in some part of an hour of the day.
func (c *climate) attended(hour int) bool {
	minute := ((hour%24 + 24) % 24) * 60
	for _, s := range c.n.spans {
		if s.From < minute+60 && s.To > minute {
			return true
		}
	}
	return false
}

// leave follows a coat at a spot; coats alike share one.
func (s *spot) leave(coat drying.Coat) (*leave, error) {
	if l := s.leaves[coat]; l != nil {
		return l, nil
	}
	watch := s.watches[coat.Base]
	if watch == nil {
		var err error
		if watch, err = s.good.Watch(coat.Base); err != nil {
			return nil, err
		}
		s.watches[coat.Base] = watch
	}
	if _, err := watch.Ready(coat, 0); err != nil {
		return nil, err
	}
	l := &leave{coat: coat, watch: watch, daily: len(s.good.Air) <= 24}
	l.times(s)
	s.leaves[coat] = l
	return l, nil
}

// leave is something that dries after an activity and lets another begin.
type leave struct {
	coat  drying.Coat
	watch *drying.Watch
	// Where every day is alike, waits are kept by the minute of the day, a grain apart.
	daily bool
	kept  [day / grain]wait

	lag, until int                      // the least there are
	at         func(end int) (int, int) // nil where they never change
}

// wait is when what waits may begin, minutes after the end of what was left.
type wait struct {
	known      bool
	lag, until int
}

// window of what was left at a site minute; its figures are known to exist.
func (l *leave) window(end int) drying.Window {
	w, err := l.watch.Ready(l.coat, float64(end)/60)
	if err != nil { // cannot be: the air goes round and was followed once
		return drying.Window{From: unit.Exactly[unit.Hours](longWait)}
	}
	return w
}

func (l *leave) wait(end int) (lag, until int) {
	slot := -1
	if l.daily && end%grain == 0 {
		slot = ((end % day) + day) % day / grain
		if w := &l.kept[slot]; w.known {
			return w.lag, w.until
		}
	}
	from, to := l.watch.Surely(l.coat, float64(end)/60)
	lag, until = minutesUp(min(from, longWait)), int(float64(to)*60)
	if slot >= 0 {
		l.kept[slot] = wait{true, lag, until}
	}
	return lag, until
}

// times finds the wait for what was left. Where the air changes through the day it
// depends on the minute the work ended.
func (l *leave) times(s *spot) {
	if s.good.Steadily() {
		l.lag, l.until = l.wait(0)
		return
	}
	l.at = l.wait
	if l.coat.Until > 0 {
		l.until = 1 // there is a latest start; when, the end of the work tells
	}
	if l.coat.By != drying.ByModel {
		l.lag = minutesUp(l.coat.From.High)
		return
	}
	l.lag = math.MaxInt
	for h := range max(len(s.good.Air), 24) { // the least at any hour, and an hour less for those between
		a, _ := l.wait((s.good.First + h) * 60)
		l.lag = min(l.lag, max(0, a-60))
	}
}

// hold warns once for each room, wall and rule in whose air a step may not be
// done, and works out how long what it lays stays wet.
func (c *climate) hold(a *planned) {
	if a.step.Product == nil {
		return
	}
	where, path := a.step.Room, ""
	if r := c.room[a.step.Room]; r != nil {
		path = r.Path
	}
	s := c.of(a)
	if first := s.measured.Air[0]; a.face != nil && first.Surface != first.Temp {
		where, path = a.face.ID, a.face.Path
	}
	if at := (seen{where, a.step.Product}); s.measured.Steadily() && !c.seen[at] {
		c.seen[at] = true
		for _, h := range drying.Holds(s.measured.Air[0], a.step.Product, c.d) {
			c.tell(where, path, h, fmt.Sprintf("Nobody paints in this air: %s. The programme counts on it being put right before %s.", h.Figure, a.step.ID))
		}
	}
	t := a.step.Product.Drying.Touch
	from := unit.Range[unit.Hours]{Low: unit.Hours(t.Low), Likely: unit.Hours(t.Likely), High: unit.Hours(max(t.High, t.Likely))}
	if l, err := s.leave(drying.Coat{Base: drying.Base(a.step.Product), From: from, By: s.by}); err == nil {
		a.touch = l
	}
}

func (c *climate) tell(where, path string, h drying.Hold, what string) {
	key := where + "\x00" + h.Rule + "\x00" + h.Figure
	if !c.told[key] {
		c.told[key] = true
		c.n.warn = append(c.n.warn, job.Warning{Path: path, Name: where, Hold: true, What: what, Do: h.Do})
	}
}

// placed warns of holds at the hours of work a solution found, where the air changes
// through the day: once for each step and rule.
func (c *climate) placed(p *solve.Plan) (list []job.Warning) {
	told := map[string]bool{}
	for i := range p.Slots {
		if f := c.n.Acts[i].Fact; f != nil && f.End > 0 {
			continue
		}
		a := &c.n.planned[i]
		for _, work := range p.Slots[i].Work {
			w, rule, ok := c.hourly(a, work)
			if key := a.step.ID + "\x00" + rule; ok && !told[key] {
				told[key] = true
				list = append(list, w)
			}
		}
	}
	return list
}

// hourly is the first hold in a stretch of work, where the air changes through the day.
func (c *climate) hourly(a *planned, work place.Span) (w job.Warning, rule string, ok bool) {
	s := c.of(a)
	if a.step.Product == nil || s.measured.Steadily() {
		return w, "", false
	}
	for hour := work.From / 60; hour <= (work.To-1)/60; hour++ {
		holds := drying.Holds(s.measured.At(float64(hour)), a.step.Product, c.d)
		if len(holds) == 0 {
			continue
		}
		where, path := a.step.Room, ""
		if a.face != nil {
			where, path = a.face.ID, a.face.Path
		}
		what := fmt.Sprintf("Nobody paints in the air of %s: %s. The programme counts on it being put right for %s.", c.n.at(hour*60).Format("2 January, 15:04"), holds[0].Figure, a.step.ID)
		if next, ok := s.measured.Next(float64(hour), a.step.Product, c.d); ok {
			what += " Left alone, it is good from " + c.n.at(int(next*60)).Format("2 January, 15:04") + "."
		}
		return job.Warning{Path: path, Name: where, Hold: true, What: what, Do: holds[0].Do}, holds[0].Rule, true
	}
	return w, "", false
}

// wet is how long a glaze counts as wet, in minutes, at the worst hour of its air: until
// it is touch-dry; where its product states no such time, until the next coat could go on
// at the earliest.
func (c *climate) wet(p *planned) int {
	most := 0
	for h := range max(24, len(c.of(p).good.Air)) {
		end, wet := (c.of(p).good.First+h)*60, unit.Hours(0)
		if p.touch != nil {
			wet = p.touch.window(end).From.High
		}
		if wet == 0 {
			for i := range p.leaves {
				wet = max(wet, p.leaves[i].window(end).From.Low)
			}
		}
		most = max(most, minutesUp(wet))
		if c.of(p).good.Steadily() {
			break
		}
	}
	return most
}
