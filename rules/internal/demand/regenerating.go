package demand

import (
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// Regenerating lists the modes in which a controller feeds back, the batteries full; where
// none says so, those in which it drives, for what drives may brake.
func Regenerating(spec *schema.Spec, k *schema.Controller) (list []circuit.Case) {
	var drives []circuit.Case
	for id, m := range schema.Sorted(spec.Modes) {
		d := m.Draw[k.ID]
		switch {
		case d != nil && d.RegenA.Known:
			list = append(list, Full(id))
		case d != nil:
			drives = append(drives, Full(id))
		}
	}
	if len(list) > 0 {
		return list
	}
	return drives
}
