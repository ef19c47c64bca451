package job

import (
	"fmt"
	"strings"
	"testing"
)

// bigJob is a sound job with n walls, four to a room.
func bigJob(n int) []byte {
	var b strings.Builder
	b.WriteString(soundHead)
	for i := range n {
		if i%4 == 0 {
			fmt.Fprintf(&b, "  - name: Room %d\n    closed: true\n    height: 2.72 m\n    skirting: 140\n    substrate: gypsum-plaster\n    walls:\n", i/4+1)
		}
		fmt.Fprintf(&b, `      - name: Wall %d
        length: 4.83 m  # by laser
        finish: weave
        seen: 4
        openings:
          - {name: window, kind: window, left: 470, sill: 860, width: 1040, height: 1360, reveal: 210, paint: [sides, head]}
          - {name: door, kind: door, left: 6'10 1/2", sill: 0, width: 3', height: 6'9"}
`, i+1)
	}
	return []byte(b.String())
}

// soundHead is a sound job up to its rooms.
const soundHead = `scumble: 1
name: Bellwether House
date: 2027-02-15
currency: EUR
crew:
  start: 2027-03-08
  hours: [08:00-12:00, 12:30-16:30]
  people:
    - {name: Mara, rate: 38.00}
    - {name: Idris, rate: 34.00}
climate: {temp: 18 C, humidity: 55 %}
finishes:
  - id: weave
    technique: cross-drag-weave
    with: oil-glaze
    ground: {name: Sage light, hex: "#cdd7bd"}
    ground-b: {name: Sage deep, hex: "#8ba378"}
    glaze: {name: Fern, hex: "#b3c79b"}
    glaze-b: {name: Moss, hex: "#98b47e"}
terms: {rule: void-0-5}
rooms:
`

func BenchmarkRead(b *testing.B) {
	for _, n := range []int{10, 100, 1000} {
		src := bigJob(n)
		b.Run(fmt.Sprintf("%d-walls", n), func(b *testing.B) {
			b.ReportAllocs()
			b.SetBytes(int64(len(src)))
			for b.Loop() {
				if _, problems := Read("big.yaml", src); len(problems) > 0 {
					b.Fatal(problems[0])
				}
			}
		})
	}
}

func BenchmarkCheck(b *testing.B) {
	f, _ := Read("big.yaml", bigJob(1000))
	b.ReportAllocs()
	for b.Loop() {
		if problems := f.Check(); len(problems) > 0 {
			b.Fatal(problems[0])
		}
	}
}
