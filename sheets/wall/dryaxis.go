package wall

import (
	"time"

	"scumble/sheets/desk"
)

// nightShare is how much paper an hour of a night or a closed day gets, as a share of a
// working hour: less, but enough to see how far a coat comes in it.
const nightShare = 0.4

// dayAxis lays days along x, each from midnight to midnight. Days between them, on which
// nothing is laid or dries, are left out.
type dayAxis struct {
	desk  *desk.Desk
	days  []time.Time
	left  float64
	scale float64 // mm a working hour
}

// dayUnits is how long a day is in working hours of paper.
func dayUnits(d *desk.Desk, day time.Time) float64 {
	opens, closes := d.Plan.Job.Crew.OpenHours()
	if !d.Plan.Job.Crew.WorksOn(day) {
		return 24 * nightShare
	}
	work := (closes - opens).Hours()
	return work + (24-work)*nightShare
}

// start is where a day begins; n may be the number of days, for the end of the last.
func (a *dayAxis) start(n int) float64 {
	x := a.left
	for _, day := range a.days[:n] {
		x += dayUnits(a.desk, day) * a.scale
	}
	return x
}

func (a *dayAxis) right() float64 { return a.start(len(a.days)) }

// place is where a moment lies. A moment on a day left out lies at the end of the day before
// it, one outside the axis beyond its end by an hour of the night for each hour.
func (a *dayAxis) place(t time.Time) float64 {
	if before := a.days[0].Sub(t); before > 0 {
		return a.left - before.Hours()*nightShare*a.scale
	}
	for n, day := range a.days {
		if t.Before(day) {
			return a.start(n)
		}
		if t.Before(day.AddDate(0, 0, 1)) {
			return a.start(n) + a.within(day, t)
		}
	}
	last := a.days[len(a.days)-1].AddDate(0, 0, 1)
	return a.right() + t.Sub(last).Hours()*nightShare*a.scale
}

func (a *dayAxis) within(day, t time.Time) float64 {
	opens, closes := a.desk.Plan.Job.Crew.OpenHours()
	h := t.Sub(day).Hours()
	if !a.desk.Plan.Job.Crew.WorksOn(day) {
		return h * nightShare * a.scale
	}
	work := min(max(0, h-opens.Hours()), (closes - opens).Hours())
	return (work + (h-work)*nightShare) * a.scale
}

// nights are the stretches nobody works in, from one place to another.
func (a *dayAxis) nights() [][2]float64 {
	opens, closes := a.desk.Plan.Job.Crew.OpenHours()
	var out [][2]float64
	add := func(from, to float64) {
		if n := len(out); n > 0 && out[n-1][1] > from-1e-6 {
			out[n-1][1] = to
			return
		}
		out = append(out, [2]float64{from, to})
	}
	for n, day := range a.days {
		if !a.desk.Plan.Job.Crew.WorksOn(day) {
			add(a.start(n), a.start(n+1))
			continue
		}
		add(a.start(n), a.place(day.Add(opens)))
		add(a.place(day.Add(closes)), a.start(n+1))
	}
	return out
}

// follows reports whether the nth day comes right after the one before it.
func (a *dayAxis) follows(n int) bool { return n > 0 && a.days[n-1].AddDate(0, 0, 1).Equal(a.days[n]) }
