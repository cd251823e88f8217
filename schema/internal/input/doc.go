// Package input is where specifications are read from: what a run is told, the
// disk as far as it may be read, and how files are named in messages.
package input
