// Package find finds the files that are specifications, and says which look like
// one and are not read.
package find
