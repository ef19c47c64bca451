package schedule

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"scumble/job"
	"scumble/method"
	"scumble/schedule/place"
	"scumble/survey"
)

// noted is a face of the job with what its wall says is finished.
type noted struct {
	face, path, done string
	ended            job.Moment
}

func notedOn(j *job.Job) (list []noted) {
	for r := range j.Rooms {
		for k := range j.Rooms[r].Walls {
			w := &j.Rooms[r].Walls[k]
			face, path := j.Rooms[r].Name+"/"+w.Name, fmt.Sprintf("rooms[%d].walls[%d]", r, k)
			if w.Done != "" {
				list = append(list, noted{face, path, w.Done, w.Ended})
			}
			if w.Dado != nil && w.Dado.Done != "" {
				list = append(list, noted{face + ", dado", path + ".dado", w.Dado.Done, w.Dado.Ended})
			}
		}
	}
	return list
}

// upTo is the steps of a face up to one, by the id it has in its technique; nil where the
// face does not have it.
func upTo(steps []method.Step, rule string) []method.Step {
	at := slices.IndexFunc(steps, func(s method.Step) bool { return s.Rule == rule })
	return steps[:at+1]
}

// Contradictions finds what the diary and the walls say against each other. Both count: a
// wall for all steps up to its last finished one, the diary for the times of each.
func Contradictions(m *method.Method, j *job.Job) (found []job.Problem) {
	entries := map[string]int{}
	for i := range j.Diary {
		entries[j.Diary[i].Step] = i
	}
	faces := map[string]*method.Face{}
	for f := range m.Faces {
		faces[m.Faces[f].ID] = &m.Faces[f]
	}
	for _, w := range notedOn(j) {
		if faces[w.face] == nil {
			continue
		}
		steps := upTo(faces[w.face].Steps, w.done)
		for k := range max(0, len(steps)-1) { // the last one is compared when the job is checked
			i, written := entries[steps[k].ID]
			if !written {
				continue
			}
			switch e := &j.Diary[i]; {
			case e.Ended == "":
				found = append(found, job.Problem{Path: w.path + ".done", What: fmt.Sprintf("%s is finished here, and the diary has %s, which comes before it, still in work", w.done, e.Step),
					Do: "write in the diary when it ended, or name an earlier step here"})
			case w.ended != "" && e.Ended > w.ended:
				found = append(found, job.Problem{Path: fmt.Sprintf("diary[%d].ended", i), What: fmt.Sprintf("%s ended at %s here, after %s, which comes later, was finished at %s", e.Step, e.Ended, w.done, w.ended),
					Do: "correct one of the two times"})
			}
		}
	}
	return found
}

// facts marks what is done and what is in work, and from when the rest is planned. Steps that
// come before a fact are done too; where nobody noted when, they are taken to lie right
// before what followed.
func (n *network) facts(s *survey.Survey, m *method.Method, j *job.Job) {
	now := j.Crew.From
	if now == "" {
		now = j.LastNoted()
	}
	walls := notedOn(j)
	if now == "" {
		for _, w := range walls {
			n.warn = append(n.warn, job.Warning{Path: w.path, Name: w.face, What: fmt.Sprintf("%s is noted as done and nothing says when; the programme plans as if it were still to do.", w.done),
				Do: "Write when it ended, or planned-from of the crew: the day and hour from which the rest is planned."})
		}
		return
	}
	if n.Now = n.minute(now); n.Now/day >= century {
		n.fault("crew.planned-from: %s is a century after the start: correct the date", now)
		return
	}
	n.now = n.at(n.Now)
	n.diary(s, j)
	for f := range m.Faces {
		if i := slices.IndexFunc(walls, func(w noted) bool { return w.face == m.Faces[f].ID }); i >= 0 {
			n.finished(&m.Faces[f], walls[i])
		}
	}
	n.supposeBefore()
}

// minute is a moment in site minutes, not before the first day.
func (n *network) minute(m job.Moment) int { return max(0, int(m.Time().Sub(n.first).Minutes())) }

// diary takes over what was written down.
func (n *network) diary(s *survey.Survey, j *job.Job) {
	for i := range j.Diary {
		w := &j.Diary[i]
		step, ok := n.named(s, fmt.Sprintf("diary[%d]", i), w.Step, "entry")
		if !ok || n.Acts[step].Fact != nil {
			continue
		}
		f := &place.Fact{Begin: n.minute(w.Began)}
		for _, name := range w.By {
			if p := slices.IndexFunc(n.people, func(p job.Person) bool { return p.Name == name }); p >= 0 && !slices.Contains(f.People, p) {
				f.People = append(f.People, p)
			}
		}
		switch {
		case w.Ended != "":
			f.End = max(n.minute(w.Ended), f.Begin+1)
		case w.Left.Given():
			f.Left = minutesUp(w.Left.Value)
		default:
			f.Left = n.Acts[step].Work - n.worked(f.Begin, n.Now)
		}
		n.Acts[step].Fact = f
	}
	n.twoPlaces()
}

// worked is the minutes of working time between two site minutes.
func (n *network) worked(from, to int) (minutes int) {
	for d := from / day; d*day < to; d++ {
		if !n.opens(d) {
			continue
		}
		for _, s := range n.spans {
			minutes += max(0, min(to, d*day+s.To)-max(from, d*day+s.From))
		}
	}
	return minutes
}

// finished marks the last finished step of a wall, where the diary does not have it; those
// before it follow from it.
func (n *network) finished(f *method.Face, w noted) {
	steps := upTo(f.Steps, w.done)
	if len(steps) == 0 {
		var rules []string
		for k := range f.Steps {
			rules = append(rules, f.Steps[k].Rule)
		}
		n.warn = append(n.warn, job.Warning{Path: w.path, Name: w.face, What: fmt.Sprintf("done names the step %q, which this wall does not have; the programme plans as if nothing were done.", w.done),
			Do: fmt.Sprintf("Write one of %s.", strings.Join(rules, ", "))})
		return
	}
	i := n.byID[steps[len(steps)-1].ID]
	if n.Acts[i].Fact != nil {
		return
	}
	end := n.Now // nobody noted when: what it laid is counted from the last moment it can be
	if w.ended != "" {
		end = n.minute(w.ended)
	}
	n.suppose(i, end, w.ended == "")
}

// suppose puts a step that is done right before a site minute, in working time where there is
// any. late tells that its end is not known either.
func (n *network) suppose(i, end int, late bool) {
	a := &n.Acts[i]
	end = max(end, 1)
	if late {
		end = n.back(end, 0)
	}
	a.Fact = &place.Fact{Begin: min(n.back(end, a.Work), end-1), End: end}
	n.supposed[i] = true
}

// back is the site minute so many working minutes before another; with none, the end of the
// last working time. Before the first day there is none.
func (n *network) back(end, minutes int) int {
	for d := (end - 1) / day; d >= 0; d-- {
		if !n.opens(d) {
			continue
		}
		for k := len(n.spans) - 1; k >= 0; k-- {
			from, to := d*day+n.spans[k].From, min(end, d*day+n.spans[k].To)
			if from >= to {
				continue
			}
			if to-from >= minutes {
				return to - minutes
			}
			minutes -= to - from
		}
	}
	return max(0, end-minutes)
}

// supposeBefore lets everything be done that comes before a fact.
func (n *network) supposeBefore() {
	followed := make([]int, len(n.Acts)) // the first minute at which something that follows had begun
	for i := range followed {
		followed[i] = math.MaxInt
	}
	var told []int
	for _, i := range n.backwards() {
		if n.Acts[i].Fact == nil && followed[i] < math.MaxInt {
			n.suppose(i, followed[i], true)
		}
		f := n.Acts[i].Fact
		if f == nil {
			continue
		}
		if n.supposed[i] {
			told = append(told, i)
		}
		for _, l := range n.Acts[i].Before {
			followed[l.On] = min(followed[l.On], f.Begin)
		}
	}
	slices.Sort(told)
	n.tellSupposed(told)
}

// backwards is the activities, each before what it waits for.
func (n *network) backwards() (order []int) {
	seen := make([]bool, len(n.Acts))
	var visit func(i int)
	visit = func(i int) {
		if seen[i] {
			return
		}
		seen[i] = true
		for _, l := range n.Acts[i].Before {
			visit(l.On)
		}
		order = append(order, i)
	}
	for i := range n.Acts {
		visit(i)
	}
	slices.Reverse(order)
	return order
}

// tellSupposed says, once for each wall or room, which steps nobody noted the time of.
func (n *network) tellSupposed(told []int) {
	titles := map[string][]string{}
	var where []*planned
	for _, i := range told {
		p := &n.planned[i]
		key := p.step.Room + "\x00" + p.step.Face
		if titles[key] == nil {
			where = append(where, p)
		}
		titles[key] = append(titles[key], p.step.Rule)
	}
	for _, p := range where {
		w := job.Warning{Name: p.step.Room}
		if p.face != nil {
			w.Path, w.Name = p.face.Path, p.face.ID
		}
		w.What = fmt.Sprintf("When %s was done is not noted whole; the programme takes it to lie right before what followed, which may miss the true days.", strings.Join(titles[p.step.Room+"\x00"+p.step.Face], ", "))
		w.Do = "Write it into the diary, with the hours it was begun and ended."
		n.warn = append(n.warn, w)
	}
}

// twoPlaces warns of people the diary has in two places at once.
func (n *network) twoPlaces() {
	end := func(f *place.Fact) int {
		if f.End == 0 {
			return max(n.Now, f.Begin+1)
		}
		return f.End
	}
	for p := range n.people {
		var own []int
		for i := range n.Acts {
			if f := n.Acts[i].Fact; f != nil && slices.Contains(f.People, p) {
				own = append(own, i)
			}
		}
		slices.SortStableFunc(own, func(x, y int) int { return n.Acts[x].Fact.Begin - n.Acts[y].Fact.Begin })
		for k := 1; k < len(own); k++ {
			a, b := n.Acts[own[k-1]].Fact, n.Acts[own[k]].Fact
			if b.Begin >= end(a) {
				continue
			}
			step := &n.planned[own[k]]
			w := job.Warning{Name: step.step.Room, What: fmt.Sprintf("The diary has %s at %s and at %s on %s.", n.people[p].Name, n.inWords(own[k-1]), n.inWords(own[k]), n.at(b.Begin).Format("2 January, 15:04")),
				Do: "Correct the hours, or who did it."}
			if step.face != nil {
				w.Path, w.Name = step.face.Path, step.face.ID
			}
			n.warn = append(n.warn, w)
		}
	}
}

// agreed takes over the days that were promised.
func (n *network) agreed(s *survey.Survey, list []job.Agreed) {
	for i, a := range list {
		path := fmt.Sprintf("agreed[%d]", i)
		step, ok := n.named(s, path, a.Step, "day")
		if !ok {
			continue
		}
		number, within := n.dayNumber(a.Day, path+".day")
		if within { // an earlier day cannot be kept any more
			n.Acts[step].Agreed = 1 + number
		}
		n.promised[step] = n.first.Add(time.Duration(number) * 24 * time.Hour)
	}
}
