package setout_test

import (
	"testing"

	"scumble/catalog"
	"scumble/examples"
	"scumble/job"
	"scumble/setout"
	"scumble/survey"
)

// TestEveryWayOfferedCanBeTaken: way and count together name each option of the
// demonstration, so that whoever picks one gets it.
func TestEveryWayOfferedCanBeTaken(t *testing.T) {
	c, err := catalog.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	file, _ := job.Read("x", examples.Bellwether)
	s, problems := survey.Measure(file.Job, survey.Reaches{})
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	offered, err := setout.Divide(s, file.Job, c)
	if err != nil {
		t.Fatal(err)
	}
	for g, group := range offered.Groups {
		for i, o := range group.Options {
			j := *file.Job
			j.Finishes = append([]job.Finish(nil), j.Finishes...)
			for k := range j.Finishes {
				if j.Finishes[k].ID == group.Finish {
					j.Finishes[k].Strips.Way, j.Finishes[k].Strips.Count = o.Way, o.Count
					j.Finishes[k].Strips.First = job.Length{Text: "x", Value: o.Phase}
				}
			}
			got, err := setout.Divide(s, &j, c)
			if err != nil {
				t.Fatal(err)
			}
			if chosen := got.Groups[g].Chosen; chosen != i {
				t.Errorf("%s, %s: asked for way %d (%s, %d strips), got %d", group.Room, group.Finish, i, o.Way, o.Count, chosen)
			}
		}
	}
	if len(offered.Groups) < 2 {
		t.Error("the demonstration has too few runs for this test")
	}
	j := *file.Job
	j.Finishes = append([]job.Finish(nil), j.Finishes...)
	for k := range j.Finishes {
		j.Finishes[k].Strips.Count = 7777
	}
	got, err := setout.Divide(s, &j, c)
	if err != nil || len(got.Warnings) <= len(offered.Warnings) {
		t.Errorf("a count that is not offered: %v, %v", got.Warnings, err)
	}
}
