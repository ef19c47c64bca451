package quantity

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"scumble/job"
	"scumble/unit"
)

func pack(litres float64, price unit.Money, breaks ...job.Break) job.Pack {
	return job.Pack{Litres: litres, Price: job.Money{Text: "typed", Value: price}, Breaks: breaks}
}

func atMost(p job.Pack, n int) job.Pack {
	p.Stock = &n
	return p
}

func breakAt(from int, price unit.Money) job.Break {
	return job.Break{From: from, Price: job.Money{Text: "typed", Value: price}}
}

// value is what a basket costs less the worth of what is left, in minor units.
func value(b Basket, need float64, w Worth) float64 {
	return float64(b.Cost) - w.PerLitre*min(max(b.Bought-need, 0), w.Cap)
}

func containers(b Basket) (n int) {
	for _, c := range b.Counts {
		n += c
	}
	return n
}

// TestCheapestByHand: sums done on paper.
func TestCheapestByHand(t *testing.T) {
	cases := []struct {
		name  string
		need  float64
		packs []job.Pack
		worth Worth
		want  []int
		cost  unit.Money
	}{
		{"one large is cheaper than what just fits", 6, []job.Pack{pack(2.5, 3000), pack(10, 6500)}, Worth{}, []int{0, 1}, 6500},
		{"two sizes together", 6, []job.Pack{pack(1, 1500), pack(5, 6000)}, Worth{}, []int{1, 1}, 7500},
		{"same cost, fewer containers", 5, []job.Pack{pack(1, 1000), pack(5, 5000)}, Worth{}, []int{0, 1}, 5000},
		{"a break makes three cheaper than two", 2, []job.Pack{pack(1, 1000, breakAt(3, 500))}, Worth{}, []int{3}, 1500},
		{"a break that does not pay", 2, []job.Pack{pack(1, 1000, breakAt(5, 500))}, Worth{}, []int{2}, 2000},
		{"stock runs short of the cheap size", 10, []job.Pack{atMost(pack(5, 2000), 1), pack(1, 900)}, Worth{}, []int{1, 5}, 6500},
		// 1 x 5 L at 60.00 leaves 1 L worth 6.00 (54.00); 4 x 1 L costs 56.00.
		{"what is left tips the scale", 4, []job.Pack{pack(1, 1400), pack(5, 6000)}, Worth{PerLitre: 600, Cap: 1}, []int{0, 1}, 6000},
		{"nothing needed", 0, []job.Pack{pack(1, 1000)}, Worth{}, []int{0}, 0},
		{"exactly one US gallon in quarts", 3.785411784, []job.Pack{pack(0.946352946, 500), pack(3.785411784, 2100)}, Worth{}, []int{4, 0}, 2000},
		{"a free pack", 3, []job.Pack{pack(1, 0), pack(3, 100)}, Worth{}, []int{3, 0}, 0},
	}
	for _, c := range cases {
		got, ok := Cheapest(c.need, c.packs, c.worth)
		if !ok || got.Cost != c.cost || !slices.Equal(got.Counts, c.want) {
			t.Errorf("%s: %v for %d, ok %v; want %v for %d", c.name, got.Counts, got.Cost, ok, c.want, c.cost)
		}
	}
}

func TestCheapestWhenStockIsShort(t *testing.T) {
	got, ok := Cheapest(10, []job.Pack{atMost(pack(2, 1000), 2), atMost(pack(1, 700), 3), pack(0, 10)}, Worth{})
	if ok || got.Bought != 7 || got.Cost != 2*1000+3*700 {
		t.Errorf("bought %v for %d, ok %v; want all 7 L for 4100 and not ok", got.Bought, got.Cost, ok)
	}
	if got, ok := Cheapest(1, nil, Worth{}); ok || got.Bought != 0 {
		t.Errorf("no packs at all: %v, ok %v", got, ok)
	}
	for _, need := range []float64{math.NaN(), math.Inf(1), 1e12} {
		if got, ok := Cheapest(need, []job.Pack{pack(1, 1)}, Worth{}); ok || got.Bought != 0 {
			t.Errorf("need %v: %v, ok %v", need, got, ok)
		}
	}
	if _, ok := Cheapest(-1, []job.Pack{pack(1, 1)}, Worth{}); !ok {
		t.Error("a need below zero is met by nothing")
	}
}

// shop draws an offer of up to four sizes on a grid of a quarter litre.
func shop(t *rapid.T) (need float64, packs []job.Pack, worth Worth) {
	n := rapid.IntRange(1, 4).Draw(t, "sizes")
	for range n {
		quarters := rapid.SampledFrom([]int{2, 3, 4, 10, 20, 40}).Draw(t, "quarters of a litre")
		p := pack(float64(quarters)/4, unit.Money(rapid.IntRange(0, 3000).Draw(t, "price")))
		for range rapid.IntRange(0, 2).Draw(t, "breaks") {
			p.Breaks = append(p.Breaks, breakAt(rapid.IntRange(1, 5).Draw(t, "from"), unit.Money(rapid.IntRange(0, 3000).Draw(t, "then"))))
		}
		if rapid.Bool().Draw(t, "short") {
			p = atMost(p, rapid.IntRange(0, 4).Draw(t, "stock"))
		}
		packs = append(packs, p)
	}
	need = float64(rapid.IntRange(1, 900).Draw(t, "need in hundredths")) / 100
	worth = Worth{PerLitre: float64(rapid.IntRange(0, 1500).Draw(t, "worth")), Cap: float64(rapid.IntRange(0, 8).Draw(t, "cap")) / 2}
	return need, packs, worth
}

// bruteForce tries every basket of up to the given number of each pack.
func bruteForce(need float64, packs []job.Pack, worth Worth) (best Basket, ok bool) {
	counts := make([]int, len(packs))
	least := math.Inf(1)
	var try func(i int)
	try = func(i int) {
		if i == len(packs) {
			b := total(packs, counts)
			if b.Bought < need-1e-9 {
				return
			}
			v := value(b, need, worth)
			if v < least-1e-6 || v < least+1e-6 && containers(b) < containers(best) {
				best, least, ok = Basket{Counts: slices.Clone(counts), Bought: b.Bought, Cost: b.Cost}, v, true
			}
			return
		}
		most := max(int(math.Ceil((need+worth.Cap)/packs[i].Litres))+1, 5) // 5: the highest break
		if packs[i].Stock != nil {
			most = min(most, *packs[i].Stock)
		}
		for counts[i] = 0; counts[i] <= most; counts[i]++ {
			try(i + 1)
		}
		counts[i] = 0
	}
	try(0)
	return best, ok
}

func TestCheapestAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		need, packs, worth := shop(t)
		if len(packs) > 3 {
			packs = packs[:3]
		}
		got, ok := Cheapest(need, packs, worth)
		want, possible := bruteForce(need, packs, worth)
		if ok != possible {
			t.Fatalf("ok %v, brute force %v", ok, possible)
		}
		if !ok {
			return
		}
		if math.Abs(value(got, need, worth)-value(want, need, worth)) > 1e-6 || containers(got) != containers(want) {
			t.Fatalf("%v costs %v net in %d containers; %v costs %v in %d", got.Counts, value(got, need, worth), containers(got),
				want.Counts, value(want, need, worth), containers(want))
		}
	})
}

func TestCheapestProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		need, packs, worth := shop(t)
		got, ok := Cheapest(need, packs, worth)
		for i, n := range got.Counts {
			if n < 0 || packs[i].Stock != nil && n > *packs[i].Stock {
				t.Fatalf("%d of pack %d", n, i)
			}
		}
		if ok != (got.Bought >= need-1e-9) {
			t.Fatalf("ok %v with %v for %v", ok, got.Bought, need)
		}
		_, more, _ := shop(t)
		wider, can := Cheapest(need, append(slices.Clone(packs), more[0]), worth)
		if ok && (!can || value(wider, need, worth) > value(got, need, worth)+1e-6) {
			t.Fatalf("one more size on offer and it costs %v instead of %v", value(wider, need, worth), value(got, need, worth))
		}
		back := slices.Clone(packs)
		slices.Reverse(back)
		turned, _ := Cheapest(need, back, worth)
		if math.Abs(value(turned, need, worth)-value(got, need, worth)) > 1e-6 || ok && containers(turned) != containers(got) {
			t.Fatalf("the order of the price list changes the basket: %v and %v", got, turned)
		}
	})
}

// TestCheapestWithOddSizes: litres and US gallons share no useful measure, so the
// grid is coarser than the sizes; the need must still be held, at almost the least cost.
func TestCheapestWithOddSizes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		need := rapid.Float64Range(0.01, 20).Draw(t, "need")
		packs := []job.Pack{pack(2.5, 2900), pack(3.785411784, 4100), pack(0.946352946, 1300)}
		got, ok := Cheapest(need, packs, Worth{})
		want, _ := bruteForce(need, packs, Worth{})
		// The grid is at most (20 + 3.8) L / 2^18 = 0.1 mL; ten packs lose under 1 mL.
		close, _ := bruteForce(need+0.001, packs, Worth{})
		if !ok || got.Bought < need-1e-9 || got.Cost < want.Cost || got.Cost > close.Cost {
			t.Fatalf("%v L in %v for %d; least %d, for a millilitre more %d", got.Bought, got.Counts, got.Cost, want.Cost, close.Cost)
		}
	})
}

// TestCheapestNeverPanics: prices, sizes and stocks as bad as a file can hold.
func TestCheapestNeverPanics(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var packs []job.Pack
		for range rapid.IntRange(0, 3).Draw(t, "sizes") {
			p := pack(rapid.Float64().Draw(t, "litres"), unit.Money(rapid.Int64().Draw(t, "price")),
				breakAt(rapid.Int().Draw(t, "from"), unit.Money(rapid.Int64().Draw(t, "then"))))
			if rapid.Bool().Draw(t, "short") {
				p = atMost(p, rapid.Int().Draw(t, "stock"))
			}
			packs = append(packs, p)
		}
		need := rapid.Float64().Draw(t, "need")
		if got, ok := Cheapest(need, packs, Worth{}); ok && got.Bought < need-1e-9 {
			t.Fatalf("%v for %v", got, need)
		}
	})
}

func TestWorthOfWhatIsLeft(t *testing.T) {
	packs := []job.Pack{pack(1, 2000), pack(5, 5000)} // 20.00 and 10.00 a litre, mean 15.00
	if got := worthOf(packs, 0.4); got != (Worth{PerLitre: 600, Cap: 1}) {
		t.Errorf("worth %v, want 6.00 a litre for at most 1 L", got)
	}
	if got := worthOf(packs, 0.9); got.PerLitre != 1000 {
		t.Errorf("worth %v a litre, want no more than the cheapest litre, 10.00", got.PerLitre)
	}
	if got := worthOf(packs, 0); got != (Worth{}) {
		t.Errorf("worth %v without a share", got)
	}
}

func BenchmarkCheapest(b *testing.B) {
	packs := []job.Pack{pack(0.75, 1900), pack(1, 2300), pack(2.5, 4900, breakAt(4, 4500)), pack(5, 9000), pack(10, 16500, breakAt(10, 15000))}
	for b.Loop() {
		Cheapest(1700, packs, Worth{PerLitre: 500, Cap: 0.75})
	}
}

func BenchmarkCheapestOddSizes(b *testing.B) {
	packs := []job.Pack{pack(2.5, 2900), pack(3.785411784, 4100), pack(0.946352946, 1300)}
	for b.Loop() {
		Cheapest(40, packs, Worth{})
	}
}
