// Package read turns the bytes of a specification into values that know their
// places. A CUE specification is unified with the packages that it imports and with
// nothing else: the definitions serve only to know which values to look at.
package read
