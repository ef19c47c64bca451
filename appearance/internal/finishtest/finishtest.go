// Package finishtest holds what tests of finishes and of their walls share: the
// demonstration job, and every way a technique can be worked.
package finishtest

import (
	"maps"
	"slices"
	"testing"

	"scumble/catalog"
	"scumble/examples"
	"scumble/job"
)

// Demonstration is the demonstration job with the catalog.
type Demonstration struct {
	Job     *job.Job
	Catalog *catalog.Catalog
}

// Demo reads the demonstration.
func Demo(t testing.TB) Demonstration {
	t.Helper()
	c, err := catalog.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	file, problems := job.Read(examples.BellwetherName, examples.Bellwether)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	return Demonstration{file.Job, c}
}

// Way is a technique in one of its variations, "" being the plain one.
type Way struct{ Technique, Variation string }

// Ways are all ways of all techniques, in order.
func Ways(c *catalog.Catalog) []Way {
	var all []Way
	for _, id := range slices.Sorted(maps.Keys(c.Techniques)) {
		all = append(all, Way{id, ""})
		for _, v := range c.Techniques[id].Variations {
			all = append(all, Way{id, v.ID})
		}
	}
	return all
}

// Job has one finish, called after its technique, in strong colours, in which errors of a
// mean tell most.
func (w Way) Job(c *catalog.Catalog, with string) *job.Job {
	f := job.Finish{ID: w.Technique, Technique: w.Technique, Variation: w.Variation, With: with}
	for _, role := range c.Techniques[w.Technique].Colours {
		switch role {
		case catalog.RoleGround:
			f.Ground = job.Colour{Name: "Chalk", Hex: "#f1efe9"}
		case catalog.RoleGroundB:
			f.GroundB = job.Colour{Name: "Stone", Hex: "#b9c4b4"}
		case catalog.RoleGlaze:
			f.Glaze = job.Colour{Name: "Denim", Hex: "#2f5f94"}
		case catalog.RoleGlazeB:
			f.GlazeB = job.Colour{Name: "Rust", Hex: "#7a4a3a"}
		}
	}
	return &job.Job{Finishes: []job.Finish{f}}
}
