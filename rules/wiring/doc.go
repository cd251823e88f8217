// Package wiring holds the rules of the wiring family: what is connected
// to what, what protects it, and what stays live. The network itself is package
// circuit.
package wiring

import "example.org/headroom/rules"

// family is what the rules of this package belong to.
const family = "wiring"

// Rules lists the rules of the family.
func Rules() []*rules.Rule {
	return []*rules.Rule{
		terminalUnconnected(),
		conductorUnprotected(),
		parallelPackUnfused(),
		stringLinkLong(),
		polarityReversed(),
		batteryShorted(),
		contactorBypassed(),
		returnPathSecond(),
		disconnectLeavesLive(),
		networksJoined(),
		isolationUnmonitored(),
		keyOffBackfeed(),
		contactChatters(),
		supplyCollapses(),
		circuitUnsolved(),
		diodeOverloaded(),
		diodeVoltageLow(),
		resistorOverloaded(),
	}
}
