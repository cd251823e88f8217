//go:build !unix

package engine

import "time"

var started = time.Now()

// processTime is the time since the process began, where its share of it is not known.
func processTime() time.Duration { return time.Since(started) }
