// Package spell finds the word that a misspelt one was meant to be.
package spell
