package hostile

import (
	"bytes"
	"errors"
	"io"
	"os"
	"os/exec"
	"runtime"
	"strings"
	"sync"
	"time"
)

// result is what a run left.
type result struct {
	code           int // -1 where it was killed
	stdout, stderr string
	wall, cpu      time.Duration
	peak           int64 // bytes: of all its processes together where that can be watched, else of the largest
	stopped        string
	left           []string // processes that outlived it
	written        []string // files of the box that it wrote, relative to its root
}

// most is how much of an output is kept, and more than a run may print.
const most = 32 << 20

// capped keeps the beginning of what is written to it.
type capped struct {
	mu   sync.Mutex
	text bytes.Buffer
	cut  bool
}

func (c *capped) Write(p []byte) (int, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if room := most - c.text.Len(); room < len(p) {
		c.cut = true
		c.text.Write(p[:max(room, 0)])
	} else {
		c.text.Write(p)
	}
	return len(p), nil
}

// run runs an entry under its bounds and stops it, and all that it started, where it exceeds one.
func (b *box) run(e entry) result {
	b.t.Helper()
	command := e.command
	if command == nil {
		command = append([]string{program}, e.args...)
	}
	cmd := exec.Command(command[0], command[1:]...)
	cmd.Dir = b.path(".")
	cmd.Env = append(b.env(), "PROGRAM="+program)
	for _, setting := range e.env {
		cmd.Env = append(cmd.Env, strings.ReplaceAll(setting, "$BOX", b.root))
	}
	for i, arg := range cmd.Args {
		cmd.Args[i] = strings.ReplaceAll(arg, "$BOX", b.root)
	}
	var stdout, stderr capped
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	if e.stdin != nil {
		cmd.Stdin = strings.NewReader(e.stdin(b))
	}
	if e.stdinFile != "" {
		file, err := os.OpenFile(b.path(e.stdinFile), os.O_RDONLY, 0)
		if err != nil {
			b.t.Fatal(err)
		}
		defer file.Close()
		cmd.Stdin = file
	}
	cmd.WaitDelay = time.Second // for what holds its outputs open
	ownGroup(cmd)

	before := b.snapshot()
	start := time.Now()
	if err := cmd.Start(); err != nil {
		b.t.Fatal(err)
	}
	var r result
	ended, watched := make(chan error, 1), make(chan int64, 1)
	stop := make(chan struct{})
	go func() { ended <- cmd.Wait() }()
	exceeded := make(chan string, 1)
	wall, processors := *limit, time.Duration(0)
	if *busy {
		wall, processors = 30*wall, 2*wall // as much as two processors give
	}
	go func() { watched <- watch(cmd.Process.Pid, processors, stop, exceeded) }()
	timer := time.NewTimer(wall)
	defer timer.Stop()
	var err error
	select {
	case err = <-ended:
	case <-timer.C:
		r.stopped = "took more than " + wall.String()
	case r.stopped = <-exceeded:
	}
	if r.stopped != "" {
		killTree(cmd)
		err = <-ended
	}
	r.wall = time.Since(start)
	close(stop)
	if r.peak = <-watched; r.peak == 0 && runtime.GOOS != "linux" {
		r.peak = largest(cmd.ProcessState) // on Linux it begins with what this process has
	}
	r.code, r.cpu = cmd.ProcessState.ExitCode(), cmd.ProcessState.UserTime()+cmd.ProcessState.SystemTime()
	r.stdout, r.stderr = stdout.text.String(), stderr.text.String()
	var exit *exec.ExitError
	switch {
	case stdout.cut || stderr.cut:
		r.stopped = "printed more than 32 MiB"
	case errors.Is(err, exec.ErrWaitDelay):
		r.stopped = "left its output open"
	case err != nil && !errors.As(err, &exit) && !errors.Is(err, io.ErrClosedPipe) && r.stopped == "":
		r.stopped = err.Error()
	}
	r.left = leftBehind("HOSTILE_BOX=" + b.root)
	r.written = b.written(before)
	return r
}
