// Package thermal holds conductors, wires and bus bars alike, against the heat of what
// they carry: continuously and in the mean of the cycle, and at the end of each peak.
package thermal
