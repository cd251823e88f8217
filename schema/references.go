package schema

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// declared is something with an id.
type declared struct {
	id   string
	kind string // the map it stands in
	path string
	d    *datum
}

// terminals lists the terminals of a part by its path and its values as given;
// nil when a mistake in the part leaves them unknown.
type terminals func(path string, d *datum) []string

// references checks every reference.
func (k *checker) references(has terminals) {
	(&referee{checker: k, has: has, ids: map[string]declared{}}).run()
}

// referee checks that what a specification refers to exists and is of the
// right kind. What refers to something with a mistake of its own is not wrong.
type referee struct {
	*checker
	has terminals
	ids map[string]declared
}

// namedKinds lists the maps of parts, and after them the other maps whose ids
// share the same names.
func (k *checker) namedKinds() []string {
	return append(slices.Clone(k.kinds), "wires", "busbars", "bonds", "panels")
}

// declare collects the ids and reports those that stand for two things.
func (r *referee) declare() {
	var all []declared
	for _, kind := range r.namedKinds() {
		for id, d := range r.root.get(kind).each() {
			all = append(all, declared{id, kind, kind + "." + id, d})
		}
	}
	for _, e := range all {
		first, taken := r.ids[e.id]
		if !taken {
			r.ids[e.id] = e
			continue
		}
		if later(first.d.key, e.d.key) {
			first, e = e, first
			r.ids[e.id] = first
		}
		e.d.broken = true
		r.report(Problem{Rule: RuleDuplicateID, Path: e.path,
			Message: fmt.Sprintf("the id %s stands for %s and for %s", quote(e.id), singular(first.kind), singular(e.kind)),
			Fix:     "rename one of them, and what refers to it",
			Related: []Place{{r.keyOf(first.d, span{}).position(), "the first is here"}}}, r.keyOf(e.d, r.root.value), span{}, "")
	}
}

// later reports whether one key stands after another.
func later(a, b span) bool {
	if !a.valid() || !b.valid() {
		return false
	}
	if a.text != b.text {
		return a.text.name > b.text.name
	}
	return a.from > b.from
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
		for id, d := range r.root.get(kind).each() {
			r.entity(kind, kind+"."+id, d)
		}
	}
	for id, d := range r.root.get("modes").each() {
		r.mode("modes."+id, d)
	}
	for i, d := range r.list(r.root, "cycle") {
		r.step(join("cycle", strconv.Itoa(i)), d)
	}
}

func (r *referee) entity(kind, path string, d *datum) {
	r.zone(d, path)
	switch kind {
	case "wires", "busbars":
		r.conductor(d, path)
	case "meters":
		r.reference(d, path, "shunt", "shunts")
	case "contactors":
		if at := d.get("closes_at"); at != nil {
			r.reference(at, join(path, "closes_at"), "part", "controllers", "converters")
		}
	case "shunts":
		r.reference(d, path, "measures", r.kinds...)
	case "fuses":
		r.reference(d, path, "overload_protection_by", r.kinds...)
	case "bonds":
		bonded := append(slices.Clone(r.kinds), "panels")
		r.reference(d, path, "of", bonded...)
		if to, ok := d.str("to"); ok && to != Chassis {
			r.bondedTo(d.get("to"), path, to, bonded)
		}
	case "panels":
		r.panel(d, path)
	}
}

// bondedTo checks what a bond ends on: a part, a panel or the chassis.
func (r *referee) bondedTo(v *datum, path, id string, kinds []string) {
	if e, ok := r.ids[id]; !ok || !slices.Contains(kinds, e.kind) {
		r.unknown(v, join(path, "to"), id, "part or panel", append(r.idsOf(kinds), Chassis))
	}
}

// zone checks a reference to a zone. A zone with a mistake makes its rise
// unknown, and with it everything that stands there.
func (r *referee) zone(d *datum, path string) {
	v := d.get("zone")
	if v == nil || v.kind != textKind || v.broken {
		return
	}
	zones := r.root.get("zones")
	if zones.get(v.text) == nil {
		r.unknown(v, join(path, "zone"), v.text, "zone", sortedMembers(zones))
		return
	}
	if r.isBroken("zones." + v.text) {
		r.breakEntity(path)
	}
}

// reference checks a field that holds the id of something of the given kinds.
func (r *referee) reference(d *datum, path, field string, kinds ...string) {
	if v := d.get(field); v != nil && v.kind == textKind && !v.broken {
		r.refersTo(v, join(path, field), v.text, kinds)
	}
}

// refersTo checks that an id is of one of the kinds, and reports whether it is.
func (r *referee) refersTo(v *datum, path, id string, kinds []string) bool {
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
	p := Problem{Rule: RuleUnknownPart, Path: path,
		Message: fmt.Sprintf("%s names %s, which is %s and not a %s", path, quote(id), singular(e.kind), what),
		Related: []Place{{r.keyOf(e.d, r.root.value).position(), quote(id) + " is declared here"}}}
	switch same := r.idsOf(kinds); {
	case kinds[0] == "loads" && (e.kind == "switches" || e.kind == "disconnects"):
		p.Fix = "name it under closed, which lists what is closed by hand"
	case len(same) == 1:
		p.Fix = "write " + quote(same[0])
	case len(same) > 1:
		p.Fix = "use one of " + listed(same)
	}
	r.problem(v, r.root.value, p)
	return false
}

func (r *referee) idsOf(kinds []string) []string {
	var ids []string
	for _, kind := range kinds {
		ids = append(ids, sortedMembers(r.root.get(kind))...)
	}
	ids = slices.DeleteFunc(ids, func(id string) bool { return idOf(id) != id })
	slices.Sort(ids)
	return ids
}

// conductor checks the two ends of a wire or bus bar.
func (r *referee) conductor(d *datum, path string) {
	for _, end := range []string{"from", "to"} {
		if v := d.get(end); v != nil && v.kind == textKind && !v.broken && v.text != Chassis {
			r.terminal(v, join(path, end))
		}
	}
}

// terminal checks a text that should name a terminal.
func (r *referee) terminal(v *datum, path string) {
	id, name, _ := strings.Cut(v.text, ".")
	e, ok := r.ids[id]
	if !ok || !slices.Contains(r.kinds, e.kind) {
		r.noSuchPart(v, path, id, e)
		return
	}
	has := r.has(e.path, e.d)
	if has == nil || slices.Contains(has, name) {
		return
	}
	p := Problem{Rule: RuleUnknownTerminal, Path: path, Fix: "write " + id + ". and one of " + strings.Join(has, ", "),
		Message: fmt.Sprintf("%s is %s, but %s %s has no terminal %s; it has %s", path, quote(v.text),
			strings.TrimPrefix(singular(e.kind), "a "), id, quote(name), strings.Join(has, ", ")),
		Related: []Place{{r.keyOf(e.d, r.root.value).position(), quote(id) + " is declared here"}}}
	if name == "" {
		p.Message = fmt.Sprintf("%s is %s, a part and not a terminal; its terminals are %s", path, quote(v.text), strings.Join(has, ", "))
	}
	if s := terminalMeant(name, has); s != "" {
		p.Fix = "write " + quote(id+"."+s)
	}
	r.problem(v, r.root.value, p)
}

// panel checks the parts that stand on a panel and the terminals named there.
func (r *referee) panel(d *datum, path string) {
	for id, place := range d.get("parts").each() {
		at := join(join(path, "parts"), id)
		if !r.refersTo(place, at, id, r.kinds) {
			continue
		}
		has := r.has(r.ids[id].path, r.ids[id].d)
		for _, list := range []string{"holes", "live"} {
			v := place.get(list)
			if v == nil || has == nil {
				continue
			}
			for i, hole := range v.items {
				name, ok := hole.str("terminal")
				if !ok || slices.Contains(has, name) {
					continue
				}
				r.problem(hole.get("terminal"), r.root.value, Problem{Rule: RuleUnknownTerminal, Path: join(join(join(at, list), strconv.Itoa(i)), "terminal"),
					Message: fmt.Sprintf("%s has no terminal %s; it has %s", id, quote(name), strings.Join(has, ", ")),
					Fix:     "use one of " + strings.Join(has, ", ")})
			}
		}
	}
}

// mode checks what a mode closes, switches on, draws and connects.
func (r *referee) mode(path string, d *datum) {
	for i, v := range r.list(d, "closed") {
		r.closable(v, join(join(path, "closed"), strconv.Itoa(i)))
	}
	r.references(d, path, "on", "loads")
	r.references(d, path, "connected", "chargers")
	for id, v := range d.get("draw").each() {
		if !v.broken {
			r.refersTo(v, join(join(path, "draw"), id), id, []string{"controllers"})
		}
	}
}

// step checks the mode of a step of the cycle; one with a mistake makes what the
// cycle does unknown.
func (r *referee) step(path string, d *datum) {
	v := d.get("mode")
	if v == nil || v.kind != textKind || v.broken {
		return
	}
	modes := r.root.get("modes")
	if modes.get(v.text) == nil {
		r.unknown(v, join(path, "mode"), v.text, "mode", sortedMembers(modes))
		r.breakEntity("cycle")
		return
	}
	if r.isBroken("modes." + v.text) {
		r.breakEntity("cycle")
	}
}

// references checks a list of ids of one kind.
func (r *referee) references(d *datum, path, field, kind string) {
	for i, v := range r.list(d, field) {
		if v.kind == textKind && !v.broken {
			r.refersTo(v, join(join(path, field), strconv.Itoa(i)), v.text, []string{kind})
		}
	}
}

func (r *referee) list(d *datum, name string) []*datum {
	if v := d.get(name); v != nil && !v.broken {
		return v.items
	}
	return nil
}

// closable checks that something can be closed by hand.
func (r *referee) closable(v *datum, path string) {
	if v.kind != textKind || v.broken {
		return
	}
	id, pole, single := strings.Cut(v.text, ".")
	e, ok := r.ids[id]
	byHand := []string{"disconnects", "switches", "controllers"}
	switch {
	case !ok:
		r.unknown(v, path, id, "disconnect or switch", r.idsOf(byHand[:2]))
	case e.kind == "contactors", e.kind == "relays":
		r.problem(v, r.root.value, Problem{Rule: RuleUnknownPart, Path: path,
			Message: fmt.Sprintf("%s names %s, which is %s: it closes when its coil is fed", path, quote(id), singular(e.kind)),
			Fix:     "close the switch or the controller output that feeds the coil"})
	case !slices.Contains(byHand, e.kind):
		r.problem(v, r.root.value, Problem{Rule: RuleUnknownPart, Path: path,
			Message: fmt.Sprintf("%s names %s, which is %s and cannot be closed", path, quote(id), singular(e.kind)),
			Fix:     "name a disconnect, a switch, a pole of a switch, or an output of a controller"})
	case e.kind == "switches" && single:
		poles := e.d.get("poles")
		if !e.d.broken && poles.get(pole) == nil && poles != nil && !poles.broken {
			r.noOutput(v, path, fmt.Sprintf("switch %s has no pole %s", id, quote(pole)), sortedMembers(poles))
		}
	case e.kind == "controllers" && !single:
		r.noOutput(v, path, "that is a controller; only its outputs close", outputs(e))
	case e.kind == "controllers" && (pole != "coil_out" || e.d.get("coil_out") == nil):
		r.noOutput(v, path, fmt.Sprintf("controller %s has no output %s", id, quote(pole)), outputs(e))
	case e.kind == "disconnects" && single:
		r.noOutput(v, path, "the poles of a disconnect close together", []string{})
	}
}

func outputs(e declared) []string {
	if e.d.get("coil_out") != nil {
		return []string{"coil_out"}
	}
	return nil
}

func (r *referee) noOutput(v *datum, path, message string, has []string) {
	id, _, _ := strings.Cut(v.text, ".")
	p := Problem{Rule: RuleUnknownPart, Path: path, Message: fmt.Sprintf("%s is %s, but %s", path, quote(v.text), message)}
	if len(has) > 0 {
		p.Message += "; it has " + strings.Join(has, ", ")
		p.Fix = "write " + id + ". and one of " + strings.Join(has, ", ")
	} else if has != nil {
		p.Fix = "write " + quote(id)
	} else {
		p.Fix = "declare coil_out on the controller, or close a switch instead"
	}
	r.problem(v, r.root.value, p)
}
