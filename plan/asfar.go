package plan

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"scumble/catalog"
	"scumble/experience"
	"scumble/job"
	"scumble/method"
	"scumble/price"
	"scumble/quantity"
	"scumble/schedule"
	"scumble/setout"
	"scumble/survey"
	"scumble/vapour"
)

// AsFar plans as much as can be planned of a job that is still being written.
// known are the problems found when it was read and checked. What has problems is
// left out: a wall that cannot be measured is not in the survey (the others keep
// the paths they have in the job), a wall with a figure that does not fit, or with a
// finish that has problems, is measured but has no faces. A stage that cannot answer
// is nil, and so is every later one that needs it. Alternatives are planned when
// nothing at all is wrong. For a sound job the plan is the one Run gives.
//
// The problems returned are the known ones as they came, then all further ones with
// a path and without a place in the file, among them why each nil stage is nil: these
// begin with "no setting-out yet: ", "no method yet: ", "no quantities yet: ",
// "no programme yet: ", "no air yet: " or "no price yet: ".
func AsFar(j *job.Job, c *catalog.Catalog, known []job.Problem) (*Plan, []job.Problem) {
	d := &draft{job: *j, known: known, faulty: map[int]bool{}}
	p := &Plan{Job: j}
	d.choose(p, c)
	c = p.Catalog
	var found []job.Problem
	p.Survey, found = survey.Measure(j, reaches(c.Defaults))
	d.add(found...)
	d.keepSound(p.Survey, c)
	d.keepPriced()
	if d.coats(p) {
		d.means(p)
	}
	p.gatherWarnings()
	if len(known)+len(d.more) == 0 {
		d.alternatives(p)
	}
	return p, append(slices.Clip(slices.Clone(known)), d.more...)
}

// draft is a job on its way to as much of a plan as it gives.
type draft struct {
	job    job.Job // as the stages see it: what is faulty is emptied, never moved
	known  problems
	more   problems
	faulty map[int]bool // finishes, by their place in the job
}

type problems []job.Problem

// within reports whether a path is that of a field, or of something in it.
func within(path, field string) bool {
	rest, ok := strings.CutPrefix(path, field)
	return ok && (rest == "" || rest[0] == '.' || rest[0] == '[')
}

// under reports whether anything is wrong with a field or in it.
func (l problems) under(field string) bool {
	return slices.ContainsFunc(l, func(p job.Problem) bool { return within(p.Path, field) })
}

func (d *draft) wrong(field string) bool { return d.known.under(field) || d.more.under(field) }

// add notes problems, but not of a field that is known to have one: that a value is
// missing says nothing new of a value that could not be read.
func (d *draft) add(found ...job.Problem) {
	for _, p := range found {
		at := func(q job.Problem) bool { return q.Path == p.Path }
		same := func(q job.Problem) bool { return q.Path == p.Path && q.What == p.What }
		if !slices.ContainsFunc(d.known, at) && !slices.ContainsFunc(d.more, same) {
			d.more = append(d.more, p)
		}
	}
}

// missing says why there is no answer of a stage.
func (d *draft) missing(stage, path, why, do string) {
	d.more = append(d.more, job.Problem{Path: path, What: "no " + stage + " yet: " + why, Do: do})
}

// choose gives the plan its catalog: with those figures of the job that can be used, and
// with what those of its walls taught that can be used.
func (d *draft) choose(p *Plan, c *catalog.Catalog) {
	sound := *p.Job // what cannot be used is emptied, never moved
	sound.Figures, sound.Observed = slices.Clone(p.Job.Figures), slices.Clone(p.Job.Observed)
	for i := range sound.Figures {
		at, one := fmt.Sprintf("figures[%d]", i), &sound.Figures[i]
		if _, err := c.Choose(picks(&job.Job{Figures: sound.Figures[i : i+1]})); err != nil && !d.known.under(at) {
			d.add(job.Problem{Path: at, What: err.Error(), Do: "correct the entry, or take it out"})
		}
		if d.wrong(at) {
			*one = job.Choice{}
		}
	}
	for i := range sound.Observed {
		if d.known.under(fmt.Sprintf("observed[%d]", i)) {
			sound.Observed[i] = job.Observed{}
		}
	}
	p.Catalog = c
	chosen, err := c.Choose(picks(&sound))
	if err != nil { // each can be chosen by itself, so this cannot be
		return
	}
	p.Catalog = chosen
	lessons, wild, found := experience.Lessons(&sound, c, chosen.Defaults)
	d.add(found...)
	if taught, err := chosen.Choose(learned(lessons)); err == nil { // each is a figure of the catalog in its unit
		p.Catalog, p.Learned, p.Warnings = taught, lessons, wild
	}
}

// keepSound takes the faces off walls that cannot be relied on, and walls that could
// not be measured out of the survey.
func (d *draft) keepSound(s *survey.Survey, c *catalog.Catalog) {
	bare := d.unsound()
	rooms, walls := map[string]bool{}, map[string]bool{}
	for r := range s.Rooms {
		room, from := &s.Rooms[r], &d.job.Rooms[r]
		misnamed := d.twice(room.Path, room.Name, rooms) || from.Name != "" && d.known.under(room.Path+".name")
		for w := range room.Walls {
			wall, typed := &room.Walls[w], &from.Walls[w]
			taken := d.known.under(room.Path+".skirting") && !typed.Skirting.Given() ||
				d.known.under(room.Path+".cornice") && !typed.Cornice.Given()
			if d.twice(wall.Path, wall.ID, walls) || typed.Name != "" && d.known.under(wall.Path+".name") ||
				misnamed || taken || bare[wall.Path] {
				wall.Faces = nil
			}
			if id := wall.Substrate; id != "" && c.Substrates[id] == nil {
				at := wall.Path + ".substrate"
				if typed.Substrate == "" {
					at = room.Path + ".substrate"
				}
				d.add(job.Problem{Path: at, What: fmt.Sprintf("the catalog has no substrate %q", id), Do: "choose one of its substrates"})
				wall.Substrate = "" // as long as none is given
			}
		}
		takeOut(s, room)
	}
}

// twice notes a name that stands for something else already: steps carry it.
func (d *draft) twice(path, name string, seen map[string]bool) bool {
	if seen[name] {
		d.add(job.Problem{Path: path + ".name", What: fmt.Sprintf("%q is a name given before", name), Do: "give it a name of its own"})
		return true
	}
	seen[name] = true
	return false
}

// unsound are the walls, by path, with a problem in what they measure.
func (d *draft) unsound() map[string]bool {
	bare := map[string]bool{}
	for _, p := range slices.Concat(d.known, d.more) {
		room, rest, ok := strings.Cut(p.Path, ".walls[")
		number, field, closed := strings.Cut(rest, "]")
		if !ok || !closed || !strings.HasPrefix(room, "rooms[") {
			continue
		}
		switch strings.TrimPrefix(field, ".dado") {
		case ".name", ".finish", ".substrate", ".seen", ".surface", ".done", ".ended":
		default:
			if !within(field, ".options") {
				bare[room+".walls["+number+"]"] = true
			}
		}
	}
	return bare
}

// takeOut removes the walls without a shape from a room, and opens the corners they
// were to make.
func takeOut(s *survey.Survey, room *survey.Room) {
	gone := map[string]bool{}
	kept := []survey.Wall{}
	for _, w := range room.Walls {
		if gone[w.Path] = w.Outline == nil; !gone[w.Path] {
			kept = append(kept, w)
		}
	}
	if len(kept) == len(room.Walls) {
		return
	}
	for w, n := 0, len(room.Walls); w < n; w++ {
		next := (w + 1) % n
		for k := range kept {
			if kept[k].Path == room.Walls[w].Path && gone[room.Walls[next].Path] {
				kept[k].Next, kept[k].Corner = "", "open"
			}
			if kept[k].Path == room.Walls[next].Path && gone[room.Walls[w].Path] {
				kept[k].Previous = ""
			}
		}
	}
	room.Walls = kept
	// what is said of the whole room was said with walls of no length
	s.Warnings = slices.DeleteFunc(s.Warnings, func(w job.Warning) bool { return w.Path == room.Path || gone[w.Path] })
}

// keepPriced keeps prices that could not be read from passing for free of charge.
func (d *draft) keepPriced() {
	if !d.known.under("prices") {
		return
	}
	prices := &d.job.Prices
	prices.Packs = slices.Clone(prices.Packs)
	for i := range prices.Packs {
		if d.known.under(fmt.Sprintf("prices.packs[%d]", i)) {
			prices.Packs[i].Litres = 0 // a pack of nothing is not offered
		}
	}
	var goods []job.GoodPrice
	for i, g := range prices.Goods {
		if !d.known.under(fmt.Sprintf("prices.goods[%d]", i)) {
			goods = append(goods, g)
		}
	}
	prices.Goods = goods
}

// coats runs setting-out and method over all finishes that can be followed, and
// reports whether there is a method.
func (d *draft) coats(p *Plan) bool {
	for i := range d.job.Finishes {
		at, id := fmt.Sprintf("finishes[%d]", i), d.job.Finishes[i].Technique
		switch {
		case d.known.under(at):
			d.faulty[i] = true
		case p.Catalog.Techniques[id] == nil:
			d.faulty[i] = true
			d.add(job.Problem{Path: at + ".technique", What: fmt.Sprintf("the catalog has no technique %q", id), Do: "choose one of its techniques"})
		}
	}
	for {
		j := d.dressed(p)
		so, err := setout.Divide(p.Survey, j, p.Catalog)
		if err != nil {
			d.missing("setting-out", "figures", err.Error(), "correct the figure that is named")
			d.missing("method", "figures", "there is no setting-out", "correct the figure that is named")
			d.noMeans("method")
			return false
		}
		m, err := method.Expand(p.Survey, so, j, p.Catalog)
		var wrong *method.Faulty
		switch {
		case err == nil:
			p.SetOut, p.Method = so, m
			p.Method.Warnings = slices.DeleteFunc(m.Warnings, d.ofStandIn)
			return true
		case errors.As(err, &wrong) && d.leaveOut(wrong.Problems, p.Survey):
			continue
		}
		p.SetOut = so
		d.missing("method", "figures", err.Error(), "correct what is named")
		d.noMeans("method")
		return false
	}
}

// dressed is the job with a stand-in for each faulty finish, so that the others keep
// their places, and takes the faces off the walls that were to get one.
func (d *draft) dressed(p *Plan) *job.Job {
	j := d.job
	j.Finishes = slices.Clone(j.Finishes)
	ids := map[string]bool{}
	for i := range j.Finishes {
		if !d.faulty[i] && j.Finishes[i].ID != "" {
			ids[j.Finishes[i].ID] = true
			continue
		}
		j.Finishes[i] = job.Finish{}
		for id := range p.Catalog.Techniques {
			j.Finishes[i].Technique = max(j.Finishes[i].Technique, id)
		}
	}
	for r := range p.Survey.Rooms {
		for w := range p.Survey.Rooms[r].Walls {
			wall := &p.Survey.Rooms[r].Walls[w]
			wall.Faces = slices.DeleteFunc(wall.Faces, func(f survey.Face) bool {
				if !ids[f.Finish] && !d.wrong("finishes") {
					d.add(job.Problem{Path: f.Path + ".finish", What: fmt.Sprintf("no finish is called %q", f.Finish), Do: "choose one of the finishes of the job"})
				}
				return !ids[f.Finish]
			})
		}
	}
	return &j
}

// ofStandIn reports a warning about a finish that is not the one of the job.
func (d *draft) ofStandIn(w job.Warning) bool {
	for i := range d.faulty {
		if within(w.Path, fmt.Sprintf("finishes[%d]", i)) {
			return true
		}
	}
	return false
}

// leaveOut notes what the method cannot follow and leaves the finishes and walls out
// that are named; false when that would change nothing.
func (d *draft) leaveOut(found []job.Problem, s *survey.Survey) (changed bool) {
	d.add(found...)
	for _, p := range found {
		for i := range d.job.Finishes {
			own := within(p.Path, fmt.Sprintf("finishes[%d]", i)) ||
				strings.HasPrefix(p.Path, "techniques/"+d.job.Finishes[i].Technique+"/")
			if own && !d.faulty[i] {
				d.faulty[i], changed = true, true
			}
		}
		for r := range s.Rooms {
			for w := range s.Rooms[r].Walls {
				if wall := &s.Rooms[r].Walls[w]; len(wall.Faces) > 0 && within(p.Path, wall.Path) {
					wall.Faces, changed = nil, true
				}
			}
		}
	}
	return changed
}

// noMeans says of the last stages that an earlier one is lacking.
func (d *draft) noMeans(lacking string) {
	for _, stage := range []string{"quantities", "programme", "air", "price"} {
		d.missing(stage, "", "there is no "+lacking, "see to the "+lacking+" first")
	}
}

// means runs what follows from the method: quantities, programme, air and quote.
func (d *draft) means(p *Plan) {
	if len(p.Method.Faces) == 0 {
		for _, stage := range []string{"programme", "air", "price"} {
			d.missing(stage, "rooms", "no wall that could be planned has a finish", "measure a wall and give it a finish")
		}
	}
	var err error
	if p.Quantities, err = quantity.Reckon(p.Survey, p.SetOut, p.Method, &d.job, p.Catalog); err != nil {
		d.missing("quantities", "figures", err.Error(), "correct the figure that is named")
	}
	if len(p.Method.Faces) == 0 {
		return
	}
	if d.timed(p) {
		if p.Programme, err = schedule.Plan(p.Survey, p.Method, &d.job, p.Catalog.Defaults, schedule.Quick); err != nil {
			d.missing("programme", "crew", strings.TrimPrefix(err.Error(), schedule.ErrCannot.Error()+": "), "correct what is named")
		}
	}
	d.air(p)
	switch {
	case p.Quantities == nil:
		d.missing("price", "", "there are no quantities", "see to the quantities first")
	case p.Programme == nil:
		d.missing("price", "crew", "there is no programme, and the price counts the days on site", "see to the programme first")
	case d.paid():
		if p.Quote, err = price.Make(p.Survey, p.Method, p.Quantities, p.Programme, &d.job, p.Catalog); err != nil {
			d.missing("price", "terms", strings.TrimPrefix(err.Error(), price.ErrTerms.Error()+": "), "correct what is named")
		}
	}
}

// air is what the programme and the quantities do to the air of the rooms.
func (d *draft) air(p *Plan) {
	var err error
	switch {
	case p.Quantities == nil:
		d.missing("air", "", "there are no quantities", "see to the quantities first")
	case p.Programme == nil:
		d.missing("air", "crew", "there is no programme, and what is laid when makes the air", "see to the programme first")
	default:
		if p.Air, err = vapour.Reckon(p.Survey, p.Method, p.Quantities, p.Programme, &d.job, p.Catalog); err != nil {
			d.missing("air", "figures", err.Error(), "correct the figure that is named")
		}
	}
}

// timed reports whether all that a programme rests on is there and sound.
func (d *draft) timed(p *Plan) bool {
	before := len(d.more)
	lack := func(given bool, path, what, do string) {
		if !given {
			d.missing("programme", path, what, do)
		}
	}
	crew := &d.job.Crew
	lack(len(crew.People) > 0, "crew.people", "nobody is named to do the work", "add the people of the crew")
	lack(crew.Start != "", "crew.start", "the first day on site is not known", "give the day")
	lack(len(crew.Hours) > 0, "crew.hours", "the working hours are not known", "give them, such as 08:00-12:00")
	temp, humidity := true, true
	for _, r := range p.Survey.Rooms {
		if slices.ContainsFunc(r.Walls, func(w survey.Wall) bool { return len(w.Faces) > 0 }) {
			temp, humidity = temp && r.Climate.Temp.Given(), humidity && r.Climate.Humidity.Given()
		}
	}
	lack(temp, "climate.temp", "the temperature of the rooms is not known", "give it; drying times depend on it")
	lack(humidity, "climate.humidity", "the humidity of the rooms is not known", "give it; drying times depend on it")
	if found := schedule.Contradictions(p.Method, &d.job); len(found) > 0 {
		d.add(found...)
		for _, c := range found {
			d.missing("programme", c.Path, c.What, c.Do)
		}
	}
	if len(d.more) > before {
		return false
	}
	return d.allow("programme", func(path string) bool {
		last := path[strings.LastIndex(path, ".")+1:]
		switch {
		case within(path, "crew"):
			return last != "rate" && !within(path, "crew.travel")
		case within(path, "kit"):
			return last != "cost"
		case within(path, "rooms"):
			return last == "surface" || last == "done" || last == "ended" || strings.Contains(path, "].climate") || strings.Contains(path, "].shut") || strings.HasSuffix(path, "].from")
		}
		return within(path, "climate") || within(path, "diary") || within(path, "agreed")
	})
}

// paid reports whether all that a price rests on is there and sound.
func (d *draft) paid() bool {
	before := len(d.more)
	if d.job.Terms.Rule == "" {
		d.missing("price", "terms.rule", "the rule the work is measured by is not known", "choose a measuring rule")
	}
	for i, p := range d.job.Crew.People {
		if !p.Rate.Given() && !d.job.Terms.Rate.Given() {
			d.missing("price", fmt.Sprintf("crew.people[%d].rate", i), "nobody says what an hour of "+p.Name+" costs", "give a rate, or terms.rate for everybody")
		}
	}
	if len(d.more) > before {
		return false
	}
	return d.allow("price", func(path string) bool {
		for _, field := range []string{"crew", "kit", "prices", "terms", "currency"} {
			if within(path, field) {
				return true
			}
		}
		return false
	})
}

// allow says for each known problem that bears on a stage that it stands in its way,
// and reports whether there is none.
func (d *draft) allow(stage string, bears func(path string) bool) bool {
	before := len(d.more)
	for _, p := range d.known {
		if bears(p.Path) {
			d.missing(stage, p.Path, p.What, p.Do)
		}
	}
	return len(d.more) == before
}

// alternatives plans the other ways of a job in which nothing is wrong.
func (d *draft) alternatives(p *Plan) {
	for i, a := range p.Job.Alternatives {
		other, found, err := run(swapped(p.Job, a.Swap), p.Catalog, schedule.Full)
		if err != nil {
			found = []job.Problem{{Path: fmt.Sprintf("alternatives[%d]", i), What: a.Name + " cannot be planned: " + err.Error(), Do: "correct what is named, or take the alternative out"}}
		}
		if d.add(found...); len(found) == 0 {
			p.Alternatives = append(p.Alternatives, Alternative{Name: a.Name, Plan: other})
		}
	}
}
