package programme

import (
	"encoding/json"
	"fmt"
	"net/http"

	"scumble/job"
	"scumble/plan"
	"scumble/schedule"
	"scumble/web/frame"
)

// ifs is the table of what one change at a time would make of the programme.
type ifs struct {
	Cases  []oneCase
	Under  bool // it is being worked out
	Failed bool
	Stream string
	Priced bool
}

type oneCase struct {
	ID, Name, What, Why, Days, Visits, Finish, Cost, Without string
	Try                                                      string // address that offers it
}

const whatIf = "what-if"

// tryable are the cases that can be taken over from here.
var tryable = map[string]bool{plan.OneMore: true, plan.Saturdays: true, plan.AnHour: true, plan.NoPins: true}

func (p *place) ifs(s *frame.Sheet) ifs {
	out := ifs{Priced: s.Person.MaySeePrices() && s.Board.Plan.Quote != nil, Stream: fmt.Sprintf("/jobs/%s/programme/what-if?revision=%d", s.Job.ID, s.Revision.Number)}
	content, state := p.Made(s.Context(), s.Text, whatIf)
	if content == nil {
		out.Under, out.Failed = state == "waiting" || state == "running", state == "failed"
		return out
	}
	var cases []plan.Case
	if err := json.Unmarshal(content, &cases); err != nil {
		out.Failed = true
		return out
	}
	for _, c := range cases {
		one := oneCase{ID: c.ID, Name: c.Name, What: c.What, Without: frame.Sentence(c.Without)}
		if c.Why != "" {
			one.Why = frame.Sentence(c.Why)
			out.Cases = append(out.Cases, one)
			continue
		}
		one.Days, one.Visits, one.Finish = frame.Counted(c.SiteDays, "site day", "site days"), frame.Counted(c.Visits, "visit", "visits"), c.Finish.Format("Mon 2 January")
		if c.Priced && out.Priced {
			one.Cost = c.Cost.Format(job.Decimals(s.Board.Plan.Quote.Currency))
			if c.Cost > 0 {
				one.Cost = "+" + one.Cost
			}
		}
		if tryable[c.ID] {
			one.Try = "try=" + c.ID
		}
		out.Cases = append(out.Cases, one)
	}
	return out
}

// wonder begins to work the table out, or stops that.
func (p *place) wonder(w http.ResponseWriter, r *http.Request) {
	s, err := p.Open(r, p.here)
	if err != nil {
		p.Fail(w, r, err)
		return
	}
	if r.URL.Query().Get("stop") != "" {
		p.StopAside(s.Text, whatIf)
	} else {
		whole := s.Board.Plan
		p.Aside(s.Text, whatIf, "application/json", func(e schedule.Effort) ([]byte, error) {
			cases, err := plan.WhatIf(whole, e)
			if err != nil {
				return nil, err
			}
			return json.Marshal(cases)
		})
	}
	http.Redirect(w, r, s.URL("programme")+"#what-if", http.StatusSeeOther)
}

func (p *place) wonders(w http.ResponseWriter, r *http.Request) {
	s, err := p.Open(r, p.here)
	if err != nil {
		p.Fail(w, r, err)
		return
	}
	p.StreamAside(w, r, s.Text, whatIf)
}
