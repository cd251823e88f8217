// Package schema is the model of a specification: it finds specifications, and
// turns the bytes of one into a validated, typed Spec whose every value knows the
// place in the user's own file that it came from.
//
// A mistake in the specification is returned as a Problem, never as an error:
// an error says that the run could not be done (an unreadable file, say).
//
// What leads there stands below, and each knows only those before it:
//
//	internal/source  the text of a file, places in it, values as they were given, and the problems found
//	internal/spell   which word was meant by a misspelt one
//	internal/input   where specifications are read from: options, targets, the disk as far as it may be read
//	internal/find    which files are specifications
//	internal/define  the CUE definitions of the format, and what they say of each field
//	internal/read    bytes -> values with their places; from CUE, YAML and JSON
//	internal/check   what a specification says of itself: fields, values, references
//
// The types of the model stand here and not below, for they are what everything
// else is written in; what is below works on values as they were given, and needs
// of the model only which terminals a part has, which it is told.
package schema
