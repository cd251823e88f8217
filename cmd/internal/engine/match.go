package engine

import (
	"path"

	"example.org/headroom/cmd/internal/review"
	"example.org/headroom/schema"
)

// Pair is a vehicle at both sides; one of them may be nil.
type Pair struct{ Old, Now *Vehicle }

// Match finds which vehicle of one side is which of the other: by path and name,
// else by name, else by path, else by what most of its parts are called.
func Match(old, now []*Vehicle) []Pair {
	var pairs []Pair
	left := map[*Vehicle]bool{}
	for _, o := range old {
		left[o] = true
	}
	take := func(same func(o, n *Vehicle) bool) func(n *Vehicle) *Vehicle {
		return func(n *Vehicle) *Vehicle {
			var found *Vehicle
			for _, o := range old {
				if left[o] && same(o, n) {
					if found != nil {
						return nil // which of the two is not clear
					}
					found = o
				}
			}
			delete(left, found)
			return found
		}
	}
	partner := map[*Vehicle]*Vehicle{}
	for _, by := range []func(o, n *Vehicle) bool{
		func(o, n *Vehicle) bool { return o.key == n.key && o.Name == n.Name },
		func(o, n *Vehicle) bool { return o.Name == n.Name && o.Loaded.Spec != nil && n.Loaded.Spec != nil },
		func(o, n *Vehicle) bool { return o.key == n.key },
		func(o, n *Vehicle) bool {
			return o.Loaded.Spec != nil && n.Loaded.Spec != nil && review.Likeness(o.Loaded.Spec, n.Loaded.Spec) > 0.6
		},
	} {
		find := take(by)
		for _, n := range now {
			if partner[n] == nil {
				if o := find(n); o != nil {
					partner[n] = o
				}
			}
		}
	}
	for _, n := range now {
		pairs = append(pairs, Pair{partner[n], n})
	}
	for _, o := range old {
		if left[o] {
			pairs = append(pairs, Pair{o, nil})
		}
	}
	return pairs
}

// converted reports whether a vehicle stays in its folder and is only written in
// another format: a package goes by the folder, YAML and JSON by the file.
func converted(a, b *Vehicle) bool {
	if b.Loaded.Target.Format == schema.FormatPackage {
		a, b = b, a
	}
	return a.Loaded.Target.Format == schema.FormatPackage && b.Loaded.Target.Format != schema.FormatPackage && path.Dir(b.key) == a.key
}
