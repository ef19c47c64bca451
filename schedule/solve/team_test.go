package solve

import (
	"testing"

	"pgregory.net/rapid"

	"scumble/schedule/place"
)

// teamsAtOnce is as many teams as can be picked one after the other, in the best order.
func TestTeamsAtOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := &place.Problem{}
		for range rapid.IntRange(1, 6).Draw(t, "people") {
			p.People = append(p.People, place.Person{Skills: rapid.SampledFrom([]string{"l", "w", "p", "lw", "lp", "wp", "lwp"}).Draw(t, "skills")})
		}
		needs := rapid.SampledFrom([]string{"lw", "ww", "lwp", "lp", "lll"}).Draw(t, "needs")
		p.Able(needs)
		var most func(taken int) int
		most = func(taken int) (best int) {
			for _, team := range p.Teams[needs] {
				set := 0
				for _, who := range team.People {
					set |= 1 << who
				}
				if taken&set == 0 {
					best = max(best, 1+most(taken|set))
				}
			}
			return best
		}
		if got, want := teamsAtOnce(p, needs), most(0); got != want {
			t.Fatalf("%d teams, want %d", got, want)
		}
	})
}
