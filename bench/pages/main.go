// Command pages measures the board under load: it starts the program, lets so many people
// edit a job each at once, and prints how long they wait and how much memory the program
// takes. It is a bench, not a test: nothing here passes or fails.
package main

import (
	"bufio"
	"bytes"
	"flag"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"scumble/examples"
)

func main() {
	program := flag.String("program", "./scumble", "the program to measure")
	people := flag.Int("people", 50, "people, each with a job of their own")
	edits := flag.Int("edits", 20, "edits of each")
	think := flag.Duration("think", 2*time.Second, "mean time between the edits of a person")
	walls := flag.Int("walls", 300, "walls of the large job")
	flag.Parse()
	if err := run(*program, *people, *edits, *think, *walls); err != nil {
		fmt.Fprintln(os.Stderr, "pages:", err)
		os.Exit(1)
	}
}

func run(program string, people, edits int, think time.Duration, walls int) error {
	dir, err := os.MkdirTemp("", "scumble-bench-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	begun := time.Now()
	server := exec.Command(program, "serve", "--addr", "127.0.0.1:0", "--data", dir)
	out, err := server.StdoutPipe()
	if err != nil {
		return err
	}
	if err := server.Start(); err != nil {
		return err
	}
	defer server.Process.Kill()
	lines := bufio.NewScanner(out)
	if !lines.Scan() {
		return fmt.Errorf("the program said nothing")
	}
	base := strings.TrimSuffix(regexp.MustCompile(`http://\S+`).FindString(lines.Text()), "/")
	fmt.Printf("start to its address: %d ms\n", time.Since(begun).Milliseconds())

	jobs := make([]string, people)
	for i := range jobs {
		if jobs[i], err = create(base, examples.Bellwether); err != nil {
			return err
		}
	}
	only, err := create(base, examples.Bellwether)
	if err != nil {
		return err
	}
	alone, wrong := person(base, only, 40, 0, people)
	told("one person, page after an edit", alone, wrong)
	var mu sync.Mutex
	var waits []time.Duration
	failed := 0
	var all sync.WaitGroup
	for i, id := range jobs {
		all.Go(func() {
			time.Sleep(think * time.Duration(i) / time.Duration(people))
			mine, wrong := person(base, id, edits, think, i)
			mu.Lock()
			defer mu.Unlock()
			waits, failed = append(waits, mine...), failed+wrong
		})
	}
	all.Wait()
	told(fmt.Sprintf("%d people, one edit in %s each", people, think), waits, failed)
	fmt.Printf("memory of the program, highest: %s\n", peak(server.Process.Pid))

	large, err := create(base, house(walls))
	if err != nil {
		return err
	}
	mine, wrong := person(base, large, 20, 0, 0)
	told(fmt.Sprintf("a job of %d walls, page after an edit", walls), mine, wrong)
	fmt.Printf("memory of the program, highest: %s\n", peak(server.Process.Pid))
	return nil
}

func create(base string, text []byte) (string, error) {
	answer, err := http.Post(base+"/api/v1/jobs", "application/json", strings.NewReader(`{"text": `+strconv.Quote(string(text))+`}`))
	if err != nil {
		return "", err
	}
	defer answer.Body.Close()
	body, _ := io.ReadAll(answer.Body)
	m := regexp.MustCompile(`"id":"([a-z0-9]+)"`).FindSubmatch(body)
	if m == nil {
		return "", fmt.Errorf("no job was made: %s", body)
	}
	return string(m[1]), nil
}

// person changes the length of a wall over and over and reads the page that comes back.
func person(base, id string, edits int, think time.Duration, who int) (waits []time.Duration, failed int) {
	revision := 1 // no two people ever have the same text, so no plan is shared
	for n := range edits {
		form := url.Values{"revision": {strconv.Itoa(revision)}, "back": {"/jobs/" + id + "/measure"}, "set:rooms[1].walls[0].length": {fmt.Sprintf("%d", 4500+30*who+n)}}
		r, err := http.NewRequest("POST", base+"/jobs/"+id+"/edit", strings.NewReader(form.Encode()))
		if err != nil {
			return waits, failed + 1
		}
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("HX-Request", "true")
		begun := time.Now()
		answer, err := http.DefaultClient.Do(r)
		if err != nil {
			failed++
			continue
		}
		page, err := io.ReadAll(answer.Body)
		answer.Body.Close()
		waits = append(waits, time.Since(begun))
		m := regexp.MustCompile(`name="revision" value="(\d+)"`).FindSubmatch(page)
		if err != nil || answer.StatusCode != http.StatusOK || m == nil {
			failed++
			continue
		}
		revision, _ = strconv.Atoi(string(m[1]))
		time.Sleep(think)
	}
	return waits, failed
}

func told(what string, waits []time.Duration, failed int) {
	slices.Sort(waits)
	if len(waits) == 0 {
		fmt.Printf("%s: none\n", what)
		return
	}
	fmt.Printf("%s: median %d ms, 95 of 100 within %d ms, longest %d ms, %d edits, %d failed\n", what, waits[len(waits)/2].Milliseconds(),
		waits[len(waits)*95/100].Milliseconds(), waits[len(waits)-1].Milliseconds(), len(waits), failed)
}

// peak is the highest resident memory of a process, where the system tells it.
func peak(pid int) string {
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		return "not told here"
	}
	return strings.TrimSpace(string(regexp.MustCompile(`VmHWM:\s*([^\n]+)`).FindSubmatch(status)[1]))
}

// house is the demonstration with its rooms over and over, until it has so many walls.
func house(walls int) []byte {
	text := string(examples.Bellwether)
	head, rest, _ := strings.Cut(text, "\nrooms:\n")
	rooms, tail, _ := strings.Cut(rest, "\nprices:")
	var out bytes.Buffer
	out.WriteString(head + "\nrooms:\n")
	for n := 0; n*30 < walls; n++ {
		copyOf := rooms
		if n > 0 {
			copyOf = regexp.MustCompile(`(?m)^  - name: (.*)$`).ReplaceAllString(rooms, fmt.Sprintf("  - name: $1 %d", n+1))
		}
		out.WriteString(strings.TrimRight(copyOf, "\n") + "\n\n")
	}
	out.WriteString("prices:" + tail)
	return out.Bytes()
}
