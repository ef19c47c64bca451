package schedule

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"scumble/catalog"
	"scumble/drying"
	"scumble/job"
	"scumble/method"
	"scumble/survey"
	"scumble/unit"
)

// ErrCannot is wrapped by every error of Plan: the job breaks a rule so that no
// programme exists. The words name the rule and what to do.
var ErrCannot = errors.New("no programme can be made")

const (
	grain    = 5     // minutes: work is rounded up to this
	longWait = 40000 // h: nothing in the trade waits for years
)

// activity is a step as the plan sees it. Times are minutes.
type activity struct {
	step     *method.Step
	face     *method.Face // nil for a step of a room
	room     int
	work     int
	unbroken bool
	long     bool // unbroken, and longer than any span
	needs    string
	kit      int // index into network.kits, -1 = none
	before   []link
	after    []link
	dry      unit.Range[unit.Hours] // until touch-dry
	touch    int                    // the same, cautious, for a glaze
	wet      []int                  // glazes on faces that meet this one in a corner
	hands    int                    // group that should have the same hands, -1 = none
	ready    drying.Window
}

// link is a wait between two activities: other is the one at the far end.
type link struct {
	other int
	lag   int // from end to start
	until int // from end to latest start, 0 = no limit
	dries bool
}

// kit is access equipment that the steps share.
type kit struct {
	kind  string
	count int
}

// team is a set of people who can do a step together, with the orders in which
// they can fill its roles.
type team struct {
	people []int
	orders [][]int
}

type network struct {
	cal     *calendar
	acts    []activity
	order   []int // topological
	people  []job.Person
	off     [][]bool // by person, by count of open day
	rooms   []string
	shut    [][]bool // by room, by count of open day
	kits    []kit
	teams   map[string][]team
	groups  int
	walls   map[string]place
	warn    []job.Warning
	faults  []string
	byID    map[string]int
	roomIdx map[string]int
}

// place is where a face is.
type place struct {
	room *survey.Room
	wall *survey.Wall
}

// build turns the steps of a method into activities with their links.
func build(s *survey.Survey, m *method.Method, j *job.Job, d *catalog.Defaults) (*network, error) {
	n := &network{people: j.Crew.People, teams: map[string][]team{}, walls: map[string]place{}, byID: map[string]int{}, roomIdx: map[string]int{}}
	n.cal, n.faults = newCalendar(&j.Crew)
	if len(n.people) == 0 {
		n.faults = append(n.faults, "crew.people: nobody is named: add at least one person")
	}
	for r := range s.Rooms {
		for w := range s.Rooms[r].Walls {
			for _, f := range s.Rooms[r].Walls[w].Faces {
				n.walls[f.ID] = place{&s.Rooms[r], &s.Rooms[r].Walls[w]}
			}
		}
	}
	if len(n.faults) == 0 {
		n.addSteps(m, j)
		n.absences(j)
	}
	if len(n.faults) == 0 {
		n.link(s, m, j, d)
		n.wetCorners(m)
		n.sort()
	}
	if len(n.faults) > 0 {
		return nil, fmt.Errorf("%w: %s", ErrCannot, strings.Join(n.faults, "; "))
	}
	return n, nil
}

func (n *network) addSteps(m *method.Method, j *job.Job) {
	groups, missing := map[string]int{}, map[string]bool{}
	add := func(st *method.Step, f *method.Face) {
		if _, twice := n.byID[st.ID]; twice {
			n.faults = append(n.faults, fmt.Sprintf("%s: two steps have this name: give rooms and walls names of their own", st.ID))
			return
		}
		if !(st.Work.Likely >= 0 && st.Work.Likely < 10000) {
			n.faults = append(n.faults, fmt.Sprintf("%s: %v h of work cannot be planned: check the wall and the pace", st.ID, float64(st.Work.Likely)))
			return
		}
		a := activity{step: st, face: f, room: n.roomIndex(st.Room), kit: n.kitFor(st, j, missing), hands: -1}
		a.work = max(grain, int(math.Ceil(float64(st.Work.Likely)*60/grain-1e-9))*grain)
		a.unbroken = st.Unbroken || st.WetEdge
		a.long = a.unbroken && a.work > n.cal.longest()
		a.needs = n.needsOf(st)
		if f != nil && f.Technique != nil && (st.Kind == method.Glaze || st.Kind == method.Relief) {
			key := st.Room + "\x00" + f.Technique.ID + "\x00" + st.Kind
			if _, known := groups[key]; !known {
				groups[key] = len(groups)
			}
			a.hands = groups[key]
		}
		n.byID[st.ID] = len(n.acts)
		n.acts = append(n.acts, a)
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
	n.groups = len(groups)
}

func (n *network) roomIndex(name string) int {
	if i, ok := n.roomIdx[name]; ok {
		return i
	}
	n.roomIdx[name] = len(n.rooms)
	n.rooms = append(n.rooms, name)
	return len(n.rooms) - 1
}

// needsOf is the skills a step takes, one letter a person: l lays, w works, p
// prepares. It makes sure that somebody has them.
func (n *network) needsOf(st *method.Step) string {
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
	if _, known := n.teams[needs]; !known && len(needs) <= 6 {
		n.teams[needs] = n.teamsFor(needs)
	}
	if len(n.teams[needs]) == 0 {
		n.faults = append(n.faults, fmt.Sprintf("%s: needs %s at once; the crew has %d: add people to crew.people or give them the skill",
			st.ID, needsWords(needs), len(n.people)))
	}
	return needs
}

func needsWords(needs string) string {
	var words []string
	for _, r := range needs {
		words = append(words, map[rune]string{'l': "one person who lays", 'w': "one who works the glaze", 'p': "one who prepares"}[r])
	}
	return strings.Join(words, " and ")
}

func has(p *job.Person, r byte) bool {
	skill := map[byte]string{'l': "lay", 'w': "work", 'p': "prepare"}[r]
	return len(p.Skills) == 0 || slices.Contains(p.Skills, skill)
}

// teamsFor lists every set of distinct people with the skills, and the orders
// in which each set can fill them.
func (n *network) teamsFor(needs string) []team {
	var teams []team
	at := map[string]int{}
	var fill func(chosen []int)
	fill = func(chosen []int) {
		if len(chosen) == len(needs) {
			set := slices.Sorted(slices.Values(chosen))
			key := fmt.Sprint(set)
			i, known := at[key]
			if !known {
				i = len(teams)
				at[key] = i
				teams = append(teams, team{people: set})
			}
			teams[i].orders = append(teams[i].orders, slices.Clone(chosen))
			return
		}
		for p := range n.people {
			if !slices.Contains(chosen, p) && has(&n.people[p], needs[len(chosen)]) {
				fill(append(chosen, p))
			}
		}
	}
	fill(nil)
	return teams
}

// kitFor finds the shared equipment a step stands on. Steps that nobody counted
// are as many as are wanted; a platform nobody listed is one, and is said.
func (n *network) kitFor(st *method.Step, j *job.Job, missing map[string]bool) int {
	kind := st.Stand
	if kind == "" || kind == "floor" {
		return -1
	}
	count := func(kind string) (c int) {
		for _, k := range j.Kit {
			if k.Kind == kind {
				c += k.Count
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
	for i := range n.kits {
		if n.kits[i].kind == kind {
			return i
		}
	}
	n.kits = append(n.kits, kit{kind, c})
	return len(n.kits) - 1
}

// absences marks the open days on which people are off and rooms are shut.
func (n *network) absences(j *job.Job) {
	mark := func(mask []bool, number int) []bool {
		n.cal.extend(number + 1)
		c := n.cal.next[number]
		if n.cal.dayOf(c) != number {
			return mask
		}
		for len(mask) <= c {
			mask = append(mask, false)
		}
		mask[c] = true
		return mask
	}
	n.off, n.shut = make([][]bool, len(n.people)), make([][]bool, len(n.rooms))
	for p := range n.people {
		for _, d := range n.people[p].Off {
			if number, ok := n.cal.dayNumber(d, fmt.Sprintf("crew.people[%d].off", p), &n.faults); ok {
				n.off[p] = mark(n.off[p], number)
			}
		}
	}
	for r := range j.Rooms {
		room := &j.Rooms[r]
		i, used := n.roomIdx[room.Name]
		if !used {
			continue
		}
		for _, d := range room.Closes {
			if number, ok := n.cal.dayNumber(d, fmt.Sprintf("rooms[%d].shut", r), &n.faults); ok {
				n.shut[i] = mark(n.shut[i], number)
			}
		}
		if room.From == "" {
			continue
		}
		number, ok := n.cal.dayNumber(room.From, fmt.Sprintf("rooms[%d].from", r), &n.faults)
		if !ok && number >= lastDay {
			n.faults = append(n.faults, fmt.Sprintf("rooms[%d].from: %s is a century after the start: correct the date", r, room.From))
		}
		if ok {
			for d := range number {
				n.shut[i] = mark(n.shut[i], d)
			}
		}
	}
}

// link joins each step to the one before it on its face, to what it must wait
// for, and to the protection before and the clearing after its room.
func (n *network) link(s *survey.Survey, m *method.Method, j *job.Job, d *catalog.Defaults) {
	air := newClimate(n, s, j, d)
	for i := range n.acts {
		air.hold(&n.acts[i])
		n.waits(i, air)
	}
	type ends struct{ first, last []int } // of the faces of a room
	rooms := make([]ends, len(n.rooms))
	for f := range m.Faces {
		steps := m.Faces[f].Steps
		for k := range steps {
			i := n.byID[steps[k].ID]
			if k > 0 {
				n.follow(n.byID[steps[k-1].ID], i)
			}
			r := &rooms[n.acts[i].room]
			if k == 0 {
				r.first = append(r.first, i)
			}
			if k == len(steps)-1 {
				r.last = append(r.last, i)
			}
		}
	}
	for r := range m.Rooms {
		protected := -1
		tail := false
		for k := range m.Rooms[r].Steps {
			i := n.byID[m.Rooms[r].Steps[k].ID]
			if k > 0 {
				n.follow(n.byID[m.Rooms[r].Steps[k-1].ID], i)
			}
			walls := rooms[n.acts[i].room]
			if m.Rooms[r].Steps[k].Kind == method.Protect {
				protected = i
			} else if !tail {
				tail = true
				for _, last := range walls.last {
					n.follow(last, i)
				}
			}
		}
		if protected >= 0 {
			for _, first := range rooms[n.acts[protected].room].first {
				n.follow(protected, first)
			}
		}
	}
}

// follow makes one activity come after another without a wait, unless a wait
// between the two says more already.
func (n *network) follow(first, then int) {
	for _, l := range n.acts[then].before {
		if l.other == first {
			return
		}
	}
	n.join(first, then, link{})
}

func (n *network) join(first, then int, l link) {
	l.other = first
	n.acts[then].before = append(n.acts[then].before, l)
	l.other = then
	n.acts[first].after = append(n.acts[first].after, l)
}

// waits adds the waits of one step, stretched by the air of its room. The plan
// waits for the slow end of a drying time, so that it never counts on luck.
func (n *network) waits(i int, air *climate) {
	a := &n.acts[i]
	for _, w := range a.step.Waits {
		on, known := n.byID[w.On]
		if !known || on == i {
			n.faults = append(n.faults, fmt.Sprintf("%s: waits for %q, which is no other step of the job: correct its technique in the catalog", a.step.ID, w.On))
			continue
		}
		if w.From.High > longWait || w.Until > longWait {
			n.faults = append(n.faults, fmt.Sprintf("%s: a wait of %v h cannot be planned: correct %s", a.step.ID, float64(w.From.High), w.Figure))
			continue
		}
		window, err := drying.Ready(drying.Coat{Base: w.Base, From: w.From, Until: w.Until}, air.of(&n.acts[on]))
		if err != nil {
			n.faults = append(n.faults, fmt.Sprintf("%s: %v", a.step.ID, err))
			continue
		}
		l := link{lag: minutesUp(window.From.High), until: int(float64(window.Until) * 60), dries: window.From.High > 0}
		n.join(on, i, l)
		r := &n.acts[on].ready
		r.From.Low, r.From.Likely, r.From.High = max(r.From.Low, window.From.Low), max(r.From.Likely, window.From.Likely), max(r.From.High, window.From.High)
		if window.Until > 0 && (r.Until == 0 || window.Until < r.Until) {
			r.Until = window.Until
		}
	}
}

func minutesUp(h unit.Hours) int { return int(math.Ceil(float64(h)*60 - 1e-6)) }

// wetCorners pairs the glazes of faces that meet in a corner. A glaze counts as
// wet until it is touch-dry; where its product states no such time, until the
// next coat could go on at the earliest.
func (n *network) wetCorners(m *method.Method) {
	glazes := map[string][]int{}
	for i := range n.acts {
		if a := &n.acts[i]; a.face != nil && a.step.Kind == method.Glaze {
			glazes[a.face.ID] = append(glazes[a.face.ID], i)
			if a.touch = minutesUp(a.dry.High); a.touch == 0 {
				a.touch = minutesUp(a.ready.From.Low)
			}
		}
	}
	for f := range m.Faces {
		face := &m.Faces[f]
		for _, next := range face.Adjoining {
			if next == face.ID {
				continue
			}
			for _, i := range glazes[face.ID] {
				for _, k := range glazes[next] {
					n.acts[i].wet = append(n.acts[i].wet, k)
					if !slices.Contains(n.acts[k].wet, i) {
						n.acts[k].wet = append(n.acts[k].wet, i)
					}
				}
			}
		}
	}
	for i := range n.acts {
		slices.Sort(n.acts[i].wet)
		n.acts[i].wet = slices.Compact(n.acts[i].wet)
	}
}

// sort puts the activities in an order in which each comes after what it waits for.
func (n *network) sort() {
	waiting := make([]int, len(n.acts))
	n.order = make([]int, 0, len(n.acts))
	for i := range n.acts {
		waiting[i] = len(n.acts[i].before)
		if waiting[i] == 0 {
			n.order = append(n.order, i)
		}
	}
	for k := 0; k < len(n.order); k++ {
		for _, l := range n.acts[n.order[k]].after {
			if waiting[l.other]--; waiting[l.other] == 0 {
				n.order = append(n.order, l.other)
			}
		}
	}
	if len(n.order) == len(n.acts) {
		return
	}
	for i, w := range waiting {
		if w > 0 {
			n.faults = append(n.faults, fmt.Sprintf("%s: waits in a circle for itself: correct the waits of its technique", n.acts[i].step.ID))
			return
		}
	}
}
