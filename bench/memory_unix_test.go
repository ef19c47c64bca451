//go:build unix

package bench

import (
	"os/exec"
	"runtime"
	"syscall"
)

// peakMemory is the largest resident size of a finished process, in bytes.
func peakMemory(cmd *exec.Cmd) int64 {
	usage, ok := cmd.ProcessState.SysUsage().(*syscall.Rusage)
	if !ok {
		return 0
	}
	if runtime.GOOS == "darwin" {
		return int64(usage.Maxrss)
	}
	return int64(usage.Maxrss) * 1024
}
