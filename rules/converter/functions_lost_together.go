package converter

import (
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

const functionsLostID = "functions-lost-together"

func functionsLostTogether() *rules.Rule {
	return &rules.Rule{
		ID:     functionsLostID,
		Family: family,
		Title:  "one failure turns off two functions that traffic relies on",
		Why: "A fuse that feeds the tail lamps alone leaves a brake lamp to be seen by when it opens. One that feeds both, or a relay or converter through which both pass, " +
			"makes the vehicle invisible from behind in one moment, and nobody in it knows.",
		Relation: "with any one fuse open, any one relay contact not closing, or a converter off, no more than one of the functions headlamp, tail, brake, turn, hazard, horn and steering is lost: " +
			"one is lost when none of its consumers that were lit still is. The function of a critical consumer is that of its field, or of an id that begins with it, " +
			"such as brake_left; of any other it is not known",
		Source:   "single-failure analysis by function, common practice for vehicles on public roads; UN R48 and R53 ask for the functions (from memory)",
		Level:    rules.Error,
		Varies:   "warning where no more than one of headlamp, tail and brake is among them",
		Required: 0,
		Fix:      "give each function a fuse of its own, and feed the network from an auxiliary battery beside the converter",
		Example: rules.Example{Vehicle: "heron", Subject: "tail_fuse", Edits: []rules.Edit{
			{Path: "wires.w_brake_switch.from", Value: `"tail_fuse.b"`}}},
		Check: checkFunctions,
	}
}

// function is what consumers do together for the traffic around.
type function struct {
	name  string
	loads []string
}

// plainNames are the first words of ids that can only mean one function.
func plainNames() map[string]string {
	names := map[string]string{}
	for name, words := range map[string]string{
		"headlamp": "head headlamp headlamps headlight headlights dipped",
		"tail":     "tail taillamp taillight",
		"brake":    "brake brakelamp brakelight stop stoplamp",
		"turn":     "turn indicator blinker",
		"hazard":   "hazard",
		"horn":     "horn",
		"steering": "steering",
	} {
		for _, word := range strings.Fields(words) {
			names[word] = name
		}
	}
	return names
}

// functionOf is the function of a consumer, "" if it is not known.
func functionOf(l *schema.Load, names map[string]string) string {
	if l.Function != "" {
		return l.Function
	}
	word, _, _ := strings.Cut(l.ID, "_")
	name := names[word]
	lamp := l.LoadKind == "led" || l.LoadKind == "filament"
	if lamp == (name == "horn" || name == "steering") {
		return "" // a lamp that is called horn says that the horn sounds
	}
	return name
}

// functions lists what the critical loads that some mode feeds do, and those loads
// of which it is not known.
func functions(p *rules.Pass) (all []function, unknown []string) {
	names, loads := plainNames(), map[string][]string{}
	for id, l := range schema.Sorted(p.Spec.Loads) {
		if l.Spare || !l.Critical && l.Function == "" || !slices.ContainsFunc(modesOf(p, id), func(mode string) bool { return isLit(p, circuit.Case{Mode: mode}, id) }) {
			continue
		}
		if name := functionOf(l, names); name != "" {
			loads[name] = append(loads[name], id)
		} else {
			unknown = append(unknown, id)
		}
	}
	for name, ids := range schema.Sorted(loads) {
		all = append(all, function{name, ids})
	}
	return all, unknown
}

func checkFunctions(p *rules.Pass) {
	if !p.Spec.Vehicle.OnRoad() {
		return
	}
	all, unknown := functions(p)
	for _, id := range unknown {
		path := p.Spec.Loads[id].Path()
		p.Subject(id, path).NotChecked(path+".function", "%s is critical, and its function is not given", id)
	}
	if len(all) < 2 {
		return
	}
	var loads []string
	for _, f := range all {
		loads = append(loads, f.loads...)
	}
	modes := coverOf(p, loads)
	for id, f := range schema.Sorted(p.Spec.Fuses) {
		if !f.Spare && p.Circuit.Connected(id+".a") && p.Circuit.Connected(id+".b") {
			checkFailure(p, id, f.Path(), id+".a", "it opens", circuit.Case{Open: id}, all, modes)
		}
	}
	for id, r := range schema.Sorted(p.Spec.Relays) {
		if !r.Spare && p.Circuit.Edge(id+".no") != nil && p.Circuit.Connected(id+".common") {
			checkFailure(p, id, r.Path(), id+".common", "its contact does not close", circuit.Case{Open: id + ".no"}, all, modes)
		}
	}
	if list := wired(p); len(list) == 1 {
		v := list[0]
		checkFailure(p, v.ID, v.Path(), v.ID+".out_pos", "it fails", demand.Alone(""), all, modes)
	}
}

// checkFailure reports what functions are lost in a state of failure: that of the
// case, in each mode.
func checkFailure(p *rules.Pass, id, path, terminal, when string, failure circuit.Case, all []function, modes []string) {
	c := p.Subject(id, path)
	if p.Unsound(c, terminal) {
		return
	}
	var lost, dark []string
	for _, f := range all {
		gone, err := isLost(p, f, failure, modes)
		if err != nil && unsettled(c, err) {
			return
		}
		if gone {
			lost = append(lost, f.name)
			dark = append(dark, f.loads...)
		}
	}
	if len(lost) < 2 {
		c.Holds(true, "no more than one function is lost when %s: %s", id, when)
		return
	}
	for _, mode := range modes {
		c.GivenText("mode", "mode in which they were tried", mode, "modes."+mode)
	}
	for _, load := range dark {
		c.Related(p.Spec.Loads[load].Path(), "goes off")
	}
	if len(lost) == len(all) && p.Spec.Fuses[id] != nil {
		c.Because(criticalSingleFuseID, id) // where it says so of every critical consumer
	}
	seen := 0
	for _, name := range lost {
		if slices.Contains([]string{"headlamp", "tail", "brake"}, name) {
			seen++
		}
	}
	if seen < 2 {
		c.Level(rules.Warning)
	}
	c.Fail("%s: when %s, %s are lost together (%s)", id, when, rules.And(lost), strings.Join(dark, ", "))
}

// isLost reports whether none of the consumers of a function that are lit in some
// mode stays lit in a state of failure.
func isLost(p *rules.Pass, f function, failure circuit.Case, modes []string) (bool, error) {
	for _, mode := range modes {
		failure.Mode = mode
		before, after := 0, 0
		for _, id := range f.loads {
			if !slices.Contains(p.Circuit.Mode(mode).On, id) || !isLit(p, circuit.Case{Mode: mode}, id) {
				continue
			}
			before++
			if err := settled(p.Circuit.Solve(failure), id); err != nil {
				return false, err
			}
			if isLit(p, failure, id) {
				after++
			}
		}
		if before > 0 && after == 0 {
			return true, nil
		}
	}
	return false, nil
}
