//go:build unix

package hostile

import (
	"os"
	"os/exec"
	"runtime"
	"syscall"
)

func makePipe(path string) error { return syscall.Mkfifo(path, 0o666) }

func ownGroup(cmd *exec.Cmd) { cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true} }

// killTree ends the process, its group, and what left the group.
func killTree(cmd *exec.Cmd) {
	for _, pid := range treeOf(cmd.Process.Pid) {
		_ = syscall.Kill(pid, syscall.SIGKILL)
	}
	_ = syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL)
}

// largest is the peak of the largest of the processes that ended, bytes.
func largest(state *os.ProcessState) int64 {
	usage, ok := state.SysUsage().(*syscall.Rusage)
	if !ok {
		return 0
	}
	if runtime.GOOS == "darwin" {
		return usage.Maxrss
	}
	return int64(usage.Maxrss) << 10
}
