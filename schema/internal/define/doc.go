// Package define holds the CUE definitions of the format, and what is made from
// them: what each field must be, which values and forms it takes, and how to say so.
//
// A run does not read the CUE files, which takes longer than the rest of a small
// vehicle. They are read by the test of this package, which makes a table in Go of
// each (batteries_table.go of batteries.cue) and fails when one is out of date:
//
//	go test ./schema/internal/define -update
package define
