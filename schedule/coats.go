package schedule

import (
	"fmt"
	"time"

	"scumble/catalog"
	"scumble/drying"
	"scumble/job"
	"scumble/method"
	"scumble/survey"
	"scumble/unit"
)

// Coat is what a task of the programme leaves to dry, stage by stage.
type Coat struct {
	Task    *Task                   `json:"task"`
	Step    *method.Step            `json:"step"`
	Film    unit.Ratio              `json:"film"` // laid over declared thickness
	By      string                  `json:"by"`   // rule that counts, one of drying.ByLater and so on
	Air     drying.Air              `json:"air"`  // when it was finished
	Climate drying.Climate          `json:"-"`
	First   time.Time               `json:"-"` // the midnight the climate counts from
	Stages  []drying.Event          `json:"stages"`
	Closes  *unit.Range[unit.Hours] `json:"closes"` // water-borne: when the film closes, by film and air alone
}

// Coats lists the coats of a face in the order they are laid; every coat of the job where
// face is "". A coat that dries in no time that could be given is left out and told by the
// warnings of the programme.
func Coats(p *Programme, s *survey.Survey, m *method.Method, j *job.Job, d *catalog.Defaults, face string) ([]Coat, error) {
	first, err := time.Parse(time.DateOnly, string(j.Crew.Start))
	if err != nil {
		return nil, fmt.Errorf("crew.start: %q is not a date: write it as 2027-03-08", j.Crew.Start)
	}
	steps := map[string]*method.Step{}
	for f := range m.Faces {
		for i := range m.Faces[f].Steps {
			steps[m.Faces[f].Steps[i].ID] = &m.Faces[f].Steps[i]
		}
	}
	var out []Coat
	climates := map[string]drying.Climate{}
	for i := range p.Tasks {
		t := &p.Tasks[i]
		step := steps[t.Step]
		if step == nil || step.Product == nil || face != "" && t.Face != face {
			continue
		}
		room, wall, _ := s.FaceByID(t.Face)
		if room == nil {
			continue
		}
		place := drying.Place{Air: room.Climate, Surface: wall.Surface, Outside: wall.Outside, First: first}
		climate, known := climates[wall.ID]
		if !known {
			climate = place.Climate(d)
			climates[wall.ID] = climate
		}
		end := t.End.Sub(first).Hours()
		c := Coat{Task: t, Step: step, Film: step.Film(), By: place.WaitBy(), Air: climate.At(end), Climate: climate, First: first}
		if c.Stages, err = drying.Stages(step.Product, c.Film, c.By, climate, end); err != nil {
			continue
		}
		if drying.Base(step.Product) == "water" && step.Product.Solids.Likely > 0 && step.Product.WetFilm.Likely > 0 {
			laid := unit.Film(step.Product.WetFilm.Likely * float64(c.Film))
			solids := unit.Ratio(step.Product.Solids.Likely) / (1 + step.Let.Parts)
			if closes, err := drying.Closes(laid, solids, climate, end); err == nil {
				c.Closes = &closes
			}
		}
		out = append(out, c)
	}
	return out, nil
}
