package precharge

import (
	"testing"

	"example.org/headroom/rules"
)

func TestPrechargeStaysLive(t *testing.T) {
	permanent := []string{"max_V: 500", "max_V: 500, permanent: true"}
	run(t, prechargeStaysLive(), []benchCase{
		{name: "a relay on the key", verdict: rules.Passed},
		{name: "on the contactor continuously", change: noRelay, verdict: rules.Failed, level: rules.Warning, message: "at 96 V"},
		{name: "declared permanent", change: join(noRelay, permanent), verdict: rules.Failed, level: rules.Note, message: "at 96 V", fix: "label"},
		// 96 V over 10.1 kOhm: 9.505 mA, 6.844 Ah in 720 h; 95.05 V at the bleed.
		{name: "with a bleed", change: join(noRelay, permanent, bleed("10")), verdict: rules.Failed, level: rules.Note, message: "95.05 V with the key off (mode parked) and draws 9.505 mA, 6.844 Ah"},
		{name: "the only modes are with the key", change: join(noRelay, []string{"  off: {}\n  parked: {closed: [d]}\n", ""}), verdict: rules.Failed, message: "at 96 V"},
	})
}
