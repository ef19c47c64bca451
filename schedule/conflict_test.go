package schedule_test

import (
	"slices"
	"testing"

	"scumble/job"
	"scumble/method"
	"scumble/schedule"
)

func TestRulesThatCannotAllHoldAreNamed(t *testing.T) {
	const (
		wait   = "Glaze (Hall/North) begins 24 h after Ground coat (Hall/North) ends, or later: it dries."
		window = "Glaze (Hall/North) has to begin within 30 h of the end of Ground coat (Hall/North)."
	)
	for name, c := range map[string]struct {
		change func(j *job.Job, st []method.Step)
		want   []string
	}{
		// Never 24 to 30 h between two stretches of work.
		"hours": {func(j *job.Job, _ []method.Step) { j.Crew.Days = []string{"Mon", "Thu"} }, []string{wait, window}},
		"none":  {func(*job.Job, []method.Step) {}, nil},
		"a later pin before": {func(j *job.Job, st []method.Step) {
			j.Crew.Pins = []job.Pin{{Step: st[2].ID, Day: "2027-03-17"}}
		}, nil}, // the ground coat waits for it
	} {
		m := &method.Method{Faces: []method.Face{oneWall("Hall/North")}}
		st := m.Faces[0].Steps
		st[2].Waits[0].Until, st[2].Waits[0].From = 30, h(24, 24, 24)
		j := twoPeople()
		c.change(j, st)
		p, err := schedule.Plan(surveyOf(m), m, j, nil, schedule.Effort{Placements: 2000, Conflicts: 3000})
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(p.Conflict, c.want) {
			t.Errorf("%s: %q, want %q; %v", name, p.Conflict, c.want, p.Warnings)
		}
	}
}
