package sheets

import (
	"encoding/json"

	"scumble/catalog"
	"scumble/experience"
	"scumble/job"
	"scumble/method"
	"scumble/plan"
	"scumble/price"
	"scumble/quantity"
	"scumble/schedule"
	"scumble/setout"
	"scumble/sheets/desk"
	"scumble/survey"
	"scumble/vapour"
)

// planFile is plan.json: the results of the stages as they are, under the names
// of the stages. docs/plan-json.md tells what each holds and in which unit.
type planFile struct {
	Scumble      int                  `json:"scumble"` // version of this layout
	Job          *job.Job             `json:"job"`
	Survey       *survey.Survey       `json:"survey"`
	SetOut       *setout.SetOut       `json:"setout"`
	Method       *method.Method       `json:"method"`
	Quantities   *quantity.Quantities `json:"quantities"`
	Programme    *schedule.Programme  `json:"programme"`
	Air          *vapour.Air          `json:"air"`
	Quote        *price.Quote         `json:"quote"`
	Alternatives []alternativeFile    `json:"alternatives,omitempty"`
	Learned      []experience.Lesson  `json:"learned,omitempty"`
	Warnings     []job.Warning        `json:"warnings,omitempty"`
	Catalog      catalogFile          `json:"catalog"`
}

// catalogFile is what the plan rests on: every figure by its path, as this job
// has it, and the sources they name.
type catalogFile struct {
	Figures map[string]catalog.Figure `json:"figures"`
	Sources map[string]string         `json:"sources"`
}

// alternativeFile is the outcome of another way of doing the job.
type alternativeFile struct {
	Name      string              `json:"name"`
	Programme *schedule.Programme `json:"programme"`
	Quote     *price.Quote        `json:"quote"`
}

func planJSON(d *desk.Desk) ([]byte, error) {
	p := d.Plan
	file := planFile{
		Scumble: job.Version, Job: p.Job, Survey: p.Survey, SetOut: p.SetOut, Method: p.Method,
		Quantities: p.Quantities, Programme: p.Programme, Air: p.Air, Quote: p.Quote, Learned: p.Learned, Warnings: p.Warnings,
		Alternatives: alternatives(p.Alternatives),
		Catalog:      catalogFile{map[string]catalog.Figure{}, map[string]string{}},
	}
	for _, f := range p.Catalog.Figures() {
		file.Catalog.Figures[f.Path] = f.Figure
	}
	for id, s := range p.Catalog.Sources {
		file.Catalog.Sources[id] = s.Cite
	}
	out, err := json.MarshalIndent(file, "", " ")
	return append(out, '\n'), err
}

func alternatives(others []plan.Alternative) []alternativeFile {
	var out []alternativeFile
	for _, a := range others {
		out = append(out, alternativeFile{a.Name, a.Plan.Programme, a.Plan.Quote})
	}
	return out
}
