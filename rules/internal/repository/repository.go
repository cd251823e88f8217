// Package repository finds the checkout that a test runs in, and with it the files
// that the tests of all packages share.
package repository

import (
	"os"
	"path/filepath"
)

// root is looked for at the start, since a test may change the working directory.
var root = find()

// Testdata is the path of a file or folder of testdata at the top of the checkout.
// It panics outside a checkout, where no test can run.
func Testdata(elements ...string) string {
	if root == "" {
		panic("no go.mod in the working directory or above it: tests run within a checkout")
	}
	return filepath.Join(append([]string{root, "testdata"}, elements...)...)
}

// find returns the folder of the nearest go.mod at or above the working directory,
// or "". The paths that the compiler records would not do: -trimpath shortens them.
func find() string {
	dir, err := os.Getwd()
	for err == nil {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
		above := filepath.Dir(dir)
		if above == dir {
			break
		}
		dir = above
	}
	return ""
}
