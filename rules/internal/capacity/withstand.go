package capacity

import (
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// WithstandV is the highest voltage that an element withstands and the path of the value;
// 0 if it states none.
func WithstandV(spec *schema.Spec, e *circuit.Edge) (v float64, path string) {
	switch e.Kind {
	case circuit.ControllerEdge:
		k := spec.Controllers[e.Part]
		return k.MaxV, k.Path() + ".max_V"
	case circuit.ConverterInput:
		k := spec.Converters[e.Part]
		return k.Input.MaxV, k.Path() + ".input.max_V"
	case circuit.LoadEdge:
		l := spec.Loads[e.Part]
		return l.MaxV.Or(0), l.Path() + ".max_V"
	case circuit.MeterEdge:
		m := spec.Meters[e.Part]
		if e.ID == e.Part+".supply" {
			return m.MaxV.Or(0), m.Path() + ".max_V"
		}
	}
	return 0, ""
}
