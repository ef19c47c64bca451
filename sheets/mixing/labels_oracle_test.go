//go:build oracle

package mixing

import (
	"path/filepath"
	"scumble/sheets/internal/papertest"
	"slices"
	"strings"
	"testing"
)

// zbarimg (Debian package zbar-tools) reads every code of the printed labels.
func TestOracleEveryCodeIsRead(t *testing.T) {
	for _, paper := range []string{"A4", "Letter"} {
		d := papertest.DemoDesk(t, paper)
		file := papertest.PDFFile(t, d, Mixes)
		papertest.RunTool(t, "pdftoppm", "-r", "150", "-gray", "-png", file, filepath.Join(filepath.Dir(file), "page"))
		pages, err := filepath.Glob(filepath.Join(filepath.Dir(file), "page*.png"))
		if err != nil || len(pages) == 0 {
			t.Fatal("no pages", err)
		}
		labels, err := labels(d)
		if err != nil {
			t.Fatal(err)
		}
		first := len(pages) - (len(labels)+7)/8 // labels come last
		out := papertest.RunTool(t, "zbarimg", append([]string{"--raw", "-q", "-Sdisable", "-Sqrcode.enable"}, pages[first:]...)...)
		got := strings.Split(strings.TrimSpace(out), "\n")
		var want []string
		for _, l := range labels {
			want = append(want, l.text)
		}
		slices.Sort(got)
		slices.Sort(want)
		if !slices.Equal(got, want) {
			t.Errorf("%s: %d codes read, want %d", paper, len(got), len(want))
			for _, w := range want {
				if !slices.Contains(got, w) {
					t.Errorf("not read: %q", w)
				}
			}
		}
	}
}
