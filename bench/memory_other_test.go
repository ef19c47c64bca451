//go:build !unix

package bench

import "os/exec"

// peakMemory is not measured here.
func peakMemory(*exec.Cmd) int64 { return 0 }
