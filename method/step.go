package method

import (
	"fmt"
	"strings"

	"scumble/catalog"
	"scumble/geom"
	"scumble/job"
	"scumble/survey"
	"scumble/unit"
)

// addStep turns one rule into the next step of a face.
func (e *expander) addStep(w *work, rule placedRule) {
	step := e.newStep(rule, w.ID+"#"+rule.ID)
	step.Number = len(w.Steps) + 1
	step.Face, step.Room = w.ID, w.Room
	step.Role = rule.Role
	if rule.Role != "" {
		step.Product = e.product(w, rule)
		step.Colour = colour(w.Finish, rule.Role)
		step.Let = e.letDown(w, rule, step.Product)
		if rule.Spread != nil {
			step.Spread, step.SpreadPath = rule.Spread, rule.path+".spread"
			step.Shared = w.Technique.Mixed
		}
	}
	if step.Colour.Name != "" && !strings.Contains(step.Title, step.Colour.Name) {
		step.Title += ", " + step.Colour.Name
	}
	e.vary(w, &step)
	step.Over = rule.Over
	if step.Over == "" {
		step.Over = "field"
	}
	e.measure(w, rule, &step)
	tall := tallShare(w.survey)
	step.Work = e.effort(rule, &step, tall)
	step.Stand = stand(w.survey)
	step.Waits = e.waits(w, rule)
	step.Cautions = e.cautions(rule, &step)
	w.Steps = append(w.Steps, step)
}

// newStep copies what a rule says without a wall.
func (e *expander) newStep(rule placedRule, id string) Step {
	step := Step{
		ID: id, Rule: rule.ID, Kind: rule.Kind, Title: rule.Title, Do: rule.Do,
		Edges: rule.Edges, Lays: rule.Lays, Works: rule.Works,
		Crew: rule.Crew, Skill: skill(rule.Kind),
		WetEdge: rule.WetEdge, Unbroken: rule.Unbroken || rule.WetEdge, Begin: rule.Begin, Hold: rule.Hold,
	}
	if rule.Rate != "" {
		if step.Rate = e.catalog.Rates[rule.Rate]; step.Rate == nil {
			e.problem(rule.path+".rate", fmt.Sprintf("the catalog has no output rate %q", rule.Rate), "use one of "+names(e.catalog.Rates))
		}
	}
	if step.Crew <= 0 {
		step.Crew = 1
		if step.Rate != nil && step.Rate.Crew > 0 {
			step.Crew = step.Rate.Crew
		}
	}
	if rule.Dwell != nil {
		step.Dwell = estimate[unit.Hours](*rule.Dwell).Times(1.0 / 60) // the catalog says minutes
	}
	step.Tools = e.goods(rule.path+".tools", rule.Tools)
	step.Goods = e.goods(rule.path+".goods", rule.Goods)
	return step
}

func (e *expander) goods(path string, ids []string) (list []*catalog.Good) {
	for _, id := range ids {
		good := e.catalog.Goods[id]
		if good == nil {
			e.problem(path, fmt.Sprintf("the catalog has no goods %q", id), "add a record for it or take it out")
			continue
		}
		list = append(list, good)
	}
	return list
}

// skill is what people must know: laying and working the effect, or preparing.
func skill(kind string) string {
	switch kind {
	case Glaze, Clear, Relief:
		return "lay"
	}
	return "prepare"
}

// vary adds the chosen variation to the step in which the effect is made.
func (e *expander) vary(w *work, step *Step) {
	if w.Finish.Variation == "" || step.Kind != Glaze {
		return
	}
	for _, v := range w.Technique.Variations {
		if v.ID == w.Finish.Variation {
			step.Title += ", " + strings.ToLower(v.Name)
			step.Do = strings.TrimSpace(step.Do + " " + v.Do)
		}
	}
}

// measure sets the area or the length a step goes over. Painted reveals take
// every coat of the field but not the second colour of the strips, which ends
// at the edge of an opening.
func (e *expander) measure(w *work, rule placedRule, step *Step) {
	switch step.Over {
	case "field":
		step.Area = w.survey.Painted()
	case "strips-a", "strips-b":
		if w.strips != nil {
			step.Area = w.strips.AreaB
			if step.Over == "strips-a" {
				step.Area = w.strips.AreaA
			}
		}
	case "joints":
		step.Length = jointLength(w)
	case "edges":
		step.Length = w.survey.Edges.Total()
	default:
		e.problem(rule.path+".over", fmt.Sprintf("a step cannot go over %q", step.Over),
			"use field, strips-a, strips-b, joints, edges or room")
	}
}

// jointLength is the length of all strip joints on the painted field.
func jointLength(w *work) (sum unit.Length) {
	if w.strips == nil {
		return 0
	}
	for _, mark := range w.strips.Marks {
		var joint geom.Segment
		joint.A, joint.B = mark.Joint(w.wall.Height)
		for _, piece := range joint.Within(w.survey.Field) {
			sum += unit.Length(piece.Length())
		}
	}
	return sum
}

// tallShare is the share of a face above reach from the floor.
func tallShare(face *survey.Face) float64 {
	var tall, all unit.Area
	for _, r := range face.Reach {
		all += r.Area
		if r.From != "floor" {
			tall += r.Area
		}
	}
	if all <= 0 {
		return 0
	}
	return float64(tall / all)
}

// effort is the time a step takes its crew: area (or length) over pace, longer
// above reach from the floor, and setting up once.
//
//	hours = amount x (1 - tall share + tall share x tall factor) / pace + set-up
//
// A rate is for its own crew; more or fewer people change the pace in proportion.
// The low hours come from the high pace.
func (e *expander) effort(rule placedRule, step *Step, tall float64) unit.Range[unit.Hours] {
	if step.Rate == nil {
		return unit.Range[unit.Hours]{}
	}
	amount, scale := float64(step.Area), 1.0
	if step.Rate.Pace.Unit == "m/h" {
		amount = step.Length.Metres()
	}
	if step.Rate.Crew > 0 {
		scale = float64(step.Crew) / float64(step.Rate.Crew)
	}
	pace, factor := estimate[unit.Pace](step.Rate.Pace), estimate[float64](step.Rate.Tall)
	if pace.Low <= 0 || pace.Likely <= 0 || pace.High <= 0 {
		e.problem(rule.path+".rate", "the pace must be above zero", "correct the output rate")
		return unit.Range[unit.Hours]{}
	}
	if amount <= 0 {
		return unit.Range[unit.Hours]{}
	}
	hours := func(pace unit.Pace, factor float64) unit.Hours {
		return unit.Hours(amount * (1 - tall + tall*factor) / (float64(pace) * scale))
	}
	return unit.Range[unit.Hours]{
		Low:    hours(pace.High, factor.Low),
		Likely: hours(pace.Likely, factor.Likely),
		High:   hours(pace.Low, factor.High),
	}.Plus(estimate[unit.Hours](step.Rate.SetUp))
}

// stands from the floor up.
var stands = []string{"floor", "steps", "platform", "scaffold"}

// stand is the highest thing somebody has to stand on to reach the whole face.
func stand(face *survey.Face) string {
	highest := 0
	for _, r := range face.Reach {
		for i, name := range stands {
			if r.From == name && r.Area > 0 {
				highest = max(highest, i)
			}
		}
	}
	return stands[highest]
}

// estimate reads a catalog figure as a range in the unit of its field.
func estimate[T ~float64](f catalog.Figure) unit.Range[T] {
	return unit.Range[T]{Low: T(f.Low), Likely: T(f.Likely), High: T(f.High)}
}

// colour is the colour a role is laid in; products that are not tinted have none.
func colour(f *job.Finish, role catalog.Role) job.Colour {
	switch role {
	case catalog.RoleGround:
		return f.Ground
	case catalog.RoleGroundB:
		return f.GroundB
	case catalog.RoleGlaze:
		return f.Glaze
	case catalog.RoleGlazeB:
		if f.GlazeB.Name == "" {
			return f.Glaze // one glaze laid twice
		}
		return f.GlazeB
	}
	return job.Colour{}
}
