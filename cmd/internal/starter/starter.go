// Package starter holds the specification that init writes: a small, sound
// vehicle to start from, in CUE and in YAML.
package starter

import _ "embed"

//go:embed cart.cue
var cue []byte

//go:embed cart.yaml
var yaml []byte

// CUE returns the file name and the text of the specification in CUE.
func CUE() (name string, text []byte) { return "cart.cue", cue }

// YAML returns the file name and the text of the specification in YAML.
func YAML() (name string, text []byte) { return "cart.yaml", yaml }
