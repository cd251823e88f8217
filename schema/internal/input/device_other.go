//go:build !unix

package input

import "io/fs"

// device is not known where file systems have no numbers.
func device(fs.FileInfo) (uint64, bool) { return 0, false }
