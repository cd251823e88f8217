package check

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.org/headroom/schema/internal/define"
	"example.org/headroom/schema/internal/source"
)

// declared is something with an id.
type declared struct {
	id   string
	kind string // the map it stands in
	path string
	d    *source.Value
}

// terminals lists the terminals of a part by its path and its values as given;
// nil when a mistake in the part leaves them unknown.
type terminals func(path string, d *source.Value) []string

// References checks every reference.
func (k *Checker) References(has terminals) {
	(&referee{Checker: k, has: has, ids: map[string]declared{}}).run()
}

// referee checks that what a specification refers to exists and is of the
// right kind. What refers to something with a mistake of its own is not wrong.
type referee struct {
	*Checker
	has terminals
	ids map[string]declared
}

// namedKinds lists the maps of parts, and after them the other maps whose ids
// share the same names.
func (k *Checker) namedKinds() []string {
	return append(slices.Clone(k.kinds), "wires", "busbars", "bonds", "panels")
}

// declare collects the ids and reports those that stand for two things.
func (r *referee) declare() {
	var all []declared
	for _, kind := range r.namedKinds() {
		for id, d := range r.root.Get(kind).Each() {
			all = append(all, declared{id, kind, kind + "." + id, d})
		}
	}
	for _, e := range all {
		first, taken := r.ids[e.id]
		if !taken {
			r.ids[e.id] = e
			continue
		}
		if later(first.d.Key, e.d.Key) {
			first, e = e, first
			r.ids[e.id] = first
		}
		e.d.Broken = true
		r.Report(source.Problem{Rule: source.RuleDuplicateID, Path: e.path,
			Message: fmt.Sprintf("the id %s is used for %s and for %s", source.Quote(e.id), singular(first.kind), singular(e.kind)),
			Fix:     "rename one of them, and every reference to it",
			Related: []source.Place{{Position: r.keyOf(first.d, source.Span{}).Position(), Note: "the first is here"}}}, r.keyOf(e.d, r.root.Value), source.Span{}, "")
	}
}

// later reports whether one key stands after another.
func later(a, b source.Span) bool {
	if !a.Valid() || !b.Valid() {
		return false
	}
	if a.Text != b.Text {
		return a.Text.Name > b.Text.Name
	}
	return a.From > b.From
}

// singular names one of a kind with its article: "a fuse".
func singular(kind string) string {
	word := strings.TrimSuffix(kind, "s")
	switch kind {
	case "batteries":
		word = "battery"
	case "switches":
		word = "switch"
	case "busbars":
		word = "bus bar"
	}
	return "a " + word
}

// run checks every reference.
func (r *referee) run() {
	r.declare()
	for _, kind := range r.namedKinds() {
		for id, d := range r.root.Get(kind).Each() {
			r.entity(kind, kind+"."+id, d)
		}
	}
	for id, d := range r.root.Get("modes").Each() {
		r.mode("modes."+id, d)
	}
	for i, d := range r.list(r.root, "cycle") {
		r.step(source.Join("cycle", strconv.Itoa(i)), d)
	}
}

func (r *referee) entity(kind, path string, d *source.Value) {
	r.zone(d, path)
	r.bolts(kind, d, path)
	switch kind {
	case "wires", "busbars":
		r.conductor(d, path)
	case "meters":
		r.reference(d, path, "shunt", "shunts")
	case "contactors":
		if at := d.Get("closes_at"); at != nil {
			r.reference(at, source.Join(path, "closes_at"), "part", "controllers", "converters")
		}
		if by := d.Get("closes"); by != nil {
			r.reference(by, source.Join(path, "closes"), "device", "controllers", "timers", "relays", "contactors")
		}
	case "shunts":
		r.reference(d, path, "measures", r.kinds...)
	case "cutouts":
		r.reference(d, path, "guards", "motors", "resistors")
	case "fuses":
		r.reference(d, path, "overload_protection_by", r.kinds...)
	case "bonds":
		bonded := append(slices.Clone(r.kinds), "panels")
		r.reference(d, path, "of", bonded...)
		if to, ok := d.Str("to"); ok && to != define.Chassis {
			r.bondedTo(d.Get("to"), path, to, bonded)
		}
	case "panels":
		r.panel(d, path)
	}
}

// bondedTo checks what a bond ends on: a part, a panel or the chassis.
func (r *referee) bondedTo(v *source.Value, path, id string, kinds []string) {
	if e, ok := r.ids[id]; !ok || !slices.Contains(kinds, e.kind) {
		r.unknown(v, source.Join(path, "to"), id, "part or panel", append(r.idsOf(kinds), define.Chassis))
	}
}

// zone checks a reference to a zone. A zone with a mistake makes its rise
// unknown, and with it everything that stands there.
func (r *referee) zone(d *source.Value, path string) {
	v := d.Get("zone")
	if v == nil || v.Kind != source.TextKind || v.Broken {
		return
	}
	zones := r.root.Get("zones")
	if zones.Get(v.Text) == nil {
		r.unknown(v, source.Join(path, "zone"), v.Text, "zone", source.SortedMembers(zones))
		return
	}
	if r.IsBroken("zones." + v.Text) {
		r.BreakEntity(path)
	}
}

// bolts checks that what is bolted by terminal are terminals of the part, or the ends
// of a bus bar.
func (r *referee) bolts(kind string, d *source.Value, path string) {
	list := d.Get("terminals")
	if list == nil || list.Kind != source.ObjectKind {
		return
	}
	has := []string{"from", "to"}
	if kind != "busbars" {
		if has = r.has(path, d); len(has) == 0 {
			return
		}
	}
	for name, v := range list.Each() {
		if slices.Contains(has, name) {
			continue
		}
		p := source.Problem{Rule: source.RuleUnknownTerminal, Path: source.Join(source.Join(path, "terminals"), name), Fix: "write one of " + strings.Join(has, ", "),
			Message: fmt.Sprintf("%s gives a bolt at %s, which is no terminal of it; it has %s", path, source.Quote(name), strings.Join(has, ", "))}
		r.problem(v, r.root.Value, p)
	}
}

// reference checks a field that holds the id of something of the given kinds.
func (r *referee) reference(d *source.Value, path, field string, kinds ...string) {
	if v := d.Get(field); v != nil && v.Kind == source.TextKind && !v.Broken {
		r.refersTo(v, source.Join(path, field), v.Text, kinds)
	}
}

// refersTo checks that an id is of one of the kinds, and reports whether it is.
func (r *referee) refersTo(v *source.Value, path, id string, kinds []string) bool {
	e, ok := r.ids[id]
	if ok && slices.Contains(kinds, e.kind) {
		return true
	}
	what := "part"
	if len(kinds) == 1 {
		what = strings.TrimPrefix(singular(kinds[0]), "a ")
	} else if slices.Contains(kinds, "panels") {
		what = "part or panel"
	}
	if !ok {
		r.unknown(v, path, id, what, r.idsOf(kinds))
		return false
	}
	p := source.Problem{Rule: source.RuleUnknownPart, Path: path,
		Message: fmt.Sprintf("%s is %s, which is %s and not a %s", path, source.Quote(id), singular(e.kind), what),
		Related: []source.Place{{Position: r.keyOf(e.d, r.root.Value).Position(), Note: source.Quote(id) + " is declared here"}}}
	switch same := r.idsOf(kinds); {
	case kinds[0] == "loads" && (e.kind == "switches" || e.kind == "disconnects" || e.kind == "breakers"):
		p.Fix = "list it under closed, which names what is closed by hand"
	case len(same) == 1:
		p.Fix = "write " + source.Quote(same[0])
	case len(same) > 1:
		p.Fix = "use one of " + listed(same)
	}
	r.problem(v, r.root.Value, p)
	return false
}

func (r *referee) idsOf(kinds []string) []string {
	var ids []string
	for _, kind := range kinds {
		ids = append(ids, source.SortedMembers(r.root.Get(kind))...)
	}
	ids = slices.DeleteFunc(ids, func(id string) bool { return define.IDOf(id) != id })
	slices.Sort(ids)
	return ids
}

// conductor checks the two ends of a wire or bus bar.
func (r *referee) conductor(d *source.Value, path string) {
	for _, end := range []string{"from", "to"} {
		if v := d.Get(end); v != nil && v.Kind == source.TextKind && !v.Broken && v.Text != define.Chassis {
			r.terminal(v, source.Join(path, end))
		}
	}
}

// terminal checks a text that should name a terminal.
func (r *referee) terminal(v *source.Value, path string) {
	id, name, _ := strings.Cut(v.Text, ".")
	e, ok := r.ids[id]
	if !ok || !slices.Contains(r.kinds, e.kind) {
		r.noSuchPart(v, path, id, e)
		return
	}
	has := r.has(e.path, e.d)
	if has == nil || slices.Contains(has, name) {
		return
	}
	if len(has) == 0 {
		r.problem(v, r.root.Value, source.Problem{Rule: source.RuleUnknownTerminal, Path: path,
			Message: fmt.Sprintf("%s is %s, but %s has no terminals", path, source.Quote(v.Text), id),
			Fix:     "declare the terminal in " + e.path + ", or write one of another part",
			Related: []source.Place{{Position: r.keyOf(e.d, r.root.Value).Position(), Note: source.Quote(id) + " is declared here"}}})
		return
	}
	p := source.Problem{Rule: source.RuleUnknownTerminal, Path: path, Fix: "write " + id + ". and one of " + strings.Join(has, ", "),
		Message: fmt.Sprintf("%s is %s, but %s %s has no terminal %s; it has %s", path, source.Quote(v.Text),
			strings.TrimPrefix(singular(e.kind), "a "), id, source.Quote(name), strings.Join(has, ", ")),
		Related: []source.Place{{Position: r.keyOf(e.d, r.root.Value).Position(), Note: source.Quote(id) + " is declared here"}}}
	if name == "" {
		p.Message = fmt.Sprintf("%s is %s, which is a part and not a terminal; its terminals are %s", path, source.Quote(v.Text), strings.Join(has, ", "))
	}
	if s := terminalMeant(name, has); s != "" {
		p.Fix = "write " + source.Quote(id+"."+s)
	}
	if s := terminalUnder(e, name); s != "" {
		p.Fix = s + ", or " + p.Fix
	}
	r.problem(v, r.root.Value, p)
}

// panel checks the parts that stand on a panel and the terminals named there.
func (r *referee) panel(d *source.Value, path string) {
	for id, place := range d.Get("parts").Each() {
		at := source.Join(source.Join(path, "parts"), id)
		if !r.refersTo(place, at, id, r.kinds) {
			continue
		}
		has := r.has(r.ids[id].path, r.ids[id].d)
		for _, list := range []string{"holes", "live"} {
			v := place.Get(list)
			if v == nil || len(has) == 0 {
				continue
			}
			for i, hole := range v.Items {
				name, ok := hole.Str("terminal")
				if !ok || slices.Contains(has, name) {
					continue
				}
				r.problem(hole.Get("terminal"), r.root.Value, source.Problem{Rule: source.RuleUnknownTerminal, Path: source.Join(source.Join(source.Join(at, list), strconv.Itoa(i)), "terminal"),
					Message: fmt.Sprintf("%s has no terminal %s; it has %s", id, source.Quote(name), strings.Join(has, ", ")),
					Fix:     "use one of " + strings.Join(has, ", ")})
			}
		}
	}
}

// mode checks what a mode closes, switches on, draws and connects.
func (r *referee) mode(path string, d *source.Value) {
	for i, v := range r.list(d, "closed") {
		r.closable(v, source.Join(source.Join(path, "closed"), strconv.Itoa(i)))
	}
	r.references(d, path, "on", "loads")
	r.references(d, path, "connected", "chargers", "solar")
	r.references(d, path, "unmated", "connectors")
	for id, v := range d.Get("draw").Each() {
		if !v.Broken {
			r.refersTo(v, source.Join(source.Join(path, "draw"), id), id, []string{"controllers"})
		}
	}
}

// step checks the mode of a step of the cycle; one with a mistake makes what the
// cycle does unknown.
func (r *referee) step(path string, d *source.Value) {
	v := d.Get("mode")
	if v == nil || v.Kind != source.TextKind || v.Broken {
		return
	}
	modes := r.root.Get("modes")
	if modes.Get(v.Text) == nil {
		r.unknown(v, source.Join(path, "mode"), v.Text, "mode", source.SortedMembers(modes))
		r.BreakEntity("cycle")
		return
	}
	if r.IsBroken("modes." + v.Text) {
		r.BreakEntity("cycle")
	}
}

// references checks a list of ids of some kinds.
func (r *referee) references(d *source.Value, path, field string, kinds ...string) {
	for i, v := range r.list(d, field) {
		if v.Kind == source.TextKind && !v.Broken {
			r.refersTo(v, source.Join(source.Join(path, field), strconv.Itoa(i)), v.Text, kinds)
		}
	}
}

func (r *referee) list(d *source.Value, name string) []*source.Value {
	if v := d.Get(name); v != nil && !v.Broken {
		return v.Items
	}
	return nil
}

// closable checks that something can be closed by hand.
func (r *referee) closable(v *source.Value, path string) {
	if v.Kind != source.TextKind || v.Broken {
		return
	}
	id, pole, single := strings.Cut(v.Text, ".")
	e, ok := r.ids[id]
	byHand := []string{"disconnects", "switches", "breakers", "controllers"}
	switch {
	case !ok:
		r.unknown(v, path, id, "disconnect, breaker or switch", r.idsOf(byHand[:3]))
	case e.kind == "contactors", e.kind == "relays", e.kind == "timers":
		r.problem(v, r.root.Value, source.Problem{Rule: source.RuleUnknownPart, Path: path,
			Message: fmt.Sprintf("%s is %s, which is %s: it closes when its coil is energised", path, source.Quote(id), singular(e.kind)),
			Fix:     "close the switch or the controller output that feeds the coil"})
	case !slices.Contains(byHand, e.kind):
		r.problem(v, r.root.Value, source.Problem{Rule: source.RuleUnknownPart, Path: path,
			Message: fmt.Sprintf("%s is %s, which is %s and cannot be closed by hand", path, source.Quote(id), singular(e.kind)),
			Fix:     "name a disconnect, a breaker, a switch, a pole of a switch, or an output of a controller"})
	case e.kind == "switches" && single:
		poles := e.d.Get("poles")
		if !e.d.Broken && poles.Get(pole) == nil && poles != nil && !poles.Broken {
			r.noOutput(v, path, fmt.Sprintf("switch %s has no pole %s", id, source.Quote(pole)), source.SortedMembers(poles))
		}
	case e.kind == "controllers" && !single:
		r.noOutput(v, path, "that is a controller; only its outputs can be closed", outputs(e))
	case e.kind == "controllers" && (pole != "coil_out" || e.d.Get("coil_out") == nil):
		r.noOutput(v, path, fmt.Sprintf("controller %s has no output %s", id, source.Quote(pole)), outputs(e))
	case (e.kind == "disconnects" || e.kind == "breakers") && single:
		r.noOutput(v, path, "the poles of "+singular(e.kind)+" close together", []string{})
	}
}

func outputs(e declared) []string {
	if e.d.Get("coil_out") != nil {
		return []string{"coil_out"}
	}
	return nil
}

func (r *referee) noOutput(v *source.Value, path, message string, has []string) {
	id, _, _ := strings.Cut(v.Text, ".")
	p := source.Problem{Rule: source.RuleUnknownPart, Path: path, Message: fmt.Sprintf("%s is %s, but %s", path, source.Quote(v.Text), message)}
	if len(has) > 0 {
		p.Message += "; it has " + strings.Join(has, ", ")
		p.Fix = "write " + id + ". and one of " + strings.Join(has, ", ")
	} else if has != nil {
		p.Fix = "write " + source.Quote(id)
	} else {
		p.Fix = "declare coil_out on the controller, or close a switch instead"
	}
	r.problem(v, r.root.Value, p)
}
