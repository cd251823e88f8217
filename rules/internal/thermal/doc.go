// Package thermal checks conductors, wires and bus bars alike, against the heat of what
// they carry: continuously and as r.m.s. over the cycle, and at the end of each peak.
package thermal
