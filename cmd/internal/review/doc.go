// Package review compares two revisions of vehicles: what was edited, which
// headrooms moved by it, which edit moved them, and which findings are new,
// worse, gone or standing. It knows specifications and results, and nothing of
// git or of any output.
package review
