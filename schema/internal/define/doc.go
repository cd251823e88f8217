// Package define holds the CUE definitions of the format, and reads them: what
// each field must be, which values and forms it takes, and how to say so. Nothing
// of the format is written down twice.
package define
