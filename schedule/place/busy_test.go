package place

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func TestBusyAgreesWithMinutes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var b busy
		taken := make([]bool, 200)
		var in []Piece
		for range rapid.IntRange(1, 60).Draw(t, "moves") {
			if len(in) > 0 && rapid.Bool().Draw(t, "remove") {
				k := rapid.IntRange(0, len(in)-1).Draw(t, "which")
				b = b.remove(in[k])
				for w := in[k].From; w < in[k].To; w++ {
					taken[w] = false
				}
				in = slices.Delete(in, k, k+1)
				continue
			}
			from := rapid.IntRange(0, 190).Draw(t, "from")
			p := Piece{From: from, To: from + rapid.IntRange(1, 10).Draw(t, "length")}
			free := !slices.Contains(taken[p.From:p.To], true)
			got, until := b.free(p)
			if got != free || !free && !taken[until-1] || !free && until < len(taken) && taken[until] {
				t.Fatalf("%v in %v: free %v until %d, want %v", p, b, got, until, free)
			}
			if free {
				b = b.add(p)
				in = append(in, p)
				for w := p.From; w < p.To; w++ {
					taken[w] = true
				}
			}
		}
		for i := 1; i < len(b); i++ {
			if b[i-1].To >= b[i].From {
				t.Fatalf("not joined: %v", b)
			}
		}
	})
}
