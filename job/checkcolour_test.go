package job

import (
	"strings"
	"testing"
)

// Every rule about colours catches its mistake, at its place, with what to do.
func TestColoursThatDoNotFit(t *testing.T) {
	const head = "scumble: 1\nname: A\ndate: 2027-02-15\ncurrency: EUR\n"
	for _, c := range []struct{ yaml, path, says string }{
		{"measured:\n  - {name: a}\n", "measured[0].values", "missing"},
		{"measured:\n  - {name: a, from: 400, step: 10, values: [41, 50]}\n", "measured[0].values[0]", "reflectance"},
		{"measured:\n  - {name: a, from: 500, step: 10, values: [0.4, 0.5]}\n", "measured[0].values", "500 to 510"},
		{"measured:\n  - {name: a, values: [0.4, 0.5]}\n", "measured[0].from", "missing"},
		{"measured:\n  - {name: a, lab: [50, 2]}\n", "measured[0].lab", "2 figures"},
		{"measured:\n  - {name: a, lab: [50, 2, 900]}\n", "measured[0].lab[2]", "CIELAB"},
		{"measured:\n  - {name: a, lab: [50, 2, 9]}\n  - {name: A, lab: [50, 2, 9]}\n", "measured[1].name", "another"},
		{"tints:\n  - {name: Leaf}\n", "tints[0].hex", "missing"},
		{"tints:\n  - {name: Leaf, hex: \"#00ff00\", over-black: \"#00f\"}\n", "tints[0].over-black", "no colour"},
		{"tints:\n  - {name: Leaf, hex: \"#00ff00\", over-black: card}\n", "tints[0].over-black", "no measured colour"},
		{"finishes:\n  - {id: a, technique: b, with: c, glaze: {name: G, hex: \"#112233\", recipe: Leaf}}\n", "finishes[0].glaze.recipe", "parts of a tint"},
		{"finishes:\n  - {id: a, technique: b, with: c, glaze: {name: G, hex: \"#112233\", recipe: 2 Leaf}}\n", "finishes[0].glaze.recipe", "no tint"},
		{"finishes:\n  - {id: a, technique: b, with: c, light: {least: 50 %, most: 40 %}}\n", "finishes[0].light.most", "less than the least"},
		{"finishes:\n  - {id: a, technique: b, with: c, boards: [{name: x}]}\n", "finishes[0].boards[0]", "nothing was seen"},
		{"finishes:\n  - {id: a, technique: b, with: c, boards: [{name: x, seen: [lighter, darker]}]}\n", "finishes[0].boards[0].seen", "exclude"},
		{"tints:\n  - {name: Leaf, hex: \"#00ff00\", angles: one}\n", "tints[0].angles", "1 names"},
		{"tints:\n  - {name: Leaf, hex: \"#00ff00\", angles: \"a, b, c\"}\n", "tints[0].angles", "no measured colour"},
		{"lamps: candle\n", "lamps", "candle"},
	} {
		f, problems := Read("a.yaml", []byte(head+c.yaml))
		problems = append(problems, f.Check()...)
		found := false
		for _, p := range problems {
			if p.Path == c.path && strings.Contains(p.What, c.says) {
				found = true
				if p.Do == "" || p.Line == 0 {
					t.Errorf("%s: no place or no advice: %v", c.path, p)
				}
			}
		}
		if !found {
			t.Errorf("%q: no problem at %s saying %q, but %v", c.yaml, c.path, c.says, problems)
		}
	}
}

func TestParts(t *testing.T) {
	got, err := Parts("3 Leaf green + 1,5 Chalk")
	if err != nil || len(got) != 2 || got[0] != (Part{"Leaf green", 3}) || got[1] != (Part{"Chalk", 1.5}) {
		t.Errorf("%v %v", got, err)
	}
	for _, wrong := range []string{"", "Leaf", "3", "0 Leaf", "-1 Leaf", "3 Leaf +", "x Leaf"} {
		if got, err := Parts(wrong); err == nil {
			t.Errorf("%q: %v", wrong, got)
		}
	}
}
