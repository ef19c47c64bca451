package vapour

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"scumble/catalog"
	"scumble/schedule"
	"scumble/survey"
	"scumble/unit"
)

// RagDay are the rags with drying oil in them that come about on one day.
type RagDay struct {
	Date  time.Time     `json:"date"`
	Good  *catalog.Good `json:"good"`
	Count int           `json:"count"` // rounded up
	Area  unit.Area     `json:"area"`  // worked with them
	Rooms []string      `json:"rooms"`
	Do    string        `json:"do"`
	Rests string        `json:"rests"` // the document it rests on
	Defer string        `json:"defers"`
}

// Caution is one that holds in a room.
type Caution struct {
	Caution *catalog.Caution `json:"caution"`
	Shape   string           `json:"shape"` // hold | caution | note
	Title   string           `json:"title"`
	Text    string           `json:"text"`
	Why     string           `json:"why"`    // what in this room brings it, words
	First   time.Time        `json:"first"`  // when it first matters
	Steps   int              `json:"steps"`  // of how many steps
	Rests   string           `json:"rests"`  // the document it rests on, or its footing
	Defers  string           `json:"defers"` // whose word comes first
}

// Records of the catalog the code asks for by name.
const (
	ragCaution = "oily-rags"
	stepLimit  = "steps-at-one-place"
)

// rags counts the rags by day: those of a step over the area it goes over, parted
// over its days by the minutes worked.
func (r *reckoner) rags() {
	days := map[string]*RagDay{}
	exact := map[string]float64{}
	for i := range r.programme.Tasks {
		task := &r.programme.Tasks[i]
		step := r.steps[task.Step]
		if step == nil || step.Product == nil || step.Product.Family != "oil" {
			continue
		}
		total := 0.0
		for _, p := range task.Pieces {
			total += p.To.Sub(p.From).Minutes()
		}
		for _, good := range step.Goods {
			if !good.Soaks || good.Per != "field-m2" || total <= 0 {
				continue
			}
			for _, p := range task.Pieces {
				date := p.From.Truncate(24 * time.Hour)
				key := date.Format(time.DateOnly) + " " + good.ID
				if days[key] == nil {
					days[key] = &RagDay{Date: date, Good: good}
				}
				area := step.Area * unit.Area(p.To.Sub(p.From).Minutes()/total)
				days[key].Area += area
				exact[key] += float64(area) * good.Use.Likely
				if !slices.Contains(days[key].Rooms, task.Room) {
					days[key].Rooms = append(days[key].Rooms, task.Room)
				}
			}
		}
	}
	c := r.catalog.Cautions[ragCaution]
	for key, d := range days {
		d.Count = int(math.Ceil(exact[key] - 1e-9))
		if c != nil {
			d.Do, d.Rests, d.Defer = c.Text, r.rests(c), c.Defers
		}
		r.out.Rags = append(r.out.Rags, *d)
	}
	slices.SortFunc(r.out.Rags, func(a, b RagDay) int { return cmp.Or(a.Date.Compare(b.Date), strings.Compare(a.Good.ID, b.Good.ID)) })
}

// rests names the document of a caution, or its footing where it has none.
func (r *reckoner) rests(c *catalog.Caution) string {
	if s := r.catalog.Sources[c.Source]; s != nil {
		return s.Cite
	}
	return string(c.Kind)
}

// cautions gathers what holds in a room, holds first, each once, with what brings it.
func (r *reckoner) cautions(s *survey.Room, tasks []*schedule.Task) (list []Caution) {
	at := map[string]int{}
	for _, task := range tasks {
		step := r.steps[task.Step]
		if step == nil {
			continue
		}
		for _, c := range step.Cautions {
			n, known := at[c.ID]
			if !known {
				n = len(list)
				at[c.ID] = n
				list = append(list, Caution{Caution: c, Shape: c.Shape, Title: c.Title, Text: c.Text, First: task.Start, Rests: r.rests(c), Defers: c.Defers})
			}
			list[n].Steps++
			if task.Start.Before(list[n].First) {
				list[n].First = task.Start
			}
		}
	}
	for i := range list {
		c := &list[i]
		c.Why = fmt.Sprintf("%d steps, the first on %s", c.Steps, c.First.Format("Mon 2 January"))
		if c.Steps == 1 {
			c.Why = "one step, on " + c.First.Format("Mon 2 January")
		}
	}
	if n, ok := at["steps"]; ok {
		list[n].Why += r.longOnSteps(s, tasks)
	}
	rank := map[string]int{"hold": 0, "caution": 1, "note": 2}
	slices.SortStableFunc(list, func(a, b Caution) int {
		return cmp.Or(rank[a.Shape]-rank[b.Shape], strings.Compare(a.Caution.ID, b.Caution.ID))
	})
	return list
}

// longOnSteps looks for work on steps that lasts longer at one wall than the catalog
// lets anybody stand on them, warns once a room, and says so in words.
func (r *reckoner) longOnSteps(s *survey.Room, tasks []*schedule.Task) string {
	limit := r.catalog.Limits[stepLimit]
	if limit == nil || limit.Value.Unit != "min" {
		return ""
	}
	longest, where, count := 0.0, "", 0
	for _, task := range tasks {
		step := r.steps[task.Step]
		if step == nil || task.Stand != "steps" {
			continue
		}
		minutes := float64(step.Work.Likely) * 60 * onSteps(s, task.Face)
		if minutes <= limit.Value.Likely {
			continue
		}
		count++
		if minutes > longest {
			longest, where = minutes, task.Step
		}
	}
	if count == 0 {
		return ""
	}
	have := "none is listed under kit"
	for _, k := range r.job.Kit {
		if k.Kind == "platform" && k.Count > 0 {
			have = "one is listed under kit"
		}
	}
	words := fmt.Sprintf("%s min on steps in %s", unit.Figure(math.Round(longest), 0), where)
	r.warn(s.Path, s.Name, fmt.Sprintf("%s; %s min at one place is the limit (%s). %s in this room.", words,
		unit.Figure(limit.Value.Likely, 0), limit.Region, plural(count, "step is too long for steps", "steps are too long for steps")),
		"Work from a low platform there ("+have+"), or come down and change over before the time is up.", false)
	return "; up to " + words
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// onSteps is the share of a face worked from steps.
func onSteps(s *survey.Room, face string) float64 {
	for w := range s.Walls {
		for f := range s.Walls[w].Faces {
			if s.Walls[w].Faces[f].ID != face {
				continue
			}
			var all, steps unit.Area
			for _, reach := range s.Walls[w].Faces[f].Reach {
				all += reach.Area
				if reach.From == "steps" {
					steps += reach.Area
				}
			}
			if all > 0 {
				return float64(steps / all)
			}
		}
	}
	return 0
}
