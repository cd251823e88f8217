// Package oracle is for tests: a second, deliberately simple reckoning of a
// vehicle, independent of calc, circuit and the rules. It reads the vehicle's
// JSON as generic maps, keeps its own tables of wires and fuses, and solves the
// circuit as a dense nodal system with a fixed point for what draws constant
// power. Where a relation leaves a choice it takes the lenient side, so that
// what it calls a fault is one by any reading.
//
// It shares no code with what it judges, and imports only the standard library
// and a matrix library.
package oracle
