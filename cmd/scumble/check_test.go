package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// TestCheckTellsEverything runs check on every wrong job that is kept: it ends
// with 1, and each problem its file announces stands in the output with its place.
func TestCheckTellsEverything(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("..", "..", "job", "testdata", "wrong", "*.yaml"))
	if err != nil || len(files) < 60 {
		t.Fatalf("%d wrong jobs, %v", len(files), err)
	}
	announced := regexp.MustCompile(`(?m)^# want: (\d+:\d+) (.*)$`)
	for _, file := range files {
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var out, errs bytes.Buffer
		if code := run([]string{"check", file}, streams{&out, &errs}); code != exitProblem {
			t.Errorf("%s: exit %d", file, code)
		}
		for _, want := range announced.FindAllStringSubmatch(string(src), -1) {
			// What to do may name ids of the real catalog, which package job's own test has not.
			what, _, _ := strings.Cut(strings.TrimPrefix(want[2], "-: "), "; ")
			found := false
			for line := range strings.Lines(errs.String()) {
				found = found || strings.HasPrefix(line, file+":"+want[1]+": ") && strings.Contains(line, what)
			}
			if !found {
				t.Errorf("%s does not say %s %s:\n%s", file, want[1], want[2], errs.String())
			}
		}
	}
}
