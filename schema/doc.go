// Package schema holds the definitions of the spec format and turns the bytes
// of a specification into a validated, typed Spec whose every value knows the
// place in the user's own file that it came from.
//
// A mistake in the specification is returned as a Problem, never as an error:
// an error says that the run could not be done (an unreadable file, say).
package schema
