package plan_test

import (
	"testing"

	"scumble/job"
	"scumble/plan"
	"scumble/schedule"
)

// TestUnderRulesIsAsPlannedWithEachRule: the short way gives the quote of the long one.
func TestUnderRulesIsAsPlannedWithEachRule(t *testing.T) {
	file, c := demo(t)
	p := planned(t, file.Job, c)
	before := text(t, p.Job)
	list := plan.UnderRules(p)
	if len(list) != len(c.Rules) || len(list) < 2 {
		t.Fatalf("%d quotes for %d rules", len(list), len(c.Rules))
	}
	areas := map[string]bool{}
	for _, ruled := range list {
		other := *file.Job
		other.Terms.Rule = ruled.Rule.ID
		if ruled.Err != nil || text(t, ruled.Quote) != text(t, planned(t, &other, c).Quote) {
			t.Errorf("%s: another quote than planned with it: %v", ruled.Rule.ID, ruled.Err)
		}
		areas[text(t, ruled.Quote.Lines)] = true
	}
	if len(areas) < 2 {
		t.Error("all rules measure the same")
	}
	if text(t, p.Job) != before {
		t.Error("comparing changed the job")
	}
	p.Programme = nil
	if plan.UnderRules(p) != nil {
		t.Error("quotes without a programme")
	}
}

// TestWithoutPins: a pinned programme beside the free one, which is the one of the
// job without pins.
func TestWithoutPins(t *testing.T) {
	file, c := demo(t)
	free := planned(t, file.Job, c)
	if own, err := plan.WithoutPins(free); err != nil || own != free.Programme {
		t.Errorf("no pins, and another programme: %v", err)
	}
	last := free.Programme.Tasks[len(free.Programme.Tasks)-1]
	j := *file.Job
	j.Crew.Pins = []job.Pin{{Step: last.Step, Day: job.Date(last.Start.AddDate(0, 0, 21).Format("2006-01-02"))}}
	pinned := planned(t, &j, c)
	if !pinned.Programme.Finish.After(free.Programme.Finish) {
		t.Fatal("the pin is not kept")
	}
	if own, err := plan.WithoutPins(pinned); err != nil || text(t, own) != text(t, free.Programme) {
		t.Errorf("without pins it is another programme than that of the job without: %v", err)
	}
	if len(pinned.Job.Crew.Pins) != 1 {
		t.Error("comparing changed the job")
	}
	// Pins that contradict the coats leave no programme, and this one is still there.
	steps := pinned.Method.Faces[0].Steps
	j.Crew.Pins = []job.Pin{{Step: steps[0].ID, After: steps[len(steps)-1].ID}}
	p, problems := plan.AsFar(&j, c, nil)
	if free, _, _ = plan.Only(file.Job, c, schedule.Quick); free == nil {
		t.Fatal("the job without pins cannot be planned")
	}
	if own, err := plan.WithoutPins(p); p.Programme != nil || len(problems) == 0 || err != nil || text(t, own) != text(t, free.Programme) {
		t.Errorf("pins in a circle: programme %v, %v, %v", p.Programme != nil, problems, err)
	}
	p.Method = nil
	if _, err := plan.WithoutPins(p); err == nil {
		t.Error("a programme without a method")
	}
}

func BenchmarkUnderRules(b *testing.B) {
	file, c := demo(b)
	p := planned(b, file.Job, c)
	for b.Loop() {
		plan.UnderRules(p)
	}
}

func TestBetterIsThePlanOfTheFullEffort(t *testing.T) {
	file, c := demo(t)
	j := file.Job
	quick, problems := plan.AsFar(j, c, nil)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	better, err := plan.Better(quick, schedule.Full)
	if err != nil {
		t.Fatal(err)
	}
	full, _, err := plan.Run(j, c)
	if err != nil {
		t.Fatal(err)
	}
	if text(t, better.Programme) != text(t, full.Programme) || text(t, better.Quote) != text(t, full.Quote) || text(t, better.Air) != text(t, full.Air) {
		t.Error("looking longer at a quick plan does not give the plan of the full effort")
	}
	if better.Programme.SiteDays > quick.Programme.SiteDays {
		t.Errorf("%d site days after looking longer, %d before", better.Programme.SiteDays, quick.Programme.SiteDays)
	}
	quick.Programme = nil
	if _, err := plan.Better(quick, schedule.Full); err == nil {
		t.Error("a plan without a programme was made better")
	}
}
