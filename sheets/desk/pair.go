package desk

import "scumble/wetedge"

// answered is how a pair would do at a wall, or why nothing can be said.
type answered struct {
	answer *wetedge.Answer
	err    error
}

// Pair is how the wet edge is kept in a step, as the plan has hour, crew and air. It is
// worked out once however many papers show it.
func (d *Desk) Pair(step string) (*wetedge.Answer, error) {
	made := once(&d.album, &d.album.pairs, step, func() answered {
		p := d.Plan
		a, err := wetedge.Ask(wetedge.Parts{Job: p.Job, Catalog: p.Catalog, Survey: p.Survey, SetOut: p.SetOut, Method: p.Method, Programme: p.Programme},
			wetedge.Question{Step: step})
		return answered{a, err}
	})
	return made.answer, made.err
}
