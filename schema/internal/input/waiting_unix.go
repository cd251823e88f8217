//go:build unix

package input

import "syscall"

// withoutWaiting opens a file that became a pipe without waiting for whoever
// writes to it, and a terminal without making it the program's own.
const withoutWaiting = syscall.O_NONBLOCK | syscall.O_NOCTTY
