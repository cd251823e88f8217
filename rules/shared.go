package rules

// Shared returns what the rules of one family share in a run under a name,
// made by the first that asks for it: work that they would otherwise each do
// again. What is shared depends on the spec alone, never on a rule. The rules
// of a family run in turn, so it needs no lock.
func Shared[T any](p *Pass, name string, make func() T) T {
	if v, ok := p.shared[name]; ok {
		return v.(T)
	}
	v := make()
	p.shared[name] = v
	return v
}
