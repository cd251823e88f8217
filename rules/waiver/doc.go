// Package waiver applies the waivers of a spec to the results of its checks: a
// finding that a waiver accepts becomes rules.Waived, and what is wrong with a
// waiver becomes a finding.
//
// A waiver accepts one finding, of one rule on one subject. What follows from
// that finding is not accepted with it: it has a rule and a subject of its own,
// mostly another part that fails in another way, and nobody has said that it is
// safe. So it stands by itself from then on, or under the next finding up its
// chain that still stands, and names the accepted one as a related place.
//
// What holds a mistake is never accepted: not the findings of the loader, since
// a check that rests on a misread file says nothing, and not those about waivers.
package waiver

import (
	"example.org/headroom/rules"
)

// family is what the rules of this package belong to.
const family = "record"

// Rules lists the rules about waivers. None has a Check: Apply applies them,
// since they are about the results of all others.
func Rules() []*rules.Rule {
	return []*rules.Rule{
		ruleUnknown(),
		subjectUnknown(),
		unused(),
		expired(),
		expiresSoon(),
		exceeded(),
	}
}
