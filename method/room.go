package method

import (
	"slices"
	"strings"

	"scumble/catalog"
	"scumble/survey"
)

// ofRoom reports whether a step is done once for a whole room.
func ofRoom(rule *catalog.StepRule) bool {
	return rule.Over == "room" || rule.Kind == Protect || rule.Kind == Unmask
}

// turn is the place of a room step: before all faces below zero, after them above.
func turn(kind string) int {
	switch kind {
	case Protect:
		return -2
	case Unmask:
		return 1
	case Inspect:
		return 2
	}
	return -1
}

// roomSteps makes the steps done once for a room and ties the faces to them: the
// first step of every face waits on the last step before them, the first step
// after them waits on every face.
func (e *expander) roomSteps(r *survey.Room, works []*work) Room {
	room := Room{Name: r.Name}
	rules := e.roomRules(works)
	last := -1 // index of the step before
	tied := false
	for _, rule := range rules {
		step := e.newStep(rule, r.Name+"#"+rule.ID)
		step.Number, step.Room, step.Over = len(room.Steps)+1, r.Name, "room"
		e.measureRoom(rule, &step, r, works)
		if turn(rule.Kind) > 0 && !tied {
			tied = true
			if last >= 0 {
				startAfter(works, room.Steps[last].ID)
			}
			for _, w := range works {
				step.Waits = append(step.Waits, waitOnFace(w, rule)...)
			}
		} else if last >= 0 {
			step.Waits = append(step.Waits, dried(&room.Steps[last], recoat))
		}
		step.Cautions = e.cautions(rule, &step)
		room.Steps = append(room.Steps, step)
		last = len(room.Steps) - 1
	}
	if !tied && last >= 0 {
		startAfter(works, room.Steps[last].ID)
	}
	return room
}

// roomPreparation is the record whose steps are done in every room.
const roomPreparation = "room"

// roomRules lists the steps of a room once each, in order: those of every room,
// then any a coat system brings. Where two coat systems word one step in two ways
// both sentences stay.
func (e *expander) roomRules(works []*work) (rules []placedRule) {
	all := placed(e.catalog.Preparations[roomPreparation])
	for _, w := range works {
		all = append(all, w.rules...)
	}
	for _, rule := range all {
		if !ofRoom(rule.StepRule) {
			continue
		}
		at := slices.IndexFunc(rules, func(r placedRule) bool { return r.ID == rule.ID })
		switch {
		case at < 0:
			rules = append(rules, rule)
		case !strings.Contains(rules[at].Do, rule.Do):
			both := *rules[at].StepRule
			both.Do += " " + rule.Do
			rules[at].StepRule = &both
		}
	}
	slices.SortStableFunc(rules, func(a, b placedRule) int { return turn(a.Kind) - turn(b.Kind) })
	return rules
}

// startAfter makes the first step of every face wait on a step of the room.
func startAfter(works []*work, id string) {
	for _, w := range works {
		if len(w.Steps) > 0 {
			first := &w.Steps[0]
			first.Waits = append(first.Waits, Wait{On: id, Base: "none", Why: "the room is covered and masked first"})
		}
	}
}

// waitOnFace is how a step after the work waits on one face: on its last step, and
// on its last coat as the rule states, else until that is dry to the touch.
func waitOnFace(w *work, rule placedRule) (waits []Wait) {
	if len(w.Steps) == 0 {
		return nil
	}
	last := &w.Steps[len(w.Steps)-1]
	coat := last
	for i := range w.Steps {
		if w.Steps[i].Product != nil {
			coat = &w.Steps[i]
		}
	}
	for i := range rule.Wait {
		wr := &rule.Wait[i]
		if wr.After == "" && (wr.Glaze == "" || wr.Glaze == w.GlazeKind) {
			waits = append(waits, stated(wr, rule.path, coat))
		}
	}
	if len(waits) == 0 {
		waits = append(waits, dried(coat, touch))
	}
	if coat != last {
		waits = append(waits, dried(last, touch))
	}
	return waits
}

// measureRoom gives a room step its area (the covered floor, or all the painted
// walls for an inspection), the length of the edges to mask, and its time.
func (e *expander) measureRoom(rule placedRule, step *Step, r *survey.Room, works []*work) {
	highest, tall := 0, 0.0
	for _, w := range works {
		painted := w.survey.Painted()
		step.Length += w.survey.Edges.Total()
		step.Area += painted
		tall += tallShare(w.survey) * float64(painted)
		highest = max(highest, slices.Index(stands, stand(w.survey)))
	}
	if step.Area > 0 {
		tall /= float64(step.Area)
	}
	if rule.Kind == Protect || rule.Kind == Unmask {
		step.Area = r.FloorStrip
	}
	step.Stand = stands[highest]
	step.Work = e.effort(rule, step, tall)
}
