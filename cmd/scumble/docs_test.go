package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// TestDocumentsTellTheTruth runs every command of the guide and the README that
// starts with "$ scumble" and compares what it prints with what is written
// beneath it.
func TestDocumentsTellTheTruth(t *testing.T) {
	pages, err := filepath.Glob(filepath.Join("..", "..", "docs", "guide", "*.md"))
	if err != nil {
		t.Fatal(err)
	}
	pages = append(pages, filepath.Join("..", "..", "README.md"))
	commands := 0
	for _, page := range pages {
		text, err := os.ReadFile(page)
		if err != nil {
			t.Fatal(err)
		}
		files := map[string]string{}
		t.Run(filepath.Base(page), func(t *testing.T) {
			here := t.TempDir()
			demo, err := os.ReadFile(filepath.Join("..", "..", "examples", "bellwether", "job.yaml"))
			if err != nil {
				t.Fatal(err)
			}
			files["bellwether.yaml"] = string(demo)
			for _, b := range blocks(string(text)) {
				if b.name != "" {
					files[b.name] = b.body
				}
			}
			for name, body := range files {
				if err := os.WriteFile(filepath.Join(here, name), []byte(body), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			t.Chdir(here)
			said := map[string]string{}
			for _, b := range blocks(string(text)) {
				if b.kind != "console" {
					continue
				}
				for _, example := range strings.Split("\n"+b.body, "\n$ ")[1:] {
					command, want, _ := strings.Cut(example, "\n")
					commands++
					out, before := said[command]
					if !before { // the same command is shown in pieces
						var b bytes.Buffer
						run(words(strings.TrimPrefix(command, "scumble ")), streams{&b, &b})
						out = b.String()
						said[command] = out
					}
					if !printed(out, want) {
						t.Errorf("%s\nprints:\n%s\nthe page says:\n%s", command, out, want)
					}
				}
			}
		})
	}
	if commands < 8 {
		t.Errorf("only %d commands are shown in the documents", commands)
	}
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

// words splits a command line at spaces outside double quotes.
func words(line string) []string {
	var out []string
	for i, part := range strings.Split(line, `"`) {
		if i%2 == 1 {
			out = append(out, part)
		} else {
			out = append(out, strings.Fields(part)...)
		}
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
