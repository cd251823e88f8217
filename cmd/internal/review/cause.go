package review

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"maps"
	"math"
	"slices"
	"strings"

	"example.org/headroom/cmd/internal/parallel"
	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// Changes groups edits. Each value stands alone, but for the wiring: parts,
// conductors and modes that were added or removed, ends of conductors, and
// lists that name parts belong together where they name the same things, since
// one without the others is no specification.
func Changes(old, now *schema.Spec, edits []report.Edit) []report.Change {
	root := make([]int, len(edits))
	for i := range root {
		root[i] = i
	}
	find := func(i int) int {
		for root[i] != i {
			i = root[i]
		}
		return i
	}
	holder := map[string]int{} // what names something that was added or removed
	struck := map[string]bool{}
	for _, e := range edits {
		if e.Field == "" {
			struck[e.Entity] = true
		}
	}
	var before, after map[string]string
	if len(struck) > 0 { // else nothing belongs together
		before, after = old.Values(), now.Values()
	}
	for i, e := range edits {
		for _, name := range namedBy(e, before, after) {
			if !struck[name] {
				continue
			}
			if first, ok := holder[name]; ok {
				root[find(i)] = find(first)
			} else {
				holder[name] = i
			}
		}
	}
	groups := map[int]*report.Change{}
	var order []int
	for i, e := range edits {
		r := find(i)
		if groups[r] == nil {
			groups[r] = &report.Change{}
			order = append(order, r)
		}
		groups[r].Edits = append(groups[r].Edits, e)
	}
	changes := make([]report.Change, len(order))
	for i, r := range order {
		changes[i] = *groups[r]
	}
	return changes
}

// namedBy lists the ids that an edit is about: its own where something was
// added or removed, and those that its values name.
func namedBy(e report.Edit, before, after map[string]string) []string {
	var names []string
	collect := func(values map[string]string) {
		for path, value := range values {
			if path == e.Path || e.Field == "" && strings.HasPrefix(path, e.Path+".") {
				names = append(names, idsIn(value)...)
			}
		}
	}
	if e.Field == "" {
		names = append(names, e.Entity)
		_, id, _ := split(e.Path)
		names = append(names, id)
	}
	collect(before)
	collect(after)
	return names
}

// idsIn lists the texts in a value that may be ids, those of terminals by their part.
func idsIn(value string) []string {
	var v any
	if json.Unmarshal([]byte(value), &v) != nil {
		return nil
	}
	list, ok := v.([]any)
	if !ok {
		list = []any{v}
	}
	var names []string
	for _, item := range list {
		switch x := item.(type) {
		case string:
			id, _, _ := strings.Cut(x, ".")
			names = append(names, id)
		case map[string]any: // a step of the cycle
			if mode, ok := x["mode"].(string); ok {
				names = append(names, "mode "+mode)
			}
		}
	}
	return names
}

// laboratory applies changes to the old revision and checks what comes out.
type laboratory struct {
	ctx           context.Context
	before, after *schema.Spec
	old, now      map[string]any // the same as given, once trials have begun
	rules         []*rules.Rule
}

// errUnsound says that a set of changes by itself leaves no sound specification.
var errUnsound = errors.New("the changes by themselves do not give a specification that can be read")

// results checks the old revision with some changes carried out.
func (l *laboratory) results(changes ...report.Change) (map[string]rules.Result, error) {
	tree := copied(l.old).(map[string]any)
	for _, c := range changes {
		for _, e := range c.Edits {
			transfer(tree, l.now, strings.Split(e.Path, "."))
		}
	}
	text, err := json.Marshal(tree)
	if err != nil {
		return nil, err
	}
	loaded := schema.Read(l.ctx, schema.Target{Path: schema.Stdin, Format: schema.FormatJSON}, schema.Options{Stdin: bytes.NewReader(text), StdinName: "review.json"})
	switch {
	case loaded.Err != nil:
		return nil, loaded.Err
	case len(loaded.Problems) > 0 || loaded.Spec == nil:
		return nil, errUnsound
	}
	list, err := rules.RunFor(l.ctx, rules.Reading{}, loaded.Spec, l.rules)
	if err != nil {
		return nil, err
	}
	return byKey(list), nil
}

func byKey(list []rules.Result) map[string]rules.Result {
	m := make(map[string]rules.Result, len(list))
	for _, r := range list {
		m[r.Key()] = r
	}
	return m
}

// transfer sets the value of a path to what another tree has there, or removes
// it where that has none. A number of one tree may be a group in the other
// (resistance_mOhm); then the group is the value.
func transfer(to, from map[string]any, path []string) {
	name := path[0]
	source, there := from[name]
	if len(path) == 1 {
		if there {
			to[name] = copied(source)
		} else {
			delete(to, name)
		}
		return
	}
	inner, isGroup := source.(map[string]any)
	target, hasGroup := to[name].(map[string]any)
	switch {
	case !there:
		inner = map[string]any{}
	case !isGroup:
		to[name] = copied(source)
		return
	}
	if !hasGroup {
		target = map[string]any{}
		to[name] = target
	}
	transfer(target, inner, path[1:])
	if len(target) == 0 && !there {
		delete(to, name)
	}
}

// copied is a deep copy of plain data.
func copied(v any) any {
	switch x := v.(type) {
	case map[string]any:
		m := maps.Clone(x)
		for k := range m {
			m[k] = copied(m[k])
		}
		return m
	case []any:
		s := slices.Clone(x)
		for i := range s {
			s[i] = copied(s[i])
		}
		return s
	}
	return v
}

// greatestChanges is up to how many changes are tried one by one.
const greatestChanges = 64

// Differences in a headroom below these, as fractions, are nothing: of a share,
// and of the product of the shares against the whole.
const (
	negligibleShare = 0.001
	agreement       = 0.01
)

// causes finds out which changes moved each of the checks that are named by
// their keys. It returns nil where there are too many changes to try.
func causes(l *laboratory, changes []report.Change, before, after map[string]rules.Result, keys []string) (map[string]report.Cause, error) {
	if len(keys) == 0 || len(changes) == 0 || len(changes) > greatestChanges {
		return nil, nil
	}
	out := map[string]report.Cause{}
	if len(changes) == 1 { // the old revision with it is the new one
		for _, key := range keys {
			out[key] = report.Cause{Shares: []report.Share{{Change: changes[0], Factor: ratio(after[key], before[key])}}}
		}
		return out, nil
	}
	alone, err := l.trials(changes, func(k int) []report.Change { return changes[k : k+1] })
	if err != nil {
		return nil, err
	}
	interact := false
	for _, key := range keys {
		out[key] = causeOf(key, changes, before[key], after[key], alone)
		interact = interact || out[key].Interact
	}
	if !interact {
		return out, nil
	}
	without, err := l.trials(changes, func(k int) []report.Change { return slices.Concat(changes[:k], changes[k+1:]) })
	if err != nil {
		return nil, err
	}
	for key, cause := range out {
		if cause.Interact {
			out[key] = interacting(cause, key, changes, after[key], without)
		}
	}
	return out, nil
}

// trials checks the old revision once for each change, with those changes
// carried out that chosen gives for it. What is no specification then gives nil.
func (l *laboratory) trials(changes []report.Change, chosen func(k int) []report.Change) ([]map[string]rules.Result, error) {
	out := make([]map[string]rules.Result, len(changes))
	errs := make([]error, len(changes))
	if l.old == nil {
		l.old, l.now = given(l.before), given(l.after)
	}
	parallel.Each(len(changes), func(k int) { out[k], errs[k] = l.results(chosen(k)...) })
	for _, err := range errs {
		if err != nil && !errors.Is(err, errUnsound) {
			return nil, err
		}
	}
	return out, nil
}

func causeOf(key string, changes []report.Change, before, after rules.Result, alone []map[string]rules.Result) report.Cause {
	var cause report.Cause
	product := 1.0
	for k, change := range changes {
		s := report.Share{Change: change, Factor: moved(before, alone[k], key)}
		if s.Factor > 0 {
			product *= s.Factor
		}
		if s.Factor == 0 || math.Abs(s.Factor-1) > negligibleShare {
			cause.Shares = append(cause.Shares, s)
		}
	}
	sortShares(&cause)
	whole := ratio(after, before)
	cause.Interact = whole > 0 && math.Abs(product/whole-1) > agreement
	if !cause.Interact {
		// What cannot be made alone and is not needed to explain the whole has
		// nothing to do with it.
		cause.Shares = slices.DeleteFunc(cause.Shares, func(s report.Share) bool { return s.Factor == 0 })
	}
	return cause
}

// interacting takes a cause apart again by what each change does on top of all
// others: one that does nothing alone may do much then.
func interacting(c report.Cause, key string, changes []report.Change, after rules.Result, without []map[string]rules.Result) report.Cause {
	alone := map[*report.Edit]float64{}
	for _, s := range c.Shares {
		alone[&s.Change.Edits[0]] = s.Factor
	}
	out := report.Cause{Interact: true}
	for k, change := range changes {
		s := report.Share{Change: change, Factor: 1}
		if f, ok := alone[&change.Edits[0]]; ok {
			s.Factor = f
		}
		if other, ok := without[k][key]; ok {
			s.Last = ratio(after, other)
		}
		if math.Abs(s.Factor-1) > negligibleShare && s.Factor != 0 || s.Last > 0 && math.Abs(s.Last-1) > negligibleShare {
			out.Shares = append(out.Shares, s)
		}
	}
	sortShares(&out)
	return out
}

// sortShares puts the change that does the most first.
func sortShares(c *report.Cause) {
	slices.SortStableFunc(c.Shares, func(a, b report.Share) int { return cmp.Compare(weight(b), weight(a)) })
}

// weight is how much a change does, in either direction: on top of the others
// where that is known, else alone.
func weight(s report.Share) float64 {
	f := cmp.Or(s.Last, s.Factor)
	if f <= 0 {
		return 0
	}
	return math.Abs(math.Log(f))
}

// moved is the headroom of a check in other results over that before, 0 where
// it cannot be told.
func moved(before rules.Result, other map[string]rules.Result, key string) float64 {
	if other == nil {
		return 0
	}
	after, ok := other[key]
	if !ok {
		return 0
	}
	return ratio(after, before)
}

// ratio is the headroom after over that before. A check that no number
// measures counts as moved where its verdict changed: to a half for a pass that
// fails, to double for the other way.
func ratio(after, before rules.Result) float64 {
	if before.Required > 0 && after.Required > 0 && before.Headroom > 0 && after.Headroom > 0 {
		return after.Headroom / before.Headroom
	}
	was, is := judged(before), judged(after)
	switch {
	case was == is:
		return 1
	case is == rules.Failed:
		return 0.5
	case was == rules.Failed:
		return 2
	}
	return 1
}

// judged is the verdict of a check, whether or not its finding is waived, and whatever
// is missing where it could not be made.
func judged(r rules.Result) rules.Verdict {
	switch r.Verdict {
	case rules.Waived:
		return rules.Failed
	case rules.CannotVouch: // which of the two it is, another rule says
		return rules.NotChecked
	}
	return r.Verdict
}
