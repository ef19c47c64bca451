package schedule

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"scumble/catalog"
	"scumble/drying"
	"scumble/job"
	"scumble/method"
	"scumble/schedule/place"
	"scumble/survey"
	"scumble/unit"
)

// ErrCannot is wrapped by every error of Plan: the job breaks a rule so that no
// programme exists. The words name the rule and what to do.
var ErrCannot = errors.New("no programme can be made")

const (
	grain    = 5     // minutes: work is rounded up to this
	longWork = 10000 // h: nothing in the trade takes so long
	longWait = 40000 // h: nor waits so long
)

// planned is a step beside its activity in the solver.
type planned struct {
	step   *method.Step
	face   *method.Face // nil for a step of a room
	leaves []*leave     // what waits for it
	spot   *spot        // where it dries
	touch  *leave       // until touch-dry; nil where no such time is known
}

// network is the job as the solver sees it, with what the words need beside it.
type network struct {
	place.Problem
	planned []planned // by activity
	first   time.Time // midnight of day 0
	spans   []place.Span
	air     *climate
	people  []job.Person
	rooms   []string
	kits    []string // kinds, beside Problem.Kits
	walls   map[string]location
	byID    map[string]int
	roomAt  map[string]int
	warn    []job.Warning
	faults  []string

	now      time.Time         // from which is planned; zero = from the first day
	supposed map[int]bool      // facts nobody noted the time of
	promised map[int]time.Time // days that were agreed
	opens    func(number int) bool
}

// location is where a face is.
type location struct {
	room *survey.Room
	wall *survey.Wall
}

func (n *network) fault(format string, args ...any) {
	n.faults = append(n.faults, fmt.Sprintf(format, args...))
}

func (n *network) err() error {
	if len(n.faults) == 0 {
		return nil
	}
	return fmt.Errorf("%w: %s", ErrCannot, strings.Join(n.faults, "; "))
}

// build turns the steps of a method into activities with their waits.
func build(s *survey.Survey, m *method.Method, j *job.Job, d *catalog.Defaults) (*network, error) {
	n := &network{people: j.Crew.People, walls: map[string]location{}, byID: map[string]int{}, roomAt: map[string]int{}, supposed: map[int]bool{}, promised: map[int]time.Time{}}
	n.hours(&j.Crew)
	if len(n.people) == 0 {
		n.fault("crew.people: nobody is named: add at least one person")
	}
	for i := range n.people {
		n.People = append(n.People, place.Person{Skills: letters(n.people[i].Skills)})
	}
	for r := range s.Rooms {
		for w := range s.Rooms[r].Walls {
			for _, f := range s.Rooms[r].Walls[w].Faces {
				n.walls[f.ID] = location{&s.Rooms[r], &s.Rooms[r].Walls[w]}
			}
		}
	}
	if len(n.faults) == 0 {
		n.addSteps(m, j)
		n.absences(j)
	}
	if len(n.faults) == 0 {
		n.link(s, m, j, d)
		n.wetWalls(m)
		n.facts(s, m, j)
		n.agreed(s, j.Agreed)
		n.pins(s, j.Crew.Pins)
	}
	return n, n.err()
}

// The skills as the solver knows them.
const everySkill = "lwp"

func letters(skills []string) string {
	if len(skills) == 0 {
		return everySkill
	}
	words := map[string]string{"lay": "l", "work": "w", "prepare": "p"}
	found := ""
	for _, s := range skills {
		found += words[s]
	}
	return found
}

func (n *network) addSteps(m *method.Method, j *job.Job) {
	groups, missing := map[string]int{}, map[string]bool{}
	add := func(st *method.Step, f *method.Face) {
		if _, twice := n.byID[st.ID]; twice {
			n.fault("%s: two steps have this name: give rooms and walls names of their own", st.ID)
			return
		}
		if !(st.Work.Likely >= 0 && st.Work.Likely < longWork) {
			n.fault("%s: %v h of work cannot be planned: check the wall and the pace", st.ID, float64(st.Work.Likely))
			return
		}
		a := place.Activity{
			Room: n.room(st.Room), Kit: n.kit(st, j, missing), Hands: -1,
			Work:     max(grain, int(math.Ceil(float64(st.Work.Likely)*60/grain-1e-9))*grain),
			Unbroken: st.Unbroken || st.WetEdge,
			Needs:    n.needs(st),
		}
		if f != nil && f.Technique != nil && (st.Kind == method.Glaze || st.Kind == method.Relief) {
			key := st.Room + "\x00" + f.Technique.ID + "\x00" + a.Needs
			if _, known := groups[key]; !known {
				groups[key] = len(groups)
			}
			a.Hands = groups[key]
		}
		n.byID[st.ID] = len(n.Acts)
		n.Acts = append(n.Acts, a)
		n.planned = append(n.planned, planned{step: st, face: f})
	}
	for r := range m.Rooms {
		for i := range m.Rooms[r].Steps {
			add(&m.Rooms[r].Steps[i], nil)
		}
	}
	for f := range m.Faces {
		for i := range m.Faces[f].Steps {
			add(&m.Faces[f].Steps[i], &m.Faces[f])
		}
	}
	n.Groups = len(groups)
}

func (n *network) room(name string) int {
	if i, ok := n.roomAt[name]; ok {
		return i
	}
	n.roomAt[name] = len(n.rooms)
	n.rooms = append(n.rooms, name)
	return len(n.rooms) - 1
}

// needs is the skills a step takes, one letter a person. It makes sure that
// somebody has them.
func (n *network) needs(st *method.Step) string {
	needs := "p"
	switch {
	case st.Crew > 1 && st.Skill == "prepare":
		needs = strings.Repeat("p", st.Crew)
	case st.Crew > 1:
		needs = "lw" + strings.Repeat("p", st.Crew-2)
	case st.Skill == "lay":
		needs = "l"
	case st.Skill == "work":
		needs = "w"
	}
	if !n.Able(needs) {
		var words []string
		for _, r := range needs {
			words = append(words, map[rune]string{'l': "one person who lays", 'w': "one who works the glaze", 'p': "one who prepares"}[r])
		}
		n.fault("%s: needs %s at once; the crew has %d: add people to crew.people or give them the skill",
			st.ID, strings.Join(words, " and "), len(n.people))
	}
	return needs
}

// kit finds the shared equipment a step stands on. Steps that nobody counted are
// as many as are wanted; a platform nobody listed is one, and is said.
func (n *network) kit(st *method.Step, j *job.Job, missing map[string]bool) int {
	kind := st.Stand
	if kind == "" || kind == "floor" {
		return -1
	}
	count := func(kind string) (c int) {
		for _, k := range j.Kit {
			if k.Kind == kind {
				c += max(0, k.Count)
			}
		}
		return c
	}
	c := count(kind)
	if c == 0 && kind == "platform" && count("scaffold") > 0 {
		kind, c = "scaffold", count("scaffold")
	}
	if c == 0 && kind == "steps" {
		return -1
	}
	if c == 0 {
		if !missing[kind] {
			missing[kind] = true
			n.warn = append(n.warn, job.Warning{Path: "kit", Name: st.Room,
				What: fmt.Sprintf("%s needs a %s and the job lists none; the programme counts on one.", st.ID, kind),
				Do:   fmt.Sprintf("Hire a %s and add it under kit, with its cost.", kind)})
		}
		c = 1
	}
	if i := slices.Index(n.kits, kind); i >= 0 {
		return i
	}
	n.kits, n.Kits = append(n.kits, kind), append(n.Kits, c)
	return len(n.kits) - 1
}

// link joins each step to the one before it on its face, to what it must wait
// for, and to the protection before and the clearing after its room.
func (n *network) link(s *survey.Survey, m *method.Method, j *job.Job, d *catalog.Defaults) {
	n.air = newClimate(n, s, j, d)
	for i := range n.Acts {
		n.air.hold(&n.planned[i])
		n.waits(i)
	}
	type ends struct{ first, last []int } // of the faces of a room
	rooms := make([]ends, len(n.rooms))
	for f := range m.Faces {
		steps := m.Faces[f].Steps
		n.chain(steps)
		if len(steps) > 0 {
			first, last := n.byID[steps[0].ID], n.byID[steps[len(steps)-1].ID]
			r := &rooms[n.Acts[first].Room]
			r.first, r.last = append(r.first, first), append(r.last, last)
		}
	}
	for r := range m.Rooms {
		steps := m.Rooms[r].Steps
		n.chain(steps)
		for k := range steps {
			i := n.byID[steps[k].ID]
			walls := rooms[n.Acts[i].Room]
			switch {
			case steps[k].Kind == method.Protect:
				for _, first := range walls.first {
					n.follow(i, first)
				}
			case k == 0 || steps[k-1].Kind == method.Protect:
				for _, last := range walls.last {
					n.follow(last, i)
				}
			}
		}
	}
}

// chain makes steps come one after the other.
func (n *network) chain(steps []method.Step) {
	for k := 1; k < len(steps); k++ {
		n.follow(n.byID[steps[k-1].ID], n.byID[steps[k].ID])
	}
}

// follow makes one activity come after another without a wait, unless a wait
// between the two says more already.
func (n *network) follow(first, then int) {
	for _, l := range n.Acts[then].Before {
		if l.On == first {
			return
		}
	}
	n.Acts[then].Before = append(n.Acts[then].Before, place.Link{On: first})
}

// waits adds the waits of one step, stretched by the air of its room. The plan
// waits for the slow end of a drying time, so that it never counts on luck.
func (n *network) waits(i int) {
	st := n.planned[i].step
	for _, w := range st.Waits {
		on, known := n.byID[w.On]
		if !known || on == i {
			n.fault("%s: waits for %q, which is no other step of the job: correct its technique in the catalog", st.ID, w.On)
			continue
		}
		if w.From.High > longWait || w.Until > longWait {
			n.fault("%s: a wait of %v h cannot be planned: correct %s", st.ID, float64(w.From.High), w.Figure)
			continue
		}
		p := &n.planned[on]
		spot := n.air.of(p)
		coat := drying.Coat{Base: w.Base, From: w.From, Until: w.Until, By: spot.by}
		if p.step.Product != nil {
			coat.Closes = unit.Hours(p.step.Product.Drying.Touch.Likely)
		}
		l, err := spot.leave(coat)
		if err != nil {
			n.fault("%s: %v", st.ID, err)
			continue
		}
		n.Acts[i].Before = append(n.Acts[i].Before, place.Link{On: on, Lag: l.lag, Until: l.until, Times: l.at, Daily: l.daily})
		p.leaves = append(p.leaves, l)
	}
}

func minutesUp(h unit.Hours) int { return int(math.Ceil(float64(h)*60 - 1e-6)) }

// wetWalls keeps apart what may not meet while it is wet: the glazes of faces that meet in a corner, and
// sanding and the coats of the same room that are not sanded any more, in which its dust would stay
// (common practice, no source). A coat counts as wet until it is touch-dry; where its product states no
// such time, until the next coat could go on at the earliest.
func (n *network) wetWalls(m *method.Method) {
	glazes, sanding, seen := map[string][]int{}, map[string][]int{}, map[string][]int{} // by face, and by room
	for f := range m.Faces {
		face := &m.Faces[f]
		last := -1
		for k := range face.Steps {
			if face.Steps[k].Kind == method.Sand {
				last = k
				sanding[face.Room] = append(sanding[face.Room], n.byID[face.Steps[k].ID])
			}
		}
		for k := range face.Steps {
			i := n.byID[face.Steps[k].ID]
			switch kind := face.Steps[k].Kind; {
			case kind == method.Glaze:
				glazes[face.ID] = append(glazes[face.ID], i)
			case kind != method.Ground && kind != method.Clear && kind != method.Relief:
				continue
			}
			n.Acts[i].Touch = n.air.wet(&n.planned[i])
			if k > last {
				seen[face.Room] = append(seen[face.Room], i)
			}
		}
	}
	apart := func(list, others []int) {
		for _, i := range list {
			for _, k := range others {
				if i != k {
					n.Acts[i].Wet, n.Acts[k].Wet = append(n.Acts[i].Wet, k), append(n.Acts[k].Wet, i)
				}
			}
		}
	}
	for f := range m.Faces {
		for _, next := range m.Faces[f].Adjoining {
			if next != m.Faces[f].ID {
				apart(glazes[m.Faces[f].ID], glazes[next])
			}
		}
	}
	for room, list := range sanding {
		for _, i := range list {
			for _, k := range seen[room] {
				if n.planned[i].face != n.planned[k].face { // on one face they follow each other
					apart([]int{i}, []int{k})
				}
			}
		}
	}
	for i := range n.Acts {
		slices.Sort(n.Acts[i].Wet)
		n.Acts[i].Wet = slices.Compact(n.Acts[i].Wet)
	}
}
