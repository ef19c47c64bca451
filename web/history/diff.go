package history

import "strings"

// mostLines is how many changed lines on both sides are set line against line, in a table
// of 4 bytes each, so 16 MB; beyond, only the ends that are the same are left out.
const mostLines = 2000

// around is how many lines that stayed are shown round one that changed.
const around = 2

// diff sets two texts against each other line by line, by their longest common
// subsequence; what stayed is shown only near a change.
func diff(a, b string) []line {
	old, fresh := strings.Split(a, "\n"), strings.Split(b, "\n")
	head := 0
	for head < len(old) && head < len(fresh) && old[head] == fresh[head] {
		head++
	}
	tail := 0
	for tail < len(old)-head && tail < len(fresh)-head && old[len(old)-1-tail] == fresh[len(fresh)-1-tail] {
		tail++
	}
	middle := matched(old[head:len(old)-tail], fresh[head:len(fresh)-tail])
	var all []line
	for _, text := range old[:head] {
		all = append(all, line{"", text, ""})
	}
	all = append(all, middle...)
	for _, text := range old[len(old)-tail:] {
		all = append(all, line{"", text, ""})
	}
	return near(all)
}

func matched(old, fresh []string) []line {
	n, m := len(old), len(fresh)
	if n*m > mostLines*mostLines {
		n, m = 0, 0 // too much to set line against line
	}
	common := make([][]int32, n+1)
	for i := range common {
		common[i] = make([]int32, m+1)
	}
	for i := n - 1; i >= 0; i-- {
		for k := m - 1; k >= 0; k-- {
			if old[i] == fresh[k] {
				common[i][k] = common[i+1][k+1] + 1
			} else {
				common[i][k] = max(common[i+1][k], common[i][k+1])
			}
		}
	}
	var out []line
	i, k := 0, 0
	for i < len(old) || k < len(fresh) {
		switch {
		case i < n && k < m && old[i] == fresh[k]:
			out = append(out, line{"", old[i], ""})
			i, k = i+1, k+1
		case k >= len(fresh) || i < len(old) && (i >= n || k >= m || common[i+1][k] >= common[i][k+1]):
			out = append(out, line{"−", old[i], "taken out"})
			i++
		default:
			out = append(out, line{"+", fresh[k], "new"})
			k++
		}
	}
	return out
}

// near keeps the lines that changed and some round them.
func near(all []line) []line {
	keep := make([]bool, len(all))
	for i := range all {
		if all[i].Sign == "" {
			continue
		}
		for k := max(0, i-around); k <= min(len(all)-1, i+around); k++ {
			keep[k] = true
		}
	}
	var out []line
	for i, l := range all {
		switch {
		case keep[i]:
			out = append(out, l)
		case i > 0 && keep[i-1]:
			out = append(out, line{"", "…", ""})
		}
	}
	return out
}
