// Package source holds what is known of the files of a specification before
// anything is known of what they should say: their text, places in it, the values
// as they were given, and the problems found.
package source
