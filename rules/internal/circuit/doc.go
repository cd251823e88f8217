// Package circuit turns a spec into an electrical network and answers the
// questions that rules ask of it: voltages and currents of a mode in a corner,
// contact states with their memory, fault levels, which fuse protects which
// conductor, and what stays connected or live when something is opened.
//
// Nodes are terminals; edges are conductors and the inner paths of parts.
// Voltages are in V, currents in A and resistances in Ohm throughout. The
// current of an edge is positive from its From node to its To node.
package circuit
