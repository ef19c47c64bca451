package job

import (
	"fmt"
	"slices"
)

// diary looks at what is written down as done: each entry by itself, against the others, and
// against what the walls say. Whether the steps exist is for the programme to say.
func (c *checker) diary() {
	j := c.file.Job
	lines := map[string]int{}
	var names []string
	for i := range j.Crew.People {
		names = append(names, j.Crew.People[i].Name)
	}
	for i := range j.Diary {
		w, path := &j.Diary[i], fmt.Sprintf("diary[%d]", i)
		if first, twice := lines[w.Step]; twice && w.Step != "" {
			c.add(path+".step", fmt.Sprintf("%s is written down before, in line %d", w.Step, first), "keep one entry, from the first hour of the step to its last")
		} else {
			lines[w.Step] = c.file.At(path + ".step").Line
		}
		if w.Ended != "" && w.Began != "" && w.Ended <= w.Began {
			c.add(path+".ended", fmt.Sprintf("%s is not after %s, when it was begun", w.Ended, w.Began), "check both times")
		}
		if w.Ended != "" && w.Left.Given() {
			c.add(path+".left", "the step has ended, so nothing of it is left to do", "keep one of ended and left")
		}
		c.onSite(path+".began", w.Began)
		for k, name := range w.By {
			at := fmt.Sprintf("%s.by[%d]", path, k)
			switch {
			case slices.Contains(w.By[:k], name):
				c.add(at, name+" is given twice", "keep one of them")
			case !slices.Contains(names, name) && c.file.whole("crew.people"):
				c.add(at, quoted(name)+" is nobody of the crew", instead(name, names))
			}
		}
	}
	for r := range j.Rooms {
		for k := range j.Rooms[r].Walls {
			w, path := &j.Rooms[r].Walls[k], fmt.Sprintf("rooms[%d].walls[%d]", r, k)
			face := j.Rooms[r].Name + "/" + w.Name
			c.bothSay(path, face, w.Done, w.Ended)
			if w.Dado != nil {
				c.bothSay(path+".dado", face+", dado", w.Dado.Done, w.Dado.Ended)
			}
		}
	}
	if last := j.LastNoted(); j.Crew.From != "" && j.Crew.From < last {
		c.add("crew.planned-from", fmt.Sprintf("%s is before %s, the latest time that is noted as done", j.Crew.From, last), "write a later time, or leave it out: the rest is then planned from the latest time noted")
	}
}

// onSite notes a time before anybody was on site.
func (c *checker) onSite(path string, at Moment) {
	if start := c.file.Job.Crew.Start; at != "" && start != "" && Date(at[:len(start)]) < start {
		c.add(path, fmt.Sprintf("%s is before the first day on site, %s", at, start), "correct the time, or set crew.start to the day the work began")
	}
}

// bothSay compares what a wall says of its last finished step with the diary.
func (c *checker) bothSay(path, face, done string, ended Moment) {
	c.onSite(path+".ended", ended)
	i := slices.IndexFunc(c.file.Job.Diary, func(w Worked) bool { return done != "" && w.Step == face+"#"+done })
	if i < 0 {
		return
	}
	w, line := &c.file.Job.Diary[i], c.file.At(fmt.Sprintf("diary[%d]", i)).Line
	switch {
	case w.Ended == "" && !c.file.missed(fmt.Sprintf("diary[%d].ended", i)):
		c.add(path+".done", fmt.Sprintf("%s is finished here, and in work in line %d of the diary", done, line), "write in the diary when it ended, or name the step before it here")
	case w.Ended != "" && ended != "" && w.Ended != ended:
		c.add(path+".ended", fmt.Sprintf("%s ended at %s here, and at %s in line %d of the diary", done, ended, w.Ended, line), "take ended out here, for the diary has it, or correct the diary")
	}
}

// agreed looks for days promised twice.
func (c *checker) agreed() {
	lines := map[string]int{}
	for i, a := range c.file.Job.Agreed {
		path := fmt.Sprintf("agreed[%d].step", i)
		if first, twice := lines[a.Step]; twice && a.Step != "" {
			c.add(path, fmt.Sprintf("%s is agreed before, in line %d", a.Step, first), "keep one of the days")
		} else {
			lines[a.Step] = c.file.At(path).Line
		}
	}
}

// LastNoted is the latest time that is noted of the work, in the diary or on a wall; "" when
// nothing is.
func (j *Job) LastNoted() (last Moment) {
	for i := range j.Diary {
		last = max(last, j.Diary[i].Began, j.Diary[i].Ended)
	}
	for r := range j.Rooms {
		for k := range j.Rooms[r].Walls {
			w := &j.Rooms[r].Walls[k]
			if last = max(last, w.Ended); w.Dado != nil {
				last = max(last, w.Dado.Ended)
			}
		}
	}
	return last
}
