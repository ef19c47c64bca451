//go:build oracle

package wall

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"scumble/sheets/internal/papertest"
	"strings"
	"testing"
)

// TestOracleSettingOutIsSoundAndSearchable: qpdf finds no fault, and pdftotext finds
// every mark on a page that names its wall (Debian: qpdf, poppler-utils).
func TestOracleSettingOutIsSoundAndSearchable(t *testing.T) {
	for _, paper := range []string{"A4", "Letter"} {
		d := papertest.SettingOutDesk(t, paper, nil)
		doc, err := SettingOut(d)
		if err != nil {
			t.Fatal(err)
		}
		var b, again bytes.Buffer
		if err := d.Fonts.WritePDF(&b, doc); err != nil {
			t.Fatal(err)
		}
		if doc, err = SettingOut(d); err != nil {
			t.Fatal(err)
		}
		if err := d.Fonts.WritePDF(&again, doc); err != nil || !bytes.Equal(b.Bytes(), again.Bytes()) {
			t.Errorf("%s: two runs differ (%v)", paper, err)
		}
		file := filepath.Join(t.TempDir(), "setting-out.pdf")
		if err := os.WriteFile(file, b.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
		if out, err := exec.Command("qpdf", "--check", file).CombinedOutput(); err != nil {
			t.Errorf("%s: qpdf: %v: %s", paper, err, out)
		}
		out, err := exec.Command("pdftotext", file, "-").Output()
		if err != nil {
			t.Fatal(err)
		}
		found := map[string]string{} // text of the pages that name a wall
		for _, page := range strings.Split(string(out), "\f") {
			text := " " + strings.Join(strings.Fields(strings.ReplaceAll(page, "\u202f", " ")), " ") + " "
			for _, room := range d.Plan.Survey.Rooms {
				for _, w := range room.Walls {
					if strings.Contains(text, room.Name+", "+w.Name+" ") {
						found[w.ID] += text
					}
				}
			}
		}
		for _, g := range d.Plan.SetOut.Groups {
			for _, s := range g.Options[g.Chosen].Faces {
				for _, m := range s.Marks {
					if figure := strings.ReplaceAll(m.Foot.MM(), "\u202f", " "); !strings.Contains(found[s.Face], " "+figure+" ") {
						t.Errorf("%s: %s: mark %s cannot be read", paper, s.Face, figure)
					}
				}
			}
		}
	}
}
