package hostile

import (
	"errors"
	"os"
	"os/exec"
)

func makePipe(string) error { return errors.New("there are no named pipes in folders") }

func ownGroup(*exec.Cmd) {}

func killTree(cmd *exec.Cmd) { _ = cmd.Process.Kill() }

func largest(*os.ProcessState) int64 { return 0 }
