package plan_test

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"scumble/catalog"
	"scumble/examples"
	"scumble/job"
	"scumble/plan"
	"scumble/schedule"
	"scumble/survey"
)

// written reads and checks a job as a page would, and plans as much of it as it can.
func written(t testing.TB, src string) (file *job.File, known []job.Problem, p *plan.Plan, all []job.Problem) {
	t.Helper()
	c, err := catalog.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	file, known = job.Read("job.yaml", []byte(src))
	known = append(known, file.Check()...)
	known = append(known, file.CheckAgainst(plan.Known(c))...)
	p, all = plan.AsFar(file.Job, c, known)
	return file, known, p, all
}

// swap is the demonstration with one piece of its text changed.
func swap(t testing.TB, old, new string) string {
	t.Helper()
	src := string(examples.Bellwether)
	if !strings.Contains(src, old) {
		t.Fatalf("the demonstration does not hold %q", old)
	}
	return strings.Replace(src, old, new, 1)
}

func walls(s *survey.Survey) map[string]*survey.Wall {
	byPath := map[string]*survey.Wall{}
	for r := range s.Rooms {
		for w := range s.Rooms[r].Walls {
			byPath[s.Rooms[r].Walls[w].Path] = &s.Rooms[r].Walls[w]
		}
	}
	return byPath
}

// TestAsFarIsRunForASoundJob: nothing is lost and nothing added.
func TestAsFarIsRunForASoundJob(t *testing.T) {
	file, c := demo(t)
	whole, _, err := plan.Run(file.Job, c)
	if err != nil {
		t.Fatal(err)
	}
	p, problems := plan.AsFar(file.Job, c, nil)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	quick, _, err := plan.Only(file.Job, c, schedule.Quick)
	if err != nil {
		t.Fatal(err)
	}
	quick.Alternatives = whole.Alternatives
	if len(p.Alternatives) == 0 || !reflect.DeepEqual(p, quick) {
		t.Error("AsFar and Run give different plans of one job")
	}
}

// TestAsFarLeavesOutOneWall: each figure of each wall is spoilt in turn; that wall
// alone loses its faces, and all others keep their paths.
func TestAsFarLeavesOutOneWall(t *testing.T) {
	file, c := demo(t)
	whole := walls(planned(t, file.Job, c).Survey)
	for r := range file.Job.Rooms {
		for w := range file.Job.Rooms[r].Walls {
			at := fmt.Sprintf("rooms[%d].walls[%d]", r, w)
			j := *file.Job
			j.Rooms = slices.Clone(j.Rooms)
			j.Rooms[r].Walls = slices.Clone(j.Rooms[r].Walls)
			spoilt := &j.Rooms[r].Walls[w]
			spoilt.Length, spoilt.Outline = job.Length{}, nil
			p, problems := plan.AsFar(&j, c, nil)
			got := walls(p.Survey)
			if len(p.Survey.Rooms) != len(j.Rooms) || got[at] != nil || len(got) != len(whole)-1 {
				t.Fatalf("%s without a length: %d rooms and %d walls are left", at, len(p.Survey.Rooms), len(got))
			}
			for path, wall := range got {
				if wall.Name != whole[path].Name || len(wall.Faces) != len(whole[path].Faces) {
					t.Errorf("%s is spoilt and %s is now %s with %d faces", at, path, wall.Name, len(wall.Faces))
				}
				if wall.Next == whole[at].ID || wall.Previous == whole[at].ID {
					t.Errorf("%s is linked to %s, which is not there", path, at)
				}
			}
			if len(problems) == 0 || !slices.ContainsFunc(problems, func(p job.Problem) bool { return strings.HasPrefix(p.Path, at) }) {
				t.Errorf("%s: %v", at, problems)
			}
			if p.Quote == nil || p.Programme == nil || len(p.Alternatives) > 0 {
				t.Errorf("%s: the rest is not planned, or alternatives are: %v", at, problems)
			}
			for _, f := range p.Method.Faces {
				if f.Path == at {
					t.Errorf("%s has steps", at)
				}
			}
		}
	}
}

// TestAsFarLeavesOutAFinish: its walls are measured and bare, the warnings and
// paths of other finishes stay those of the job.
func TestAsFarLeavesOutAFinish(t *testing.T) {
	file, c := demo(t)
	whole := walls(planned(t, file.Job, c).Survey)
	for i, finish := range file.Job.Finishes {
		j := *file.Job
		j.Finishes = slices.Clone(j.Finishes)
		j.Finishes[i].With = "nothing"
		p, problems := plan.AsFar(&j, c, nil)
		if len(problems) == 0 || !strings.HasPrefix(problems[0].Path, fmt.Sprintf("finishes[%d]", i)) {
			t.Fatalf("%s: %v", finish.ID, problems)
		}
		bare, used := 0, 0
		for path, wall := range walls(p.Survey) {
			kept := slices.DeleteFunc(slices.Clone(whole[path].Faces), func(f survey.Face) bool { return f.Finish == finish.ID })
			used += len(whole[path].Faces) - len(kept)
			bare += len(whole[path].Faces) - len(wall.Faces)
			if len(wall.Faces) != len(kept) || wall.Length != whole[path].Length {
				t.Errorf("%s: %s has %d faces", finish.ID, path, len(wall.Faces))
			}
		}
		if bare != used || p.Quote == nil {
			t.Errorf("%s: %d faces bare of %d; quote %v", finish.ID, bare, used, p.Quote != nil)
		}
		for _, f := range p.Method.Faces {
			if f.Finish.ID == finish.ID || f.Finish.ID == "" {
				t.Errorf("%s is on %s", f.Finish.ID, f.ID)
			}
		}
	}
}

// TestAsFarSaysWhatIsLacking: what the later stages need is named, and they alone
// are missing.
func TestAsFarSaysWhatIsLacking(t *testing.T) {
	for _, c := range []struct {
		name      string
		spoil     func(j *job.Job)
		path      string
		programme bool
	}{
		{"start", func(j *job.Job) { j.Crew.Start = "" }, "crew.start", false},
		{"hours", func(j *job.Job) { j.Crew.Hours = nil }, "crew.hours", false},
		{"people", func(j *job.Job) { j.Crew.People = nil }, "crew.people", false},
		{"climate", func(j *job.Job) { clearAir(j) }, "climate.temp", false},
		{"days", func(j *job.Job) { j.Crew.Days = []string{"Moonday"} }, "crew", false},
		{"rule", func(j *job.Job) { j.Terms.Rule = "" }, "terms.rule", true},
		{"margin", func(j *job.Job) { j.Terms.Margin.Value = 2 }, "terms", true},
		{"rate", func(j *job.Job) { j.Terms.Rate, j.Crew.People = job.Money{}, []job.Person{{Name: "A"}, {Name: "B"}} }, "crew.people[1].rate", true},
	} {
		file, builtin := demo(t)
		j := *file.Job
		j.Rooms = slices.Clone(j.Rooms)
		c.spoil(&j)
		p, problems := plan.AsFar(&j, builtin, nil)
		if p.SetOut == nil || p.Method == nil || p.Quantities == nil || p.Quote != nil || (p.Programme != nil) != c.programme {
			t.Errorf("%s: programme %v, quote %v", c.name, p.Programme != nil, p.Quote != nil)
		}
		if !slices.ContainsFunc(problems, func(q job.Problem) bool {
			return q.Path == c.path && strings.HasPrefix(q.What, "no pro") != c.programme && strings.HasPrefix(q.What, "no ") && q.Do != ""
		}) {
			t.Errorf("%s: %v", c.name, problems)
		}
	}
}

func clearAir(j *job.Job) {
	j.Climate = job.Climate{}
	for r := range j.Rooms {
		j.Rooms[r].Climate = job.Climate{}
	}
}

// TestAsFarTrustsNoHalfReadFigure: a figure that could not be read does not pass for
// nothing; the page keeps what rests on the others.
func TestAsFarTrustsNoHalfReadFigure(t *testing.T) {
	_, _, p, all := written(t, swap(t, "  margin:", "  margin: lots #"))
	if p.Quote != nil || p.Programme == nil || len(all) == 0 {
		t.Errorf("a price with no margin: %v", all)
	}
	_, _, p, all = written(t, swap(t, "skirting: ", "skirting: tall #"))
	if p.Survey == nil || len(all) == 0 {
		t.Fatal(all)
	}
	bare := 0
	for _, w := range walls(p.Survey) {
		if len(w.Faces) == 0 {
			bare++
		}
	}
	if bare == 0 || p.Quote == nil {
		t.Errorf("no skirting, and %d walls bare", bare)
	}
}

func TestAsFarOfNothing(t *testing.T) {
	for _, src := range []string{"", "scumble: 1", "scumble: 1\nrooms:\n  - name: Hall", "scumble: 1\nfinishes: 3\nrooms: [{walls: [{}]}]", "\x00"} {
		_, _, p, all := written(t, src)
		if p.Survey == nil || p.Programme != nil || p.Quote != nil || len(all) == 0 {
			t.Errorf("%q: %+v %v", src, p, all)
		}
	}
}

// whyNil finds stages that are nil without a reason, and answers that rest on a
// stage that is nil.
func whyNil(p *plan.Plan, all []job.Problem) error {
	for stage, there := range map[string]bool{"setting-out": p.SetOut != nil, "method": p.Method != nil,
		"quantities": p.Quantities != nil, "programme": p.Programme != nil, "air": p.Air != nil, "price": p.Quote != nil} {
		said := slices.ContainsFunc(all, func(q job.Problem) bool { return strings.HasPrefix(q.What, "no "+stage+" yet: ") })
		if said == there {
			return fmt.Errorf("%s: there %v, said to be missing %v", stage, there, said)
		}
	}
	if p.Survey == nil || len(p.Survey.Rooms) != len(p.Job.Rooms) {
		return fmt.Errorf("%d rooms in the job are not all in the survey", len(p.Job.Rooms))
	}
	for r, room := range p.Survey.Rooms {
		for _, w := range room.Walls {
			var k int
			if _, err := fmt.Sscanf(w.Path, fmt.Sprintf("rooms[%d].walls[%%d]", r), &k); err != nil || k >= len(p.Job.Rooms[r].Walls) {
				return fmt.Errorf("%s is no wall of the job", w.Path)
			}
			if len(w.Outline) < 3 {
				return fmt.Errorf("%s has no shape", w.Path)
			}
		}
	}
	if len(all) > 0 && len(p.Alternatives) > 0 {
		return fmt.Errorf("alternatives of a job that is not whole")
	}
	return nil
}

// TestAsFarOfAnything: lines are taken out of the demonstration and values spoilt at
// random; there is always as much of a plan as there are reasons for the rest.
func TestAsFarOfAnything(t *testing.T) {
	job, _, _ := strings.Cut(string(examples.Bellwether), "\nalternatives:") // these take their time
	lines := strings.Split(job, "\n")
	figures := []string{"0", "1", "7", "40", "999", "2.7 m", "31 m", "5 ft", "16 °C", "85 %", "2 °C", "#000000", "-3", "1e9", "", "[]", "{}", "~", "[1, 2]", "{a: b}", "fine", "North"}
	rng := rand.New(rand.NewPCG(3, 5))
	whole, part, none := 0, 0, 0
	for range 80 {
		changed := slices.Clone(lines)
		for range 1 + rng.IntN(6) {
			n := rng.IntN(len(changed))
			key, _, ok := strings.Cut(changed[n], ": ")
			switch rng.IntN(3) {
			case 0:
				if ok && !strings.Contains(changed[n], "{") {
					changed[n] = key + ": " + figures[rng.IntN(len(figures))]
				}
			case 1:
				changed = slices.Delete(changed, n, n+1)
			default: // as when a whole group is taken out
				to := min(len(changed), n+1+rng.IntN(8))
				changed = slices.Delete(changed, n, to)
			}
		}
		src := strings.Join(changed, "\n")
		_, _, p, all := written(t, src)
		if err := whyNil(p, all); err != nil {
			t.Fatalf("%v\n%v\n%s", err, all, src)
		}
		switch {
		case p.Quote != nil:
			whole++
		case p.Method != nil && len(p.Method.Faces) > 0:
			part++
		default:
			none++
		}
	}
	if whole < 10 || part < 10 || none < 10 {
		t.Errorf("%d with a price, %d with a method, %d without: the changes no longer try all", whole, part, none)
	}
}

// FuzzAsFar: whatever is written, there is as much of a plan as reasons for the rest.
func FuzzAsFar(f *testing.F) {
	f.Add(string(examples.Bellwether))
	f.Add("scumble: 1\nrooms:\n- name: a\n  height: 2 m\n  walls: [{name: b, length: 3 m, finish: c}]\n")
	f.Fuzz(func(t *testing.T, src string) {
		_, _, p, all := written(t, src)
		if err := whyNil(p, all); err != nil {
			t.Fatalf("%v\n%v", err, all)
		}
	})
}

func BenchmarkAsFar(b *testing.B) {
	file, c := demo(b)
	for b.Loop() {
		plan.AsFar(file.Job, c, nil)
	}
}

func BenchmarkRun(b *testing.B) {
	file, c := demo(b)
	for b.Loop() {
		planned(b, file.Job, c)
	}
}
