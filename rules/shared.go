package rules

// Shared returns what the rules of one run share under a name, made by the
// first that asks for it: work that the rules of a family would otherwise each
// do again. What is shared depends on the spec alone, never on a rule.
func Shared[T any](p *Pass, name string, make func() T) T {
	if v, ok := p.shared[name]; ok {
		return v.(T)
	}
	v := make()
	p.shared[name] = v
	return v
}
