package circuit_test
import ("testing";"path/filepath";"example.org/headroom/rules/circuit")
func TestZZ(t *testing.T) {
	dir := t.TempDir()
	var failed, limiting, collapsed, blocked int
	for seed := range uint64(3000) {
		s := newSketch(seed)
		p := filepath.Join(dir, "v.yaml")
		write(t, p, s.vehicle())
		r := circuit.New(loadVehicle(t, p)).Solve(s.c)
		if r.Failed != "" { failed++; t.Logf("seed %d: %s", seed, r.Failed) }
		if len(r.Limiting) > 0 { limiting++ }
		if len(r.Collapsed) > 0 { collapsed++ }
		for id := range s.count { _ = id }
		for _, e := range circuit.New(loadVehicle(t, p)).Edges { if e.Kind == circuit.DiodeEdge && r.Current(e.ID) < 1e-6 { blocked++; break } }
	}
	t.Logf("failed %d limiting %d collapsed %d blocked %d", failed, limiting, collapsed, blocked)
}
