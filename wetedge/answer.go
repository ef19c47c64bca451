package wetedge

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"scumble/drying"
	"scumble/job"
	"scumble/unit"
)

// Ask answers a question about one wall. It fails where the step, the wall or the open time
// is not known, and where no open time can be given in that air.
func Ask(p Parts, q Question) (*Answer, error) {
	s, err := newScene(p, q)
	if err != nil {
		return nil, err
	}
	people := q.People
	if people == 0 {
		people = min(s.step.Crew, max(1, len(p.Job.Crew.People)))
	}
	people = min(3, max(1, people))
	now := s.climate.At(s.at.Sub(s.first).Hours())
	a := &Answer{Step: s.step.ID, Face: s.face.ID, Path: s.face.Path, Room: s.face.Room, Title: s.step.Title, At: s.at, People: people, Names: s.names(people),
		Air: now, Speed: s.climate.Speed, Holds: drying.Holds(now, s.step.Product, p.Catalog.Defaults)}
	a.Open = Open{Low: s.ends[0], Likely: s.ends[1], High: s.ends[2], Declared: 60 * float64(s.declared.Likely), Figure: "products/" + s.step.Product.ID + "/drying.open",
		Footing: string(s.step.Product.Drying.Open.Kind)}
	ways := s.layouts()
	if len(ways) == 0 {
		return nil, fmt.Errorf("%w: %s has no field to glaze", ErrNoWall, s.face.ID)
	}
	c := s.crew(people)
	best, likely := s.best(c, ways)
	a.Layout = best
	a.Chance = Chance{Low: s.atEnd(c, best, 2), Likely: likely, High: s.atEnd(c, best, 0), Target: s.target()}
	a.Safe = a.Chance.Likely <= a.Chance.Target
	s.play(a, c)
	for n := 1; n <= 3; n++ {
		one := Choice{People: n, Columns: best.Columns, Rows: best.Rows, Chance: likely, Minutes: a.Minutes}
		if n != people {
			with := s.crew(n)
			l, p := s.best(with, ways)
			one = Choice{n, l.Columns, l.Rows, p, with.run(l, false).end}
		}
		a.Crews = append(a.Crews, one)
	}
	s.helps(a, c, ways)
	s.words(a)
	if !a.Safe || len(a.Holds) > 0 {
		a.Warnings = append(a.Warnings, job.Warning{Path: a.Path, Name: a.Face, What: a.Verdict + " " + fmt.Sprintf("A lap mark: %s in 100.", InHundred(a.Chance.Likely)), Do: a.Advice, Hold: len(a.Holds) > 0})
	}
	return a, nil
}

// atEnd is the chance with the open time at an end of its range.
func (s *scene) atEnd(c *crew, l *Layout, end int) float64 {
	factor := s.ends[end] / s.ends[1]
	open := func(minute float64) float64 { return s.open(minute) * factor }
	return chance(c, l, s.face.Technique.Pair.Cross, s.spreads, open, 1)
}

// play fills in what happens at likely paces.
func (s *scene) play(a *Answer, c *crew) {
	done := c.run(a.Layout, true)
	a.Turns, a.Minutes = done.turns, done.end
	slices.SortStableFunc(a.Turns, func(x, y Turn) int { return cmp.Or(cmp.Compare(x.From, y.From), cmp.Compare(x.To, y.To)) })
	a.Open.Last = s.open(done.end)
	crossing := s.face.Technique.Pair.Cross
	ages, k := done.ages(a.Layout), 0
	for i := range a.Layout.joints {
		j := &a.Layout.joints[i]
		if j.dry {
			continue
		}
		one := Joint{A: a.Layout.Pieces[j.a].Number, B: a.Layout.Pieces[j.b].Number, Level: j.level, X: (j.x0 + j.x1) / 2, Y: (j.y0 + j.y1) / 2, Half: (j.y1 - j.y0) / 2}
		a.Joints = append(a.Joints, s.joint(one, ages[k], crossing))
		k++
	}
	if k == 0 { // one piece, or none that merge
		for i := range a.Layout.Pieces {
			if p := &a.Layout.Pieces[i]; done.self(i) == ages[0].self {
				a.Joints = []Joint{s.joint(Joint{A: p.Number, X: (p.X0 + p.X1) / 2, Y: (p.Y0 + p.Y1) / 2}, ages[0], crossing)}
			}
		}
	}
	slices.SortStableFunc(a.Joints, func(x, y Joint) int { return cmp.Compare(max(x.A, x.B), max(y.A, y.B)) })
	for i := range a.Joints {
		a.Joints[i].Letter = letter(i)
		if w := &a.Joints[a.Weakest]; a.Joints[i].Age/a.Joints[i].Open > w.Age/w.Open {
			a.Weakest = i
		}
	}
}

func (s *scene) joint(j Joint, a age, crossing bool) Joint {
	j.Meet, j.Self, j.Cross, j.Age, j.Laid, j.Open = a.meet, a.self, a.cross, a.matters(crossing), a.since, s.open(a.since)
	return j
}

// letter counts a, b ... z, aa, ab.
func letter(i int) string {
	if i < 26 {
		return string(rune('a' + i))
	}
	return letter(i/26-1) + string(rune('a'+i%26))
}

// helps looks at what could be changed, and keeps what makes it plainly better.
func (s *scene) helps(a *Answer, c *crew, ways []*Layout) {
	try := func(ask *Question, do, cost string, p, minutes float64) {
		if p < 0.8*a.Chance.Likely && a.Chance.Likely-p > 0.002 {
			a.Helps = append(a.Helps, Help{ask, do, cost, p, minutes})
		}
	}
	changed := func(do, cost string, change func(q *Question)) {
		q := s.q
		q.People, q.At = a.People, s.at
		change(&q)
		other, err := newScene(s.Parts, q)
		if err != nil {
			return
		}
		crew := other.crew(q.People)
		l, p := other.best(crew, other.layouts())
		try(&q, do, cost, p, crew.run(l, false).end)
	}
	if s.q.Columns > 0 {
		changed("Take sections as wide as they may be, and no wider", "Costs nothing.", func(q *Question) { q.Columns = 0 })
	} else if n := s.narrower(a, c, ways); n != nil {
		p := s.chance(c, n)
		q := s.q
		q.People, q.At, q.Columns = a.People, s.at, n.Columns
		try(&q, fmt.Sprintf("Smaller sections: %s, %s high", counted(n.Columns, "column"), counted(n.Rows, "row")), "More joints, each fresher.", p, c.run(n, false).end)
	}
	if a.People < 3 {
		who := [...]string{"", "A second pair of hands to work the glaze", "A third hand to cut in, fill trays and move the platform"}[a.People]
		changed(who, fmt.Sprintf("One more person for about %.0f min.", a.Minutes), func(q *Question) { q.People++ })
	}
	if drying.Base(s.step.Product) == "water" && !s.q.Retarder {
		changed("A retarder in the glaze, as its maker allows", "Wait longer before the next coat; try it on a board.", func(q *Question) { q.Retarder = true })
	}
	if s.climate.Speed > drying.ReferenceSpeed {
		changed("Shut door and window while a section is open", "Air the room between sections.", func(q *Question) { q.Draught = "none" })
	}
	if hour, ok := s.betterHour(); ok {
		changed("Begin at "+hour.Format("15:04"), "Other work moves.", func(q *Question) { q.At = hour })
	}
	if l := panels(a.Layout); l != nil {
		try(nil, "Every other column today, the rest when these are dry", "Tape inside every edge, and a second day.", s.chance(c, l), c.run(l, false).end)
	}
	if l := s.dado(a.Layout); l != nil {
		try(nil, "Part the wall at a dado rail", "Another look: ask the client.", s.chance(c, l), c.run(l, false).end)
	}
	slices.SortStableFunc(a.Helps, func(x, y Help) int { return cmp.Compare(x.Chance, y.Chance) })
}

func counted(n int, word string) string {
	if n == 1 {
		return "one " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}

// narrower is the next way with more pieces that is roughly better.
func (s *scene) narrower(a *Answer, c *crew, ways []*Layout) *Layout {
	now := s.rough(c, a.Layout)
	for _, l := range ways {
		if len(l.Pieces) > len(a.Layout.Pieces) && s.rough(c, l) < 0.7*now {
			return l
		}
	}
	return nil
}

// betterHour is the working hour of the same day at which glaze stays open longest, if that is
// a twentieth longer than as asked.
func (s *scene) betterHour() (best time.Time, ok bool) {
	if s.climate.Steadily() {
		return best, false
	}
	watch, err := s.climate.Watch(drying.Base(s.step.Product))
	if err != nil {
		return best, false
	}
	midnight := s.at.Truncate(24 * time.Hour)
	longest := s.ends[1] * 1.05
	for _, span := range s.Job.Crew.Hours {
		for m := int(span.From); m <= int(span.To)-60; m += 30 {
			at := midnight.Add(time.Duration(m) * time.Minute)
			r, err := watch.Open(s.declared, s.film, 1, at.Sub(s.first).Hours())
			if err == nil && 60*float64(r.Likely) > longest && len(drying.Holds(s.climate.At(at.Sub(s.first).Hours()), s.step.Product, s.Catalog.Defaults)) == 0 {
				longest, best, ok = 60*float64(r.Likely), at, true
			}
		}
	}
	return best, ok
}

// panels is a layout worked in every other column, then in those between once these are dry:
// upright joints end on tape or on dry glaze, and nothing merges there.
func panels(l *Layout) *Layout {
	if l.Columns < 2 {
		return nil
	}
	return l.reordered(func(p *Piece) int { return p.Column % 2 }, func(j *joint) bool { return !j.level })
}

// dado is the wall parted in an upper and a lower half by a rail, the upper worked first.
func (s *scene) dado(l *Layout) *Layout {
	b := s.of.Gross.Bounds()
	if s.wall.Dado > 0 || b.Height() < 1800 || l.Rows > 1 {
		return nil
	}
	half := layout(s.of, s.set, s.face.Technique.Section, b.Width()/float64(max(1, l.Columns)), b.Height()/2, s.reach())
	if half.Rows != 2 {
		return nil
	}
	middle := (b.Min.Y + b.Max.Y) / 2
	return half.reordered(func(p *Piece) int {
		if p.Y1 > middle+1 {
			return 0
		}
		return 1
	}, func(j *joint) bool { return j.level })
}

// reordered is a layout worked group by group, with some of its joints dry.
func (l *Layout) reordered(group func(p *Piece) int, dry func(j *joint) bool) *Layout {
	order := make([]int, len(l.Pieces))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(group(&l.Pieces[a]), group(&l.Pieces[b])) })
	out := &Layout{Columns: l.Columns, Rows: l.Rows}
	for _, i := range order {
		out.Pieces = append(out.Pieces, l.Pieces[i])
	}
	out.join()
	for i := range out.joints {
		out.joints[i].dry = dry(&out.joints[i])
	}
	return out
}

// words says what to do, plainly.
func (s *scene) words(a *Answer) {
	who := [...]string{"", "One person", "Two people", "Three people"}[a.People]
	w := &a.Joints[a.Weakest]
	weak := fmt.Sprintf("Joint %s is the oldest: %s min of %s.", w.Letter, unit.Figure(w.Age, 0), unit.Figure(w.Open, 0))
	if w.B == 0 {
		weak = fmt.Sprintf("The last stroke of section %d meets glaze %s min old, of %s.", w.A, unit.Figure(w.Age, 0), unit.Figure(w.Open, 0))
	}
	in := "in one piece"
	if n := len(a.Layout.Pieces); n > 1 {
		in = fmt.Sprintf("in %d sections", n)
	}
	switch {
	case len(a.Holds) > 0:
		a.Verdict = "Do not open the glaze in this air."
		a.Advice = a.Holds[0].Figure + ". " + a.Holds[0].Do
	case a.Safe:
		a.Verdict = fmt.Sprintf("%s can do it, %s.", who, in)
		a.Advice = weak
	case a.Chance.Likely > 0.5:
		a.Verdict = fmt.Sprintf("Do not start: %s would leave laps, even %s.", lower(who), in)
		a.Advice = weak + " " + s.wayOut(a)
	default:
		a.Verdict = fmt.Sprintf("%s cannot be sure of it, even %s.", who, in)
		a.Advice = weak + " " + s.wayOut(a)
	}
	if w.Age > w.Open {
		a.Advice += " At likely paces it is too old before it is merged."
	}
	d := s.Catalog.Defaults
	a.Rests = append(a.Rests,
		fmt.Sprintf("Open time %s min, from %s to %s, in this air; declared %s min at 23 °C and 50 %% (%s). A sample board settles it: lay the glaze, draw an X into the edge every two minutes, and note when the first shows (as ASTM D7488).",
			unit.Figure(a.Open.Likely, 0), unit.Figure(a.Open.Low, 0), unit.Figure(a.Open.High, 0), unit.Figure(a.Open.Declared, 0), a.Open.Footing),
		fmt.Sprintf("Paces net of edges: laying %s, working %s m² an hour, one person each (%s). Your own, from past walls, are better.",
			unit.Figure(s.face.Technique.Pair.Lay.Likely, 0), unit.Figure(s.face.Technique.Pair.Work.Likely, 0), s.face.Technique.Pair.Work.Kind),
		fmt.Sprintf("From wall to wall open times differ by about %s %%, from joint to joint by %s %%, paces by %s %% (own figures). Up to %s in 100 is held to be safe.",
			unit.Figure(100*s.spreads.wall, 0), unit.Figure(100*s.spreads.joint, 0), unit.Figure(100*s.spreads.pace, 0), unit.Figure(100*d.LapChance.Likely, 0)))
	if s.face.Technique.Pair.Cross {
		a.Rests = append(a.Rests, "The tool runs through the joints, so the age that counts is that of the older side when the tool passes over it.")
	} else {
		a.Rests = append(a.Rests, "The tool stays within a section, so the ages that count are those of glaze waiting for it, and of an edge when fresh glaze is laid against it.")
	}
	if drying.Base(s.step.Product) == "oil" {
		a.Rests = append(a.Rests, "For oil glaze only the temperature is modelled. Moving air and a thin film shorten its open time too.")
	}
	if tall := highest(a.Layout); tall != "floor" {
		a.Mind = fmt.Sprintf("The upper sections are reached from %s. Nobody walks down a ladder with both hands busy: stand on a platform, or hand the tool to the partner below.", article(tall))
		a.Rests = append(a.Rests, a.Mind)
	}
}

func article(stand string) string {
	switch stand {
	case "steps":
		return "steps, better a platform"
	case "scaffold":
		return "a scaffold"
	}
	return "a platform"
}

func highest(l *Layout) string {
	order := []string{"floor", "steps", "platform", "scaffold"}
	most := 0
	for i := range l.Pieces {
		most = max(most, slices.Index(order, l.Pieces[i].Stand))
	}
	return order[most]
}

// wayOut names what makes it safe, or says that nothing does.
func (s *scene) wayOut(a *Answer) string {
	if len(a.Helps) == 0 {
		return "Nothing looked at makes it safer: take a slower glaze, or another finish."
	}
	h := a.Helps[0]
	if h.Chance <= a.Chance.Target {
		return fmt.Sprintf("%s: %s in 100.", h.Do, InHundred(h.Chance))
	}
	return fmt.Sprintf("No way looked at is safe; the best is %s in 100 (%s). Take a slower glaze, or do not start.", InHundred(h.Chance), lower(h.Do))
}

func lower(s string) string {
	if s == "" {
		return s
	}
	return string(s[0]|0x20) + s[1:]
}

// InHundred is a chance as people say it: 7, "under 1", "over 99".
func InHundred(p float64) string {
	switch {
	case p < 0.005:
		return "under 1"
	case p > 0.995:
		return "over 99"
	}
	return fmt.Sprintf("%d", int(math.Round(100*p)))
}
