package programme

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"scumble/job"
	"scumble/method"
	"scumble/quantity"
	"scumble/sheets/desk"
	"scumble/unit"
)

// bucketsOf are the mixes a person opens on a day, each once with what is laid of it in all. Who
// only works what another lays opens none.
func bucketsOf(d *desk.Desk, list []entry) string {
	laid := map[*quantity.Mix]unit.Volume{}
	var order []*quantity.Mix
	for _, e := range list {
		mix, use := d.MixOf(e.step.ID)
		if mix == nil || e.role == "works" {
			continue
		}
		if !slices.Contains(order, mix) {
			order = append(order, mix)
		}
		laid[mix] += use.Laid.Likely
	}
	var words []string
	for _, mix := range order {
		name, _, _ := strings.Cut(mix.Product.Name, ",")
		if mix.Colour.Name != "" {
			name = mix.Colour.Name
		}
		amount, measure := mix.AsBought(unit.Range[unit.Volume]{Likely: laid[mix]})
		words = append(words, fmt.Sprintf("%s %s, about %s\u00a0%s", mix.ID, desk.Lowered(name), unit.Figure(amount.Likely, 2), measure))
	}
	return strings.Join(words, "; ")
}

// airOf says with which air the waits of the day's rooms were counted: that of the job, and the
// rooms that have their own.
func airOf(d *desk.Desk, list []entry) string {
	words := func(c job.Climate) string {
		if len(c.Log) > 0 {
			return "as logged"
		}
		air := fmt.Sprintf("%s and %s", c.Temp.Value, c.Humidity.Value)
		if c.Night.Given() {
			air += fmt.Sprintf(", %s at night", c.Night.Value)
		}
		return air
	}
	rooms := map[string][]string{}
	var order []string
	for _, e := range list {
		r := d.SurveyRoom(e.step.Room)
		if r == nil {
			continue
		}
		air := words(r.Climate)
		if rooms[air] == nil {
			order = append(order, air)
		}
		if !slices.Contains(rooms[air], e.step.Room) {
			rooms[air] = append(rooms[air], e.step.Room)
		}
	}
	var said []string
	for _, air := range order {
		if air == words(d.Plan.Job.Climate) {
			said = slices.Insert(said, 0, air)
			continue
		}
		said = append(said, strings.Join(rooms[air], ", ")+" "+air)
	}
	return strings.Join(said, "; ")
}

// wetBeside are the other walls of a room whose last coat may still be wet when work begins
// there: nothing leans on them and no dust comes near.
func wetBeside(d *desk.Desk, s *method.Step, from time.Time) []string {
	var names []string
	for i := range d.Plan.Programme.Tasks {
		t := &d.Plan.Programme.Tasks[i]
		if t.Room != s.Room || t.Face == "" || t.Face == s.Face || t.Ready.Latest.IsZero() || t.End.After(from) || !t.Ready.Latest.After(from) {
			continue
		}
		if name := desk.WallName(t.Face); !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names
}

// firstHours is how long after the first hour of a day something that must be so before a step
// had better be made so the evening before (own default): a sponge soaks for two.
const firstHours = 2 * time.Hour

// forTomorrow are the things that must be so early on the next day of a person, and would come
// too late if they were thought of then.
func forTomorrow(d *desk.Desk, number int, name string) []string {
	steps, tasks := d.AllSteps(), d.Tasks()
	for _, day := range d.Plan.Programme.Days[number+1:] {
		for _, p := range day.People {
			if p.Name != name || len(p.Turns) == 0 {
				continue
			}
			var lines []string
			for _, turn := range p.Turns {
				s := steps[turn.Step]
				if s.Kind == method.Glaze && s.Begin != "" && turn.From.Sub(p.Turns[0].From) < firstHours && tasks[turn.Step].Start.Equal(turn.From) {
					lines = append(lines, fmt.Sprintf("For %s, %s: %s", turn.From.Format("Monday 15:04"), PlaceWords(s), desk.Lowered(s.Begin)))
				}
			}
			return lines
		}
	}
	return nil
}

// together names the step that is done hand in hand with another: a glaze that must be in before
// the one beside it sets.
func together(e entry, list []entry) string {
	for _, o := range list {
		for _, w := range o.step.Waits {
			if w.On == e.step.ID && w.From.High <= 0 && w.Until > 0 {
				return fmt.Sprintf("Goes hand in hand with step %d, till %s.", o.step.Number, o.pieces[len(o.pieces)-1].To.Format("15:04"))
			}
		}
		for _, w := range e.step.Waits {
			if w.On == o.step.ID && w.From.High <= 0 && w.Until > 0 {
				return fmt.Sprintf("Goes hand in hand with step %d, from %s.", o.step.Number, o.pieces[0].From.Format("15:04"))
			}
		}
	}
	return ""
}
