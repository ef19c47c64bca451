package schedule_test

import (
	"strings"
	"testing"
	"time"

	"scumble/job"
	"scumble/method"
	"scumble/schedule"
	"scumble/schedule/check"
)

// A checker that finds nothing in a spoilt programme checks nothing.
func TestCheckerFindsSpoiltProgrammes(t *testing.T) {
	j := twoPeople()
	j.Kit = []job.Kit{{Kind: "platform", Count: 1}}
	j.Rooms = []job.Room{{Name: "Hall", Closes: []job.Date{"2027-03-20"}, From: "2027-03-08"}}
	m := &method.Method{Faces: []method.Face{oneWall("Hall/North", "Hall/East"), oneWall("Hall/East", "Hall/North")}}
	s := surveyOf(m)
	move := func(p *schedule.Programme, step string, by time.Duration) {
		k := find(t, p, step)
		k.Start, k.End = k.Start.Add(by), k.End.Add(by)
		for i := range k.Pieces {
			k.Pieces[i] = schedule.Piece{k.Pieces[i].From.Add(by), k.Pieces[i].To.Add(by)}
		}
	}
	for want, spoil := range map[string]func(*schedule.Programme){
		"outside hours": func(p *schedule.Programme) { move(p, "Hall/North#prime", -time.Hour) },
		"closed day": func(p *schedule.Programme) {
			day := find(t, p, "Hall/North#glaze").Start.Weekday()
			move(p, "Hall/North#glaze", time.Duration(time.Saturday-day)*24*time.Hour)
		},
		"needs 12":     func(p *schedule.Programme) { move(p, "Hall/North#ground", -24*time.Hour) },
		"same person":  func(p *schedule.Programme) { p.Tasks[1].People = p.Tasks[0].People },
		"stands twice": func(p *schedule.Programme) { p.Tasks[1] = p.Tasks[0] },
		"cannot lay":   func(p *schedule.Programme) { find(t, p, "Hall/North#glaze").People[0] = "Nobody" },
		"minutes, needs": func(p *schedule.Programme) {
			k := find(t, p, "Hall/North#prime")
			k.Pieces[0].To = k.Pieces[0].To.Add(-5 * time.Minute)
		},
		"wet in one corner": func(p *schedule.Programme) {
			*find(t, p, "Hall/East#glaze") = func() schedule.Task { k := *find(t, p, "Hall/North#glaze"); k.Step = "Hall/East#glaze"; return k }()
		},
		"2 days in 1":  func(p *schedule.Programme) { p.SiteDays = 2 },
		"person-hours": func(p *schedule.Programme) { p.PersonHours++ },
		"bound":        func(p *schedule.Programme) { p.Bound = 99 },
		"day sheets":   func(p *schedule.Programme) { p.Days[0].People = p.Days[0].People[:1] },
		"no task is critical": func(p *schedule.Programme) {
			for i := range p.Tasks {
				p.Tasks[i].Critical = false
			}
		},
	} {
		p, err := schedule.Plan(s, m, j, nil, schedule.Quick)
		if err != nil {
			t.Fatal(err)
		}
		spoil(p)
		if found := strings.Join(check.Programme(s, m, j, nil, p), "\n"); !strings.Contains(found, want) {
			t.Errorf("want %q, found %q", want, found)
		}
	}
}
