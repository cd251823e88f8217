package schema

import (
	"fmt"
	"strconv"
	"time"
)

// waivers checks what the definitions cannot say of waivers: that each day
// exists, and that no two accept the same finding on different terms.
func (k *consistency) waivers() {
	list := k.root.get("waivers")
	if list == nil || list.kind != listKind || list.broken {
		return
	}
	type finding struct{ rule, subject string }
	first := map[finding]int{}
	for i, d := range list.items {
		path := join("waivers", strconv.Itoa(i))
		k.day(d, path)
		rule, ok1 := d.str("rule")
		subject, ok2 := d.str("subject")
		if !ok1 || !ok2 {
			continue
		}
		before, again := first[finding{rule, subject}]
		if !again {
			first[finding{rule, subject}] = i
			continue
		}
		k.contradict(list.items[before].get("subject"), d.get("subject"), join(path, "subject"),
			fmt.Sprintf("%s accepts the finding %s of %s, and so does waivers.%d; which of them counts is not clear", path, rule, subject, before),
			"keep one of them")
		k.breakEntity(join("waivers", strconv.Itoa(before))) // neither is known to hold
	}
}

// day checks that the day on which a waiver expires is one of the calendar.
func (k *consistency) day(d *datum, path string) {
	expires := d.get("expires")
	if text, ok := d.str("expires"); ok {
		if _, err := time.Parse(time.DateOnly, text); err != nil {
			k.problem(expires, k.root.value, Problem{Rule: RuleMalformedValue, Path: join(path, "expires"),
				Message: fmt.Sprintf("%s is %s, and there is no such day", join(path, "expires"), quote(text)),
				Fix:     "give the last day on which the waiver holds"})
		}
	}
}
