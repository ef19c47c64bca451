package vapour

import (
	"fmt"
	"math"
	"strings"
	"time"

	"scumble/catalog"
	"scumble/drying"
	"scumble/method"
	"scumble/schedule"
	"scumble/survey"
	"scumble/unit"
)

// laying is one task that gives off solvent, with the estimates behind it.
type laying struct {
	task  *schedule.Task
	grams unit.Range[float64]
	touch unit.Range[unit.Hours] // until dry to the touch, in the air of the room
}

// room adds the air of one room, if anything is laid in it or somebody works in it.
func (r *reckoner) room(s *survey.Room) {
	out := Room{Name: s.Name, Path: s.Path}
	var oils []laying
	tasks := r.tasks[s.Name]
	for _, task := range tasks {
		mix, use := r.mixOf[task.Step], r.uses[task.Step]
		if mix == nil || !mix.Known || use == nil {
			continue
		}
		grams := unit.Range[float64]{Low: float64(use.Laid.Low) * float64(mix.Actual.Low), Likely: float64(use.Laid.Likely) * float64(mix.Actual.Likely), High: float64(use.Laid.High) * float64(mix.Actual.High)}
		kg := unit.Range[unit.Mass]{Low: unit.Mass(grams.Low / 1000), Likely: unit.Mass(grams.Likely / 1000), High: unit.Mass(grams.High / 1000)}
		if mix.Product.Family != "oil" {
			out.FromWater = out.FromWater.Plus(kg)
			continue
		}
		out.Solvent = out.Solvent.Plus(kg)
		oils = append(oils, laying{task, grams, r.touchDry(s, task, mix.Product)})
	}
	if len(tasks) == 0 {
		return
	}
	out.Cautions = r.cautions(s, tasks)
	r.space(s, &out)
	if len(oils) > 0 && out.Volume.Low > 0 {
		r.levels(s, &out, oils)
	}
	r.out.Rooms = append(r.out.Rooms, out)
}

// space is the air of a room and how often it is renewed.
func (r *reckoner) space(s *survey.Room, out *Room) {
	var guessed bool
	for i := range r.job.Rooms {
		if r.job.Rooms[i].Name == s.Name {
			out.Floor, out.FloorFrom, guessed = r.floorOf(s, &r.job.Rooms[i])
		}
	}
	cubic := func(a unit.Area) unit.Space { return unit.Space(float64(a) * s.Height.Metres()) }
	out.Volume = unit.Range[unit.Space]{Low: cubic(out.Floor.Low), Likely: cubic(out.Floor.Likely), High: cubic(out.Floor.High)}
	out.Shut = changes(r.catalog.Defaults.AirShut, s.Climate.Changes)
	out.Aired = changes(r.catalog.Defaults.AirOpen, s.Climate.Aired)
	if guessed && out.Solvent.Likely > 0 {
		r.warn(s.Path, s.Name, fmt.Sprintf("The floor is not known; %s is taken for it (%s), and the solvent in the air hangs on it.", out.Floor.Likely, out.FloorFrom),
			"Measure the floor and give it as floor-area of the room.", false)
	}
}

// changes are those the job states, else those of the catalog.
func changes(f catalog.Figure, stated float64) unit.Range[unit.Changes] {
	if stated > 0 {
		return unit.Exactly(unit.Changes(stated))
	}
	return unit.Range[unit.Changes]{Low: unit.Changes(f.Low), Likely: unit.Changes(f.Likely), High: unit.Changes(f.High)}
}

// touchDry is the declared time to touch-dry, stretched by the air of the room as
// the programme stretches waits.
func (r *reckoner) touchDry(s *survey.Room, task *schedule.Task, p *catalog.Product) unit.Range[unit.Hours] {
	t := p.Drying.Touch
	declared := unit.Range[unit.Hours]{Low: unit.Hours(t.Low), Likely: unit.Hours(t.Likely), High: unit.Hours(t.High)}
	place := drying.Place{Air: s.Climate}
	place.First, _ = time.Parse(time.DateOnly, string(r.job.Crew.Start))
	for w := range s.Walls {
		for f := range s.Walls[w].Faces {
			if s.Walls[w].Faces[f].ID == task.Face {
				place.Surface, place.Outside = s.Walls[w].Surface, s.Walls[w].Outside
			}
		}
	}
	coat := drying.Coat{Base: "oil", From: declared, By: place.WaitBy()}
	if window, err := drying.Ready(coat, place.Climate(r.catalog.Defaults), task.End.Sub(place.First).Hours()); err == nil {
		return window.From // an error is air nobody paints in, which the programme has said
	}
	return declared
}

// levels runs the room and fills in all that follows from the level of its air.
func (r *reckoner) levels(s *survey.Room, out *Room, oils []laying) {
	origin := oils[0].task.Start
	for _, o := range oils {
		if o.task.Start.Before(origin) {
			origin = o.task.Start
		}
	}
	origin = origin.Truncate(time.Hour)
	minute := func(t time.Time) int { return int(t.Sub(origin) / time.Minute) }
	at := func(minute int) time.Time { return origin.Add(time.Duration(minute) * time.Minute) }
	sc := &scene{}
	for _, o := range oils {
		sc.films = append(sc.films, spans(o.task, minute))
	}
	sc.layOut(r.attended(minute), r.wetEdges(s.Name, minute))
	cases := trials(out, oils, r.catalog.Defaults)
	if d := s.Climate.Draught; d == "window" || d == "fan" {
		for i := range cases { // the job says the glaze is worked in moving air
			cases[i].draught = true
		}
	}
	courses := make([]course, len(cases))
	for i := range cases {
		courses[i] = sc.run(&cases[i], sc.ticks)
	}
	e := &estimate{sc, courses}
	likely := &courses[0]
	peak, tick := likely.highest()
	out.Peak = Peak{At: at(sc.ticks[tick].to), Step: lastBefore(oils, at(sc.ticks[tick].to)),
		Level: levelRange(e.of(func(c *course) float64 { l, _ := c.highest(); return l }))}
	_, from := likely.worstMean(sc.ticks)
	out.Mean = Mean{From: at(from), Level: levelRange(e.of(func(c *course) float64 { l, _ := c.worstMean(sc.ticks); return l }))}
	limits := r.limits(func(l *catalog.Limit) bool { return l.Air != "" })
	strictest := 0.0
	for _, l := range limits {
		most, ok := milligrams(l.Value)
		if !ok {
			continue
		}
		out.Limits = append(out.Limits, e.limit(l, most, out, &cases[0], r.catalog.Defaults.Mixing.Likely))
		if l.Air == "eight-hours" && (strictest == 0 || most < strictest) {
			strictest = most
		}
	}
	out.ReEntry = e.when(strictest, at)
	out.SleepAt = unit.Level(strictest * r.catalog.Defaults.SleepShare.Likely)
	out.Sleep = e.when(float64(out.SleepAt), at)
	out.Series = e.series(float64(out.SleepAt), tick, at, &cases[0])
	out.Sections = sections(sc, oils, r.steps, &cases[0], minute, out)
	r.warnRoom(out, peak)
}

// spans are the working pieces of a task.
func spans(t *schedule.Task, minute func(time.Time) int) (list []span) {
	for _, p := range t.Pieces {
		list = append(list, span{minute(p.From), minute(p.To)})
	}
	return list
}

// attended is when somebody is on site: from the first to the last work of each day.
func (r *reckoner) attended(minute func(time.Time) int) (list []span) {
	for _, d := range r.siteDays {
		list = append(list, span{minute(d.From), minute(d.To)})
	}
	return list
}

// attendance is the first and last work of each site day, found once for all rooms.
func attendance(p *schedule.Programme) (days []schedule.Piece) {
	at := map[time.Time]int{}
	for i := range p.Tasks {
		for _, piece := range p.Tasks[i].Pieces {
			date := piece.From.Truncate(24 * time.Hour)
			k, known := at[date]
			if !known {
				at[date] = len(days)
				days = append(days, piece)
				continue
			}
			if piece.From.Before(days[k].From) {
				days[k].From = piece.From
			}
			if piece.To.After(days[k].To) {
				days[k].To = piece.To
			}
		}
	}
	return days
}

// wetEdges is when a wet edge in the room wants the windows shut.
func (r *reckoner) wetEdges(room string, minute func(time.Time) int) (list []span) {
	for _, t := range r.tasks[room] {
		if step := r.steps[t.Step]; step != nil && step.WetEdge {
			list = append(list, spans(t, minute)...)
		}
	}
	return list
}

// trials are the likely case, then the ends with films that dry fast and slow: which
// of the two is worse depends on what is asked. A film loses solvent in proportion to
// what it holds, and a known share is left when it is dry to the touch:
// k = -ln(left) / time, 3 / time for 5 %.
func trials(out *Room, oils []laying, d *catalog.Defaults) []trial {
	mixing, leaves := d.Mixing, -math.Log(d.TouchLeft.Likely)
	one := func(mass, touch func(*laying) float64, volume unit.Space, shut, open unit.Changes, k float64) trial {
		t := trial{volume: float64(volume), shut: float64(shut) / k, open: float64(open) / k}
		for i := range oils {
			t.grams = append(t.grams, mass(&oils[i]))
			t.drying = append(t.drying, leaves/max(touch(&oils[i]), 0.05)) // a film of three minutes is gone at once
		}
		return t
	}
	fast := func(o *laying) float64 { return float64(o.touch.Low) }
	usual := func(o *laying) float64 { return float64(o.touch.Likely) }
	slow := func(o *laying) float64 { return float64(o.touch.High) }
	low := func(o *laying) float64 { return o.grams.Low }
	likely := func(o *laying) float64 { return o.grams.Likely }
	high := func(o *laying) float64 { return o.grams.High }
	v := out.Volume
	return []trial{
		one(likely, usual, v.Likely, out.Shut.Likely, out.Aired.Likely, mixing.Likely),
		one(low, fast, v.High, out.Shut.High, out.Aired.High, mixing.Low),
		one(low, slow, v.High, out.Shut.High, out.Aired.High, mixing.Low),
		one(high, fast, v.Low, out.Shut.Low, out.Aired.Low, mixing.High),
		one(high, slow, v.Low, out.Shut.Low, out.Aired.Low, mixing.High),
	}
}

// estimate is one scene run with all trials, the likely one first.
type estimate struct {
	*scene
	courses []course
}

// of is the range of a measure over all courses.
func (e *estimate) of(measure func(c *course) float64) unit.Range[float64] {
	v := measure(&e.courses[0])
	out := unit.Exactly(v)
	for i := 1; i < len(e.courses); i++ {
		v := measure(&e.courses[i])
		out.Low, out.High = min(out.Low, v), max(out.High, v)
	}
	return out
}

func levelRange(r unit.Range[float64]) unit.Range[unit.Level] {
	return unit.Range[unit.Level]{Low: unit.Level(r.Low), Likely: unit.Level(r.Likely), High: unit.Level(r.High)}
}

// milligrams is a limit in mg/m3.
func milligrams(f catalog.Figure) (float64, bool) {
	switch f.Unit {
	case "mg/m3":
		return f.Likely, f.Likely > 0
	case "g/m3":
		return f.Likely * 1000, f.Likely > 0
	}
	return 0, false
}

// limit holds the room against one limit.
func (e *estimate) limit(l *catalog.Limit, most float64, out *Room, likely *trial, mixing float64) RoomLimit {
	reached, measure := out.Peak.Level, func(c *course, _ []tick) float64 { v, _ := c.highest(); return v }
	if l.Air == "eight-hours" {
		reached, measure = out.Mean.Level, func(c *course, ticks []tick) float64 { v, _ := c.worstMean(ticks); return v }
	}
	share := func(v unit.Level) unit.Ratio { return unit.Ratio(float64(v) / most) }
	hours := e.of(func(c *course) float64 { return c.above(e.ticks, most) })
	v := RoomLimit{Limit: l, Name: l.Name, Region: l.Region, Verified: l.Verified, Kind: l.Air, Most: unit.Level(most),
		Share: unit.Range[unit.Ratio]{Low: share(reached.Low), Likely: share(reached.Likely), High: share(reached.High)},
		Hours: unit.Range[unit.Hours]{Low: unit.Hours(hours.Low), Likely: unit.Hours(hours.Likely), High: unit.Hours(hours.High)}}
	if v.Kept = v.Share.Likely <= 1; !v.Kept {
		needed, ok := e.needed(*likely, mixing, most, measure)
		v.Needed, v.Beyond = unit.Changes(needed), !ok
	}
	return v
}

// when is from when on the level stays at or under a limit.
func (e *estimate) when(limit float64, at func(int) time.Time) (w When) {
	never := math.MaxInt32
	minutes := e.of(func(c *course) float64 {
		if m, ok := e.below(c, limit); ok {
			return float64(m)
		}
		return float64(never)
	})
	moment := func(m float64) (t time.Time) {
		if int(m) < never {
			t = at(int(m))
		}
		return t
	}
	return When{moment(minutes.Low), moment(minutes.Likely), moment(minutes.High)}
}

// series is the level by the hour, at the peak and whenever the windows move, until
// one may likely sleep in the room again.
func (e *estimate) series(until float64, peak int, at func(int) time.Time, likely *trial) []Point {
	end, ok := e.below(&e.courses[0], until)
	if !ok {
		end = math.MaxInt
	}
	list := []Point{{At: at(0)}}
	for n := range e.ticks {
		t := &e.ticks[n]
		moved := n+1 < len(e.ticks) && likely.aired(t) != likely.aired(&e.ticks[n+1])
		if t.to%coarse == 0 || moved || n == peak {
			level := e.of(func(c *course) float64 { return c.level[n] })
			list = append(list, Point{At: at(t.to), Level: levelRange(level), Aired: likely.aired(t)})
		}
		if t.to >= end {
			break
		}
	}
	return list
}

// lastBefore is the solvent step under way at a moment, else the last that began.
func lastBefore(oils []laying, at time.Time) (step string) {
	var start time.Time
	for _, o := range oils {
		if o.task.Start.Before(at) && !o.task.Start.Before(start) {
			step, start = o.task.Step, o.task.Start
		}
	}
	return step
}

// sections compares, for each step with a wet edge, the windows shut and open.
func sections(sc *scene, oils []laying, steps map[string]*method.Step, likely *trial, minute func(time.Time) int, out *Room) (list []Section) {
	still, aired := *likely, *likely
	still.draught, aired.draught = false, true
	shut, open := sc.run(&still, sc.ticks), sc.run(&aired, sc.ticks)
	for _, o := range oils {
		if step := steps[o.task.Step]; step == nil || !step.WetEdge {
			continue
		}
		s := Section{Step: o.task.Step, Face: o.task.Face, Start: o.task.Start, End: o.task.End}
		from, to := minute(o.task.Start), minute(o.task.End)
		for n := range sc.ticks {
			if sc.ticks[n].from >= from && sc.ticks[n].to <= to {
				s.Shut = max(s.Shut, unit.Level(shut.level[n]))
				s.Open = max(s.Open, unit.Level(open.level[n]))
			}
		}
		var passed *RoomLimit
		for l := range out.Limits {
			if most := out.Limits[l].Most; s.Shut > most && (passed == nil || most > passed.Most) {
				passed = &out.Limits[l]
			}
		}
		s.Words = fmt.Sprintf("With the windows shut the air holds up to %s, under every limit.", s.Shut)
		if passed != nil {
			s.Above = passed.Limit.ID
			s.Words = sectionWords(&s, passed)
		}
		list = append(list, s)
	}
	return list
}

func sectionWords(s *Section, passed *RoomLimit) string {
	words := fmt.Sprintf("With the windows shut the air holds up to %s, with them open %s; %s is the limit (%s). "+
		"Air between sections and leave the room while it clears: a draught on an open section shortens its open time.", s.Shut, s.Open, passed.Most, lower(passed.Name))
	if s.Open > passed.Most {
		words += " Open windows alone do not keep it: use a fan, a water-borne glaze, or the breathing protection the product's sheet names."
	}
	return words
}

// lower writes a name within a sentence.
func lower(s string) string { return strings.ToLower(s[:min(1, len(s))]) + s[min(1, len(s)):] }

// warnRoom warns of the highest limit a room is likely to pass.
func (r *reckoner) warnRoom(out *Room, peak float64) {
	var worst *RoomLimit
	for i := range out.Limits {
		if l := &out.Limits[i]; !l.Kept && (worst == nil || l.Most > worst.Most) {
			worst = l
		}
	}
	if worst == nil {
		return
	}
	needed := fmt.Sprintf("about %s air changes an hour, day and night, would keep it", unit.Figure(math.Ceil(float64(worst.Needed)*10)/10, 1))
	if worst.Beyond {
		needed = "no airing keeps it"
	}
	back := "Nobody goes in before a reading says so."
	if t := out.ReEntry.Likely; !t.IsZero() {
		back = fmt.Sprintf("Not below the strictest limit at work before %s.", t.Format("Mon 2 January 15:04"))
	}
	for i := range out.Limits {
		if l := &out.Limits[i]; l.Kind == "explosion" && l.Kept && l.Share.High > 1 {
			back += fmt.Sprintf(" With little air and a rich mix it passes %s, the %s.", l.Most, lower(l.Name))
		}
	}
	r.warn(out.Path, out.Name,
		fmt.Sprintf("Solvent in the air is reckoned to reach %s, from %s to %s; %s is the limit (%s), and %s. %s",
			unit.Level(peak), out.Peak.Level.Low, out.Peak.Level.High, worst.Most, lower(worst.Name), needed, back),
		"Air between sections and after the last one, keep flame and sparks out, or choose a water-borne glaze; the product's safety sheet comes first.",
		worst.Kind == "explosion")
}
