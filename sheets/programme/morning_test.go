package programme

import (
	"strings"
	"testing"

	"scumble/method"
	"scumble/sheets/desk"
	"scumble/sheets/internal/papertest"
)

// eachSheet goes through the day sheets of the demonstration, as their work stands on them.
func eachSheet(d *desk.Desk, see func(person string, list []entry)) {
	steps, tasks := d.AllSteps(), d.Tasks()
	for _, day := range d.Plan.Programme.Days {
		for _, person := range day.People {
			see(person.Name, entries(d, person, steps, tasks))
		}
	}
}

// Of a pair one fills the tray: the amounts stand on one sheet of the two, and so does the bucket.
func TestOneOfAPairFillsTheTray(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	lone := 0
	eachSheet(d, func(person string, list []entry) {
		for _, e := range list {
			mix, _ := d.MixOf(e.step.ID)
			if mix == nil {
				continue
			}
			got := bucketsOf(d, []entry{e})
			if opens := strings.HasPrefix(got, mix.ID+" "); opens == (e.role == "works") {
				t.Errorf("%s %s %s: buckets %q", person, e.role, e.step.ID, got)
			}
			if e.role == "works" {
				lone++
			}
		}
	})
	if lone == 0 {
		t.Fatal("the demonstration has no work for two")
	}
}

// What must be so in the first hours of a day stands on the sheet of the evening before: a sponge
// that soaks for two hours cannot be thought of at eight.
func TestWhatMustBeSoEarlyIsSaidTheEveningBefore(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	steps := d.AllSteps()
	said := 0
	for i, day := range d.Plan.Programme.Days {
		for _, person := range day.People {
			lines := strings.Join(forTomorrow(d, i, person.Name), "\n")
			if i+1 == len(d.Plan.Programme.Days) {
				if lines != "" {
					t.Errorf("the last day tells of another: %q", lines)
				}
				continue
			}
			for _, next := range d.Plan.Programme.Days[i+1].People {
				if next.Name != person.Name || len(next.Turns) == 0 {
					continue
				}
				first := steps[next.Turns[0].Step]
				if first.Kind == method.Glaze && first.Begin != "" {
					said++
					papertest.MustSay(t, lines, next.Turns[0].From.Format("Monday 15:04"), PlaceWords(first), desk.Lowered(first.Begin))
				}
			}
		}
	}
	if said == 0 {
		t.Fatal("no day of the demonstration begins with a glaze that has to be made ready for")
	}
}

// A wall that may be wet is named to whoever works in its room, never to who works on it, and
// never once it is dry.
func TestWetWallsOfTheRoomAreNamed(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	steps := d.AllSteps()
	named := 0
	for i := range d.Plan.Programme.Tasks {
		at := &d.Plan.Programme.Tasks[i]
		s := steps[at.Step]
		wet := map[string]bool{}
		for _, o := range d.Plan.Programme.Tasks {
			if o.Room == s.Room && o.Face != s.Face && !o.End.After(at.Start) && o.Ready.Latest.After(at.Start) {
				wet[desk.WallName(o.Face)] = true
			}
		}
		got := wetBeside(d, s, at.Start)
		named += len(got)
		if len(got) != len(wet) {
			t.Errorf("%s at %s: %v is wet, named %v", at.Step, at.Start, wet, got)
		}
		for _, name := range got {
			if !wet[name] {
				t.Errorf("%s at %s: %s is dry", at.Step, at.Start, name)
			}
		}
	}
	if named == 0 {
		t.Fatal("no wall of the demonstration is ever wet beside another")
	}
}

// The two tones of a blend are one piece of work, and each sheet says till when or from when.
func TestTonesThatMergeGoHandInHand(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	pairs := 0
	eachSheet(d, func(_ string, list []entry) {
		for _, e := range list {
			if !strings.Contains(e.step.Do, "this and the next step together") {
				continue
			}
			pairs++
			papertest.MustSay(t, together(e, list), "Goes hand in hand with step", "till ")
		}
	})
	if pairs == 0 {
		t.Fatal("the demonstration has no blend")
	}
}
