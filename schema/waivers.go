package schema

import (
	"fmt"
	"strconv"
	"time"
)

// Waiver is a recorded decision to accept one finding.
type Waiver struct {
	Index      int    `json:"-"` // in the list of waivers
	Rule       string `json:"rule"`
	Subject    string `json:"subject"`
	Reason     string `json:"reason"`
	ApprovedBy string `json:"approved_by"`
	Expires    string `json:"expires"` // the last day on which it holds, such as 2027-03-31
	DownTo     Number `json:"down_to"` // the least headroom that it covers
}

// Path is the path of the waiver in the spec, such as "waivers.0".
func (w *Waiver) Path() string { return join("waivers", strconv.Itoa(w.Index)) }

// LastDay is the last day on which the waiver holds, at midnight UTC.
func (w *Waiver) LastDay() time.Time {
	day, err := time.Parse(time.DateOnly, w.Expires)
	if err != nil {
		// The loader leaves out a waiver whose date does not exist; one made by
		// other means has expired.
		return time.Time{}
	}
	return day
}

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
