// Package check compares the values of a specification with the definitions, and
// with each other: unknown and missing fields, values that cannot be, references
// that lead nowhere. It words what is wrong, and what to do about it.
package check
