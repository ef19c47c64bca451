// Package golden compares what a test made with a file kept in testdata, and
// rewrites the file when the test runs with -update.
package golden

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"testing"
)

var update = flag.Bool("update", false, "rewrite golden files with what the tests make")

// Check fails the test unless got equals testdata/name.
func Check(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v; run the test with -update and read the new file before committing it", err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs from what was made; read both, then run with -update if the new one is right\n%s", path, firstDifference(want, got))
	}
}

// firstDifference shows the first line that differs.
func firstDifference(want, got []byte) string {
	w, g := bytes.Split(want, []byte("\n")), bytes.Split(got, []byte("\n"))
	for i := 0; i < len(w) || i < len(g); i++ {
		var a, b []byte
		if i < len(w) {
			a = w[i]
		}
		if i < len(g) {
			b = g[i]
		}
		if !bytes.Equal(a, b) {
			return "- " + string(a) + "\n+ " + string(b)
		}
	}
	return ""
}
