//go:build oracle

package quantity

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"scumble/job"
	"scumble/unit"
)

// TestCheapestAgainstGLPK compares 240 random offers with glpsol (Debian glpk-utils).
func TestCheapestAgainstGLPK(t *testing.T) {
	dir := t.TempDir()
	random := rand.New(rand.NewPCG(2, 7))
	solved := 0
	for i := 0; solved < 240; i++ {
		need, packs, worth := randomShop(random)
		got, ok := Cheapest(need, packs, worth)
		if !ok {
			continue // GLPK has nothing to say about an offer that cannot be met
		}
		solved++
		want := glpk(t, filepath.Join(dir, fmt.Sprintf("case%d", i)), need, packs, worth)
		if mine := value(got, need, worth); math.Abs(mine-want) > 1e-4*max(1, math.Abs(want)) {
			t.Errorf("case %d: need %v of %+v: %v costs %v net, GLPK %v", i, need, packs, got.Counts, mine, want)
		}
	}
}

func randomShop(r *rand.Rand) (need float64, packs []job.Pack, worth Worth) {
	sizes := []float64{0.5, 0.75, 1, 2.5, 5, 10}
	r.Shuffle(len(sizes), func(i, j int) { sizes[i], sizes[j] = sizes[j], sizes[i] })
	for _, size := range sizes[:2+r.IntN(4)] {
		price := unit.Money(size * (800 + 1200*r.Float64()))
		p := pack(size, price)
		from := 1
		for range r.IntN(3) {
			from += 1 + r.IntN(6)
			price = unit.Money(float64(price) * (0.75 + 0.25*r.Float64()))
			p.Breaks = append(p.Breaks, breakAt(from, price))
		}
		if r.IntN(3) == 0 {
			p = atMost(p, r.IntN(8))
		}
		packs = append(packs, p)
	}
	need = math.Round(r.Float64()*6000) / 100
	return need, packs, worthOf(packs, 0.6*r.Float64())
}

// glpk solves the purchase as a mixed-integer programme: for each price stretch of
// each pack a whole number n held between its ends by a yes-or-no y.
func glpk(t *testing.T, path string, need float64, packs []job.Pack, worth Worth) float64 {
	t.Helper()
	var goal, rows, whole, yesNo strings.Builder
	fmt.Fprintf(&goal, "Minimize\n cost: - %.9f w", worth.PerLitre)
	held := ""
	for i := range packs {
		one := ""
		o := newOffer(i, &packs[i])
		for k, tier := range o.tiers {
			n, y := fmt.Sprintf("n%d_%d", i, k), fmt.Sprintf("y%d_%d", i, k)
			most := min(tier.to, 400)
			fmt.Fprintf(&goal, " + %d %s", tier.each, n)
			held += fmt.Sprintf(" + %.9f %s", packs[i].Litres, n)
			fmt.Fprintf(&rows, " %s - %d %s >= 0\n %s - %d %s <= 0\n", n, tier.from, y, n, most, y)
			one += " + " + y
			whole.WriteString(" " + n + "\n")
			yesNo.WriteString(" " + y + "\n")
		}
		if one != "" {
			rows.WriteString(one + " <= 1\n")
		}
	}
	model := fmt.Sprintf("%s\nSubject To\n%s >= %.9f\n%s - w >= %.9f\n%sBounds\n 0 <= w <= %.9f\nGeneral\n%sBinary\n%sEnd\n",
		goal.String(), held, need, held, need, rows.String(), worth.Cap, whole.String(), yesNo.String())
	if err := os.WriteFile(path+".lp", []byte(model), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("glpsol", "--lp", path+".lp", "--mipgap", "0", "-o", path+".sol").CombinedOutput()
	if err != nil {
		t.Fatalf("glpsol (install glpk-utils): %v\n%s", err, out)
	}
	solution, err := os.ReadFile(path + ".sol")
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(solution)) {
		if words := strings.Fields(line); len(words) > 3 && words[0] == "Objective:" {
			cost, err := strconv.ParseFloat(words[3], 64)
			if err != nil || !strings.Contains(string(solution), "INTEGER OPTIMAL") {
				t.Fatalf("glpsol did not solve %s: %v\n%s", path, err, solution)
			}
			return cost
		}
	}
	t.Fatalf("no objective in %s", solution)
	return 0
}
