package job

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func FuzzRead(f *testing.F) {
	names, err := filepath.Glob("testdata/wrong/*.yaml")
	if err != nil {
		f.Fatal(err)
	}
	for _, name := range names {
		src, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(src)
	}
	f.Add(bigJob(2))
	f.Fuzz(func(t *testing.T, src []byte) {
		soundProblems(t, "fuzzed", src)
	})
}

func FuzzImportSurvey(f *testing.F) {
	for _, c := range importCases {
		f.Add([]byte(c.job), []byte(c.table))
	}
	f.Add(bigJob(3), []byte("room,wall,length\nRoom 1,Wall 1,4 m\n,Wall 9,5 m\nRoom 2,A,3 m\n"))
	f.Fuzz(func(t *testing.T, job, table []byte) {
		out, problems := ImportSurvey(job, "table.csv", table)
		if len(problems) > 0 {
			if out != nil {
				t.Error("there are problems, and yet a job")
			}
			return
		}
		file, problems := Read("job", out)
		if len(problems) > 0 {
			t.Fatalf("the job cannot be read any more: %v\n%s", problems, out)
		}
		for line := range strings.Lines(string(job)) {
			if strings.HasPrefix(line, "#") && !bytes.Contains(out, []byte(strings.TrimSpace(line))) {
				t.Errorf("the comment %q is lost", line)
			}
		}
		file.Check()
		again, problems := ImportSurvey(out, "table.csv", table)
		if len(problems) > 0 || !bytes.Equal(again, out) {
			t.Errorf("bringing the table in again changes the job: %v\n%s\n%s", problems, out, again)
		}
	})
}
