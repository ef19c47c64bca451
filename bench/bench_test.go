// Package bench times whole runs. Nothing imports it and no test asserts a time;
// RESULTS.md holds what was measured, where and when.
package bench

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"scumble/catalog"
	"scumble/examples"
	"scumble/job"
	"scumble/plan"
	"scumble/schedule"
	"scumble/sheets"
)

func load(b *testing.B) (*job.Job, *catalog.Catalog) {
	b.Helper()
	c, err := catalog.Builtin()
	if err != nil {
		b.Fatal(err)
	}
	file, problems := job.Read(examples.BellwetherName, examples.Bellwether)
	if len(problems) > 0 {
		b.Fatal(problems)
	}
	return file.Job, c
}

// BenchmarkCatalog reads the built-in catalog, as every start of the program does.
func BenchmarkCatalog(b *testing.B) {
	for b.Loop() {
		if _, err := catalog.Load(catalog.Files()); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkReadJob reads and checks the demonstration job.
func BenchmarkReadJob(b *testing.B) {
	_, c := load(b)
	known := plan.Known(c)
	for b.Loop() {
		file, problems := job.Read(examples.BellwetherName, examples.Bellwether)
		if len(problems)+len(file.Check())+len(file.CheckAgainst(known)) > 0 {
			b.Fatal("the demonstration has problems")
		}
	}
}

// BenchmarkPlanDemo plans the demonstration without its alternatives or papers.
func BenchmarkPlanDemo(b *testing.B) {
	j, c := load(b)
	planned(b, j, c)
}

// planned plans a job as while somebody types, and as for papers; without its other ways.
func planned(b *testing.B, j *job.Job, c *catalog.Catalog) {
	for name, e := range map[string]schedule.Effort{"quick": schedule.Quick, "full": schedule.Full} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, problems, err := plan.Only(j, c, e); err != nil || len(problems) > 0 {
					b.Fatal(problems, err)
				}
			}
		})
	}
}

// BenchmarkPlanDemoAlternatives plans the demonstration with its two alternatives.
func BenchmarkPlanDemoAlternatives(b *testing.B) {
	j, c := load(b)
	for b.Loop() {
		if _, _, err := plan.Run(j, c); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkPlanWalls repeats the demonstration's rooms until there are so many walls.
func BenchmarkPlanWalls(b *testing.B) {
	for _, walls := range []int{10, 100, 1000} {
		b.Run(fmt.Sprint(walls), func(b *testing.B) {
			j, c := load(b)
			planned(b, repeated(j, walls), c)
		})
	}
}

// repeated is the job with its rooms copied until it has so many walls.
func repeated(j *job.Job, walls int) *job.Job {
	many := *j
	many.Rooms, many.Alternatives = nil, nil
	for n, turn := 0, 1; n < walls; turn++ {
		for _, r := range j.Rooms {
			if n >= walls {
				break
			}
			r.Name = fmt.Sprintf("%s %d", r.Name, turn)
			if n+len(r.Walls) > walls {
				r.Walls, r.Closed = r.Walls[:walls-n], false
			}
			n += len(r.Walls)
			many.Rooms = append(many.Rooms, r)
		}
	}
	return &many
}

// BenchmarkPack makes every paper of the demonstration from its plan.
func BenchmarkPack(b *testing.B) {
	j, c := load(b)
	p, _, err := plan.Run(j, c)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := sheets.Pack(b.Context(), p, sheets.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkProgram runs the built program: start to help, check, and the whole demonstration.
func BenchmarkProgram(b *testing.B) {
	dir := b.TempDir()
	program := filepath.Join(dir, "scumble")
	if out, err := exec.Command("go", "build", "-o", program, "../cmd/scumble").CombinedOutput(); err != nil {
		b.Fatalf("%v\n%s", err, out)
	}
	demo := filepath.Join(dir, "job.yaml")
	if err := os.WriteFile(demo, examples.Bellwether, 0o644); err != nil {
		b.Fatal(err)
	}
	for _, run := range []struct {
		name string
		args []string
	}{
		{"help", []string{"--help"}},
		{"check", []string{"check", demo}},
		{"demo", []string{"demo", "--once", "-o", filepath.Join(dir, "papers")}},
	} {
		b.Run(run.name, func(b *testing.B) {
			peak := 0.0
			for b.Loop() {
				cmd := exec.Command(program, run.args...)
				if err := cmd.Start(); err != nil {
					b.Fatal(err)
				}
				done := make(chan error)
				go func() { done <- cmd.Wait() }()
				peak = max(peak, watchMemory(b, cmd.Process.Pid, done))
			}
			b.ReportMetric(peak, "peak-MB")
		})
	}
}

// watchMemory reads the largest resident size of a process while it runs, in MB,
// where the system tells it (Linux, /proc/PID/status, VmHWM). The figure that wait
// returns will not do: it includes the process that started it.
func watchMemory(b *testing.B, pid int, done <-chan error) (peak float64) {
	tick := time.NewTicker(2 * time.Millisecond)
	defer tick.Stop()
	for {
		select {
		case err := <-done:
			if err != nil {
				b.Fatal(err)
			}
			return peak
		case <-tick.C:
			status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
			if err != nil {
				continue
			}
			if _, rest, ok := strings.Cut(string(status), "VmHWM:"); ok && strings.Contains(string(status), "Name:\tscumble") {
				var kB float64
				if _, err := fmt.Sscanf(rest, "%f kB", &kB); err == nil {
					peak = max(peak, kB*1024/1e6)
				}
			}
		}
	}
}
