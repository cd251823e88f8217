package check

import (
	"fmt"
	"strconv"
	"time"

	"example.org/headroom/schema/internal/source"
)

// waivers checks what the definitions cannot say of waivers: that each day
// exists, and that no two accept the same finding on different terms.
func (k *consistency) waivers() {
	list := k.root.Get("waivers")
	if list == nil || list.Kind != source.ListKind || list.Broken {
		return
	}
	type finding struct{ rule, subject string }
	first := map[finding]int{}
	for i, d := range list.Items {
		path := source.Join("waivers", strconv.Itoa(i))
		k.day(d, path)
		rule, ok1 := d.Str("rule")
		subject, ok2 := d.Str("subject")
		if !ok1 || !ok2 {
			continue
		}
		before, again := first[finding{rule, subject}]
		if !again {
			first[finding{rule, subject}] = i
			continue
		}
		k.contradict(list.Items[before].Get("subject"), d.Get("subject"), source.Join(path, "subject"),
			fmt.Sprintf("%s accepts the finding %s of %s, and so does waivers.%d", path, rule, subject, before),
			"keep one of them")
		k.BreakEntity(source.Join("waivers", strconv.Itoa(before))) // neither is known to hold
	}
}

// day checks that the day on which a waiver expires is one of the calendar.
func (k *consistency) day(d *source.Value, path string) {
	expires := d.Get("expires")
	if text, ok := d.Str("expires"); ok {
		if _, err := time.Parse(time.DateOnly, text); err != nil {
			k.problem(expires, k.root.Value, source.Problem{Rule: source.RuleMalformedValue, Path: source.Join(path, "expires"),
				Message: fmt.Sprintf("%s is %s, which is not a day of the calendar", source.Join(path, "expires"), source.Quote(text)),
				Fix:     "give the last day on which the waiver is valid"})
		}
	}
}
