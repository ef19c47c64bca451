package main

import (
	"bytes"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"scumble/examples"
)

// TestDocumentsTellTheTruth runs every command of the guide, the README and the pages on
// data and on the interface that starts with "$ scumble" or "$ curl", and compares what
// it prints with what is written beneath it.
func TestDocumentsTellTheTruth(t *testing.T) {
	pages, err := filepath.Glob(filepath.Join("..", "..", "docs", "guide", "*.md"))
	if err != nil {
		t.Fatal(err)
	}
	for _, page := range []string{"README.md", "docs/api.md", "docs/data.md"} {
		pages = append(pages, filepath.Join("..", "..", page))
	}
	commands := 0
	for _, page := range pages {
		text, err := os.ReadFile(page)
		if err != nil {
			t.Fatal(err)
		}
		t.Run(filepath.Base(page), func(t *testing.T) {
			r := newReader(t)
			shown := blocks(string(text))
			for _, b := range shown {
				if b.name != "" {
					r.write(b.name, []byte(b.body))
				}
			}
			for _, b := range shown {
				if b.kind != "console" {
					continue
				}
				for _, example := range strings.Split("\n"+strings.ReplaceAll(b.body, "\\\n", ""), "\n$ ")[1:] {
					command, want, _ := strings.Cut(example, "\n")
					commands++
					out := r.output(command)
					for end := time.Now().Add(60 * time.Second); strings.Contains(command, "/TASK") && !printed(out, want) && time.Now().Before(end); time.Sleep(100 * time.Millisecond) {
						out = r.output(command) // the page says to ask again
					}
					if !printed(out, want) {
						t.Errorf("%s\nprints:\n%s\nthe page says:\n%s", command, out, want)
					}
				}
			}
		})
	}
	if commands < 40 {
		t.Errorf("only %d commands are shown in the documents", commands)
	}
}

// reader does what a page says, in a folder of its own, where the demonstration is a file
// and the first of the jobs in the browser.
type reader struct {
	*testing.T
	said    map[string]string // by command: the same one is shown in pieces
	names   *strings.Replacer // of ID and TASK, which are others each time
	id      string
	address string // where scumble serve answers
}

func newReader(t *testing.T) *reader {
	t.Helper()
	t.Chdir(t.TempDir())
	home := t.TempDir() // where the jobs are kept by itself
	t.Setenv("HOME", home)
	t.Setenv("XDG_CONFIG_HOME", home)
	t.Setenv("AppData", home)
	jobs, err := openJobs(dataFolder())
	if err != nil {
		t.Fatal(err)
	}
	defer jobs.Close()
	j, _, err := jobs.Create(t.Context(), "Bellwether House", "Saltern Ness", examples.Bellwether, "", "The demonstration", "new")
	if err != nil {
		t.Fatal(err)
	}
	r := &reader{T: t, said: map[string]string{}, id: j.ID, names: strings.NewReplacer("ID", j.ID)}
	r.write("bellwether.yaml", examples.Bellwether)
	return r
}

func (r *reader) write(name string, content []byte) {
	r.Helper()
	if err := os.WriteFile(name, content, 0o644); err != nil {
		r.Fatal(err)
	}
}

// output is what a command prints.
func (r *reader) output(command string) string {
	r.Helper()
	if rest, ok := strings.CutPrefix(command, "curl "); ok {
		return r.curl(words(rest))
	}
	args := words(strings.TrimPrefix(command, "scumble "))
	if slices.Equal(args, []string{"serve"}) {
		address, out := startedIn(r.T, dataFolder(), site{Addr: "127.0.0.1:0"}, nil)
		r.address = address
		return strings.Replace(out, address, "http://127.0.0.1:7340/", 1)
	}
	out, before := r.said[command]
	if !before {
		var b bytes.Buffer
		for i := range args {
			args[i] = r.names.Replace(args[i])
		}
		run(args, streams{&b, &b})
		out = b.String()
		r.said[command] = out
	}
	return out
}

// task is the answer that tells of a piece of work.
var task = regexp.MustCompile(`^\{"id":"([A-Z0-9]+)","title"`)

// curl sends what the command of this name would, and is what it prints.
func (r *reader) curl(args []string) string {
	r.Helper()
	method, target, into := "GET", "", ""
	header := http.Header{}
	var body []byte
	for i := 0; i < len(args); i++ {
		if !strings.HasPrefix(args[i], "-") {
			target = args[i]
			continue
		}
		flag := args[i]
		if i++; i == len(args) {
			r.Fatalf("curl %s: something is missing behind it", flag)
		}
		switch flag {
		case "-H":
			name, value, _ := strings.Cut(args[i], ": ")
			header.Set(name, value)
		case "-X":
			method = args[i]
		case "-o":
			into = args[i]
		case "-d", "--data-binary":
			method, body = "POST", []byte(args[i])
			if header.Get("Content-Type") == "" {
				header.Set("Content-Type", "application/x-www-form-urlencoded")
			}
			if name, ok := strings.CutPrefix(args[i], "@"); ok {
				var err error
				if body, err = os.ReadFile(name); err != nil {
					r.Fatal(err)
				}
			}
		default:
			r.Fatalf("curl %s is not known here", flag)
		}
	}
	path, ok := strings.CutPrefix(target, "http://127.0.0.1:7340/")
	if !ok || r.address == "" || strings.Contains(path, " ") {
		r.Fatalf("%q is not where the page serves the jobs, or not before", target)
	}
	request, err := http.NewRequestWithContext(r.Context(), method, r.address+r.names.Replace(path), bytes.NewReader(body))
	if err != nil {
		r.Fatal(err)
	}
	request.Header = header
	answer, err := http.DefaultClient.Do(request)
	if err != nil {
		r.Fatal(err)
	}
	defer answer.Body.Close()
	content, err := io.ReadAll(answer.Body)
	if err != nil {
		r.Fatal(err)
	}
	if m := task.FindSubmatch(content); m != nil {
		r.names = strings.NewReplacer("ID", r.id, "TASK", string(m[1]))
	}
	if into == "" {
		return string(content)
	}
	if answer.StatusCode != http.StatusOK || len(content) == 0 {
		r.Errorf("%s: %d, %d bytes: %.300s", target, answer.StatusCode, len(content), content)
	}
	r.write(into, content)
	return ""
}

type block struct{ kind, name, body string }

// blocks are the fenced blocks of a page; "```yaml tea.yaml" names a file.
func blocks(text string) []block {
	var out []block
	parts := strings.Split(text, "\n```")
	for i := 1; i < len(parts); i += 2 {
		head, body, _ := strings.Cut(parts[i], "\n")
		kind, name, _ := strings.Cut(strings.TrimSpace(head), " ")
		out = append(out, block{kind, name, body + "\n"})
	}
	return out
}

// words splits a command line at spaces outside quotes.
func words(line string) []string {
	var out []string
	for _, m := range regexp.MustCompile(`'([^']*)'|"([^"]*)"|([^\s'"]+)`).FindAllStringSubmatch(line, -1) {
		out = append(out, m[1]+m[2]+m[3])
	}
	return out
}

// printed tells whether got is want. A line "..." stands for any lines, and for
// the rest of the line before it and the beginning of the line after it;
// unbreakable spaces count as spaces.
func printed(got, want string) bool {
	plain := strings.NewReplacer("\u00a0", " ", "\u202f", " ", "\u202f", " ")
	lines := strings.Split(strings.TrimSpace(plain.Replace(want)), "\n")
	skipped := func(i int) bool { return i >= 0 && i < len(lines) && strings.TrimSpace(lines[i]) == "..." }
	pattern := `^`
	for i, line := range lines {
		if skipped(i) {
			pattern += `(?:.*\n)*?`
			continue
		}
		line = strings.ReplaceAll(regexp.QuoteMeta(line), `\.\.\.`, `.*`)
		if skipped(i - 1) {
			line = `.*` + line
		}
		if skipped(i + 1) {
			line += `.*`
		}
		pattern += line + `\n`
	}
	return regexp.MustCompile(pattern + `$`).MatchString(strings.TrimSpace(plain.Replace(got)) + "\n")
}
