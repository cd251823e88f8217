//go:build !linux

package cli

// adviseLargePages does nothing where large pages are not asked for.
func adviseLargePages([]byte) {}
