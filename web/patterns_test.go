package web

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// pattern is an address the program answers, as it is written where it is wired.
type pattern struct{ method, path string }

var (
	wired = regexp.MustCompile(`"(GET|POST|PUT|PATCH|DELETE) (/[^" ]*)?"(?:\s*\+\s*([\w.]+)(?:\s*\+\s*"([^"]*)")?)?`)
	slug  = regexp.MustCompile(`Slug:\s*"([a-z]+)"`)
)

// patternsOfSource finds every address in the source of the places, as a mux does not
// tell its own. Paths in names are looked up; a place has one page under its slug.
func patternsOfSource() (out []pattern, err error) {
	var text strings.Builder
	err = filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		if err == nil && strings.HasSuffix(path, ".go") && !strings.HasSuffix(path, "_test.go") && !strings.Contains(path, "internal") {
			src, readErr := os.ReadFile(path)
			text.Write(src)
			return readErr
		}
		return err
	})
	src := text.String()
	for _, m := range wired.FindAllStringSubmatch(src, -1) {
		method, path, name, rest := m[1], m[2], m[3], m[4]
		switch {
		case name == "":
			out = append(out, pattern{method, path})
		case strings.HasSuffix(name, "Slug"):
			for _, s := range slug.FindAllStringSubmatch(src, -1) {
				out = append(out, pattern{method, path + s[1] + rest})
			}
		default:
			if m := regexp.MustCompile(`\b` + regexp.QuoteMeta(name) + `\s*=\s*"([^"]*)"`).FindStringSubmatch(src); m != nil {
				out = append(out, pattern{method, path + m[1] + rest})
			}
		}
	}
	slices.SortFunc(out, func(a, b pattern) int { return strings.Compare(a.path+a.method, b.path+b.method) })
	return slices.Compact(out), err
}

var hole = regexp.MustCompile(`\{[^}]*\}`)

// filled puts a job and plain values into the holes of a path.
func filled(path, job string) string {
	path = strings.ReplaceAll(strings.ReplaceAll(path, "{$}", ""), "{job}", job)
	return hole.ReplaceAllString(path, "1")
}
