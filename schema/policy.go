package schema

import (
	"sync"

	"example.org/headroom/schema/internal/define"
	"example.org/headroom/schema/internal/source"
)

// DefaultPolicy is the policy of a specification that gives none.
func DefaultPolicy() Policy { return defaultPolicy() }

var defaultPolicy = sync.OnceValue(func() Policy {
	var p Policy
	var c filler
	if err := c.fill(&p, &source.Value{Kind: source.ObjectKind}, define.Spec().Field("policy").Value); err != nil {
		panic("schema: the defaults of the policy do not fit it: " + err.Error()) // a test fills it
	}
	return p
})
