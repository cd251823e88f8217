package circuit_test

import (
	"encoding/json"
	"os"
	"testing"

	"go.yaml.in/yaml/v3"

	"example.org/headroom/schema"
)

func loadVehicle(t *testing.T, path string) *schema.Spec {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return interim(t, b)
}

func interim(t *testing.T, b []byte) *schema.Spec {
	var v map[string]any
	if err := yaml.Unmarshal(b, &v); err != nil {
		t.Fatal(err)
	}
	j, _ := json.Marshal(v)
	s := &schema.Spec{}
	s.Policy = bench().Policy
	s.Vehicle.AmbientC = schema.Span{Min: -10, Max: 40}
	if err := json.Unmarshal(j, s); err != nil {
		t.Fatal(err)
	}
	kinds := []string{"batteries", "fuses", "disconnects", "contactors", "relays", "resistors", "shunts", "meters", "switches", "converters", "chargers", "controllers", "loads", "diodes", "studs"}
	for id, p := range s.Parts() {
		c := p.Common()
		c.ID = id
		for _, k := range kinds {
			if m, ok := v[k].(map[string]any); ok && m[id] != nil {
				c.Kind = k
			}
		}
	}
	for id, w := range s.Wires {
		w.ID, w.Kind = id, "wires"
	}
	for id, w := range s.Busbars {
		w.ID, w.Kind = id, "busbars"
		if w.Material == "" {
			w.Material = "copper"
		}
	}
	for id, m := range s.Modes {
		m.ID = id
	}
	return s
}
