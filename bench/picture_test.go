package bench

import (
	"context"
	"maps"
	"slices"
	"testing"

	"scumble/appearance"
	"scumble/catalog"
	"scumble/examples"
	"scumble/job"
	"scumble/setout"
	"scumble/survey"
)

// BenchmarkPreview goes from the text of the demonstration to a picture of its longest
// wall of about a million pixels: read, measured, set out, painted.
func BenchmarkPreview(b *testing.B) {
	c, err := catalog.Builtin()
	if err != nil {
		b.Fatal(err)
	}
	reach := survey.Reaches{}
	for b.Loop() {
		file, problems := job.Read(examples.BellwetherName, examples.Bellwether)
		if len(problems) > 0 {
			b.Fatal(problems)
		}
		s, _ := survey.Measure(file.Job, reach)
		so, err := setout.Divide(s, file.Job, c)
		if err != nil {
			b.Fatal(err)
		}
		w, err := appearance.Of(file.Job, c, s, so, "Breakfast room/North")
		if err != nil {
			b.Fatal(err)
		}
		if _, err := appearance.Paint(context.Background(), w, appearance.Options{Scale: 0.29, Samples: 1}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkWall paints a wall of 5 by 2.5 m at a pixel to the mm in every technique,
// on all cores and on one.
func BenchmarkWall(b *testing.B) {
	c, err := catalog.Builtin()
	if err != nil {
		b.Fatal(err)
	}
	file, _ := job.Read(examples.BellwetherName, examples.Bellwether)
	finishes := map[string]string{} // technique -> finish of the demonstration
	for _, f := range file.Job.Finishes {
		if finishes[f.Technique] == "" {
			finishes[f.Technique] = f.ID
		}
	}
	for _, technique := range slices.Sorted(maps.Keys(finishes)) {
		f, err := appearance.Resolve(file.Job, c, finishes[technique])
		if err != nil {
			b.Fatal(err)
		}
		w := appearance.BoardWall(f, c, "bench", 5000, 2500)
		for _, workers := range []int{0, 1} {
			name := technique + "/all-cores"
			if workers == 1 {
				name = technique + "/one-core"
			}
			b.Run(name, func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					p, err := appearance.Paint(context.Background(), w, appearance.Options{Scale: 1, Samples: 1, Workers: workers})
					if err != nil {
						b.Fatal(err)
					}
					b.SetBytes(int64(len(p.Image.Pix)))
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/12.5e6, "ns/px")
			})
		}
	}
}

// BenchmarkSwatch works out the colours of a finish in figures.
func BenchmarkSwatch(b *testing.B) {
	c, err := catalog.Builtin()
	if err != nil {
		b.Fatal(err)
	}
	file, _ := job.Read(examples.BellwetherName, examples.Bellwether)
	for b.Loop() {
		f, err := appearance.Resolve(file.Job, c, "weave-sage")
		if err != nil {
			b.Fatal(err)
		}
		if _, err := appearance.SwatchOf(f, c, "LED-B1"); err != nil {
			b.Fatal(err)
		}
	}
}
