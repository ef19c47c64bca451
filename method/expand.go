package method

import (
	"fmt"
	"strings"

	"scumble/catalog"
	"scumble/job"
	"scumble/setout"
	"scumble/survey"
)

// Faulty is the error of Expand: the job or the catalog names something that is
// not there. Paths are job fields (finishes[0].technique) or catalog paths
// (techniques/dragging/steps.glaze-1.rate).
type Faulty struct{ Problems []job.Problem }

func (f *Faulty) Error() string {
	lines := make([]string, len(f.Problems))
	for i, p := range f.Problems {
		lines[i] = p.Path + ": " + p.What + "; " + p.Do
	}
	return strings.Join(lines, "\n")
}

// Expand turns every face with a finish into the ordered steps of its coat system.
// The error is a *Faulty that lists everything that stands in the way.
func Expand(s *survey.Survey, so *setout.SetOut, j *job.Job, c *catalog.Catalog) (*Method, error) {
	e := &expander{
		job: j, catalog: c,
		finishes: map[string]int{},
		strips:   map[string]*setout.Strips{},
		told:     map[string]bool{},
		method:   &Method{},
	}
	for i := range j.Finishes {
		e.finishes[j.Finishes[i].ID] = i
		e.checkFinish(i)
	}
	e.indexStrips(so)
	meets := corners(s)
	for r := range s.Rooms {
		e.room(&s.Rooms[r], meets)
	}
	if len(e.problems) > 0 {
		return nil, &Faulty{e.problems}
	}
	return e.method, nil
}

// expander holds what the faces of one job share while they are expanded.
type expander struct {
	job      *job.Job
	catalog  *catalog.Catalog
	finishes map[string]int // finish id -> index in the job
	strips   map[string]*setout.Strips
	told     map[string]bool // warnings and problems already given
	problems []job.Problem
	method   *Method
}

// problem notes once that the job or catalog cannot be followed.
func (e *expander) problem(path, what, do string) {
	if key := path + "|" + what; !e.told[key] {
		e.told[key] = true
		e.problems = append(e.problems, job.Problem{Path: path, What: what, Do: do})
	}
}

// warn notes something once.
func (e *expander) warn(path, name, what, do string) {
	if key := path + "|" + what; !e.told[key] {
		e.told[key] = true
		e.method.Warnings = append(e.method.Warnings, job.Warning{Path: path, Name: name, What: what, Do: do})
	}
}

// indexStrips finds the strips chosen for each face.
func (e *expander) indexStrips(so *setout.SetOut) {
	for g := range so.Groups {
		group := &so.Groups[g]
		if group.Chosen < 0 || group.Chosen >= len(group.Options) {
			continue
		}
		chosen := &group.Options[group.Chosen]
		for f := range chosen.Faces {
			e.strips[chosen.Faces[f].Face] = &chosen.Faces[f]
		}
	}
}

// corners lists for each face the faces that meet it in a corner of its room.
// The two faces of one wall at a dado do not count: a rail lies between them.
func corners(s *survey.Survey) map[string][]string {
	meets := map[string][]string{}
	for r := range s.Rooms {
		walls := map[string]*survey.Wall{}
		for w := range s.Rooms[r].Walls {
			walls[s.Rooms[r].Walls[w].ID] = &s.Rooms[r].Walls[w]
		}
		for w := range s.Rooms[r].Walls {
			wall := &s.Rooms[r].Walls[w]
			beside := []string{wall.Previous, wall.Next}
			if wall.Previous == wall.Next {
				beside = beside[:1]
			}
			for f := range wall.Faces {
				face := &wall.Faces[f]
				for _, id := range beside {
					if other := walls[id]; other != nil && other != wall {
						meets[face.ID] = append(meets[face.ID], level(face, other)...)
					}
				}
			}
		}
	}
	return meets
}

// level lists the faces of a wall that share some height with a face.
func level(face *survey.Face, wall *survey.Wall) (ids []string) {
	here := face.Gross.Bounds()
	for f := range wall.Faces {
		there := wall.Faces[f].Gross.Bounds()
		if here.Min.Y < there.Max.Y && there.Min.Y < here.Max.Y {
			ids = append(ids, wall.Faces[f].ID)
		}
	}
	return ids
}

// work is one face on its way to becoming steps.
type work struct {
	*Face
	survey     *survey.Face
	wall       *survey.Wall
	strips     *setout.Strips
	finishPath string
	rules      []placedRule
}

// placedRule is a step rule with the catalog path it stands at.
type placedRule struct {
	*catalog.StepRule
	path string // preparations/standard/steps.fill-1
}

// room expands the faces of one room and the steps that belong to the whole room.
func (e *expander) room(r *survey.Room, meets map[string][]string) {
	var works []*work
	for w := range r.Walls {
		for f := range r.Walls[w].Faces {
			if one := e.face(r, &r.Walls[w], &r.Walls[w].Faces[f], meets); one != nil {
				works = append(works, one)
			}
		}
	}
	if len(works) == 0 {
		return
	}
	for _, w := range works {
		for _, rule := range w.rules {
			if !ofRoom(rule.StepRule) && e.wanted(rule, w) {
				e.addStep(w, rule)
			}
		}
	}
	room := e.roomSteps(r, works)
	for _, w := range works {
		e.method.Faces = append(e.method.Faces, *w.Face)
	}
	if len(room.Steps) > 0 {
		e.method.Rooms = append(e.method.Rooms, room)
	}
	e.warnSolvent(r, works)
}

// face settles finish, technique and substrate; nil when there is nothing to do.
func (e *expander) face(r *survey.Room, wall *survey.Wall, face *survey.Face, meets map[string][]string) *work {
	if face.Finish == "" {
		return nil
	}
	at, ok := e.finishes[face.Finish]
	if !ok {
		e.problem(face.Path+".finish", fmt.Sprintf("no finish is called %q", face.Finish), "name one of the finishes of the job")
		return nil
	}
	finish := &e.job.Finishes[at]
	technique := e.catalog.Techniques[finish.Technique]
	if technique == nil {
		return nil // told by checkFinish
	}
	w := &work{
		Face: &Face{
			ID: face.ID, Room: r.Name, Wall: wall.Name, Path: face.Path,
			Finish: finish, Technique: technique, Substrate: e.catalog.Substrates[wall.Substrate],
			Adjoining: meets[face.ID],
		},
		survey: face, wall: wall, strips: e.strips[face.ID],
		finishPath: fmt.Sprintf("finishes[%d]", at),
	}
	if glaze := e.catalog.Products[glazeID(finish, technique)]; glaze != nil {
		w.GlazeKind = glaze.Family
	}
	if w.Substrate == nil && wall.Substrate != "" {
		e.problem(wall.Path+".substrate", fmt.Sprintf("the catalog has no substrate %q", wall.Substrate),
			"use one of "+names(e.catalog.Substrates))
	}
	if technique.Strips && w.strips == nil {
		e.warn(face.Path, face.ID, "the wall has no strips set out, so the second colour has no area and no joints are marked",
			"widen the wanted band of strip widths or choose another finish")
	}
	w.rules = e.rules(technique)
	return w
}

// rules lists preparation and technique as one coat system.
func (e *expander) rules(t *catalog.Technique) []placedRule {
	prepare := e.catalog.Preparations[t.Prepare]
	if prepare == nil && t.Prepare != "" {
		e.problem("techniques/"+t.ID+"/prepare", fmt.Sprintf("the catalog has no preparation %q", t.Prepare),
			"use one of "+names(e.catalog.Preparations))
	}
	rules := placed(prepare)
	for i := range t.Steps {
		rules = append(rules, placedRule{&t.Steps[i], "techniques/" + t.ID + "/steps." + t.Steps[i].ID})
	}
	seen := map[string]bool{}
	for _, rule := range rules {
		if seen[rule.ID] {
			e.problem(rule.path, "the coat system already has a step of this id", "give the step another id")
		}
		seen[rule.ID] = true
	}
	return rules
}

// placed lists the steps of a preparation with their catalog paths.
func placed(p *catalog.Preparation) (rules []placedRule) {
	if p == nil {
		return nil
	}
	for i := range p.Steps {
		rules = append(rules, placedRule{&p.Steps[i], "preparations/" + p.ID + "/steps." + p.Steps[i].ID})
	}
	return rules
}

// wanted reports whether an optional step is done on this face.
func (e *expander) wanted(rule placedRule, w *work) bool {
	switch rule.Optional {
	case "":
		return true
	case "clear":
		return w.Finish.Clear != ""
	case "mask":
		return w.survey.Edges.Total() > 0
	}
	e.problem(rule.path+".optional", fmt.Sprintf("the condition %q is not known", rule.Optional), `use "clear", "mask" or nothing`)
	return false
}
