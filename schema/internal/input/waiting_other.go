//go:build !unix

package input

// withoutWaiting has no meaning where pipes have no names among the files.
const withoutWaiting = 0
