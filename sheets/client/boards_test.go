package client

import (
	"strings"
	"testing"

	"scumble/draw"
	"scumble/job"
	"scumble/sheets/internal/papertest"
	"scumble/unit"
)

// Each finish has one page on either paper: its board in proportion, what it must show
// and what it is made with.
func TestBoardsOfEveryFinish(t *testing.T) {
	for _, paper := range []string{"A4", "Letter"} {
		d := papertest.DemoDesk(t, paper)
		doc, err := Boards(d)
		if err != nil {
			t.Fatal(err)
		}
		finishes := finishesOf(d)
		if len(doc.Pages) != len(finishes)+1 { // and one of cautions
			t.Fatalf("%s: %d pages for %d finishes", paper, len(doc.Pages), len(finishes))
		}
		said := papertest.SaidOn(doc.Pages[len(finishes):]...)
		for i, f := range finishes {
			s := d.Shown(f.ID)
			cautions := boardCautions(d, faceWith(d, f))
			if len(cautions) == 0 {
				t.Errorf("%s is made without a caution", f.ID)
			}
			for _, c := range cautions {
				papertest.MustSay(t, papertest.SaidOn(doc.Pages[i]), c.Title)
				papertest.MustSay(t, said, c.Title, c.Text)
			}
			pictures := papertest.Drawn[draw.Image](doc.Pages[i].Items)
			if len(pictures) != 1 {
				t.Fatalf("%s: %d pictures", f.ID, len(pictures))
			}
			proportion(t, f.ID, pictures[0], s.Trial.Width/s.Trial.Height)
			papertest.MustSay(t, papertest.SaidOn(doc.Pages[i]), f.Name, d.Plan.Catalog.Techniques[f.Technique].Board,
				unit.Length(s.Trial.Width).MM(), unit.Length(s.Trial.Height).MM(), f.Ground.Name, f.Glaze.Name,
				unit.Figure(s.Finish.Glazes[0].Laid, 0)+" µm", "for the client", "for the contractor", "parts of thinner", "less contrast")
		}
	}
}

// What the paper says is to be typed is read by the job as it is meant.
func TestTypedBoardIsReadByTheJob(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	f := finishesOf(d)[1]
	s := d.Shown(f.ID)
	file, problems := job.Read("job.yaml", []byte("scumble: 1\n"+strings.Join(typedBoard(f, s), "\n")+"\n"))
	for _, p := range problems {
		if strings.HasPrefix(p.Path, "measured") || strings.Contains(p.Path, "boards") {
			t.Errorf("%s: %s", p.Path, p.What)
		}
	}
	if file == nil || file.Job == nil || len(file.Job.Finishes) != 1 || len(file.Job.Finishes[0].Boards) != 1 || len(file.Job.Measured) != 1 {
		t.Fatalf("read as %+v", file)
	}
	board, read := file.Job.Finishes[0].Boards[0], file.Job.Measured[0]
	if file.Job.Finishes[0].ID != f.ID || board.Whole != read.Name || board.Light != s.Swatch.Light.Hex || board.Dark != s.Swatch.Dark.Hex || len(board.Seen) != 2 || len(read.Lab) != 3 {
		t.Errorf("read as %+v and %+v", board, read)
	}
}
