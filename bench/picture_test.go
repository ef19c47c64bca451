package bench

import (
	"context"
	"maps"
	"runtime"
	"runtime/metrics"
	"slices"
	"testing"
	"time"

	"scumble/appearance"
	"scumble/appearance/finish"
	"scumble/catalog"
	"scumble/examples"
	"scumble/geom"
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

// finishesOf is the first finish of the job in each technique.
func finishesOf(j *job.Job) map[string]string {
	finishes := map[string]string{}
	for _, f := range j.Finishes {
		if finishes[f.Technique] == "" {
			finishes[f.Technique] = f.ID
		}
	}
	return finishes
}

// BenchmarkWall paints a wall of 5 by 2.5 m at a pixel to the mm in every technique,
// on all cores and on one. The largest heap is that of the wall and its picture, above
// what the catalog and the job take.
func BenchmarkWall(b *testing.B) {
	j, c := load(b)
	finishes := finishesOf(j)
	for _, technique := range slices.Sorted(maps.Keys(finishes)) {
		f, err := finish.Resolve(j, c, finishes[technique])
		if err != nil {
			b.Fatal(err)
		}
		w := appearance.BoardWall(f, c, "bench", 5000, 2500)
		paint := func(b *testing.B, workers int) {
			p, err := appearance.Paint(context.Background(), w, appearance.Options{Scale: 1, Samples: 1, Workers: workers})
			if err != nil {
				b.Fatal(err)
			}
			b.SetBytes(int64(len(p.Image.Pix)))
		}
		for _, workers := range []int{0, 1} {
			name := technique + "/all-cores"
			if workers == 1 {
				name = technique + "/one-core"
			}
			b.Run(name, func(b *testing.B) {
				for b.Loop() {
					paint(b, workers)
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/12.5e6, "ns/px")
				b.ReportMetric(largestHeap(func() { paint(b, workers) })/1e6, "heap-MB")
			})
		}
	}
}

// largestHeap is by how many bytes the heap grows at most while something runs, looked at
// every half millisecond; what is no longer used counts until it is collected.
func largestHeap(run func()) float64 {
	heap := func() float64 {
		sample := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}}
		metrics.Read(sample)
		return float64(sample[0].Value.Uint64())
	}
	runtime.GC()
	before, most := heap(), 0.0
	done := make(chan struct{})
	go func() {
		run()
		close(done)
	}()
	tick := time.NewTicker(time.Millisecond / 2)
	defer tick.Stop()
	for {
		most = max(most, heap()-before)
		select {
		case <-done:
			return most
		case <-tick.C:
		}
	}
}

// BenchmarkTables shows a change of colour on one pixel of a wall whose film is known:
// what that costs is the tables of its colours, of one glaze, of two in one film and of
// two on top of each other over two grounds.
func BenchmarkTables(b *testing.B) {
	j, c := load(b)
	for _, id := range []string{"drag-slate", "blend-apricot", "weave-sage"} {
		f, err := finish.Resolve(j, c, id)
		if err != nil {
			b.Fatal(err)
		}
		w := appearance.BoardWall(f, c, "bench", 400, 400)
		o := appearance.Options{Scale: 1, Samples: 1, Crop: geom.Bounds{Min: geom.Point{X: 200, Y: 200}, Max: geom.Point{X: 201, Y: 201}}}
		b.Run(f.Technique.ID, func(b *testing.B) {
			for b.Loop() {
				if _, err := appearance.Paint(context.Background(), w, o); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkSwatch works out the colours of a finish in figures.
func BenchmarkSwatch(b *testing.B) {
	j, c := load(b)
	for b.Loop() {
		f, err := finish.Resolve(j, c, "weave-sage")
		if err != nil {
			b.Fatal(err)
		}
		if _, err := finish.SwatchOf(f, c); err != nil {
			b.Fatal(err)
		}
	}
}
