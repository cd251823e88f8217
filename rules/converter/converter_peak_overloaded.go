package converter

import (
	"fmt"
	"math"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

const peakOverloadedID = "converter-peak-overloaded"

func peakOverloaded() *rules.Rule {
	return &rules.Rule{
		ID:     peakOverloadedID,
		Family: family,
		Title:  "the converter cannot supply the short-time current drawn from it",
		Why: "Horn, turn lamps, a starting motor and a contactor that pulls in come on top of what is on continuously. Beyond its peak " +
			"a converter limits its current or hiccups: the voltage of the whole network collapses for that time, and contactors may drop out. " +
			"An auxiliary battery on the network supplies the rest, if it can.",
		Relation: "everything on at once, with what starts, <= peak_A * derating for at most peak_s; what may last longer <= continuous_A * derating; " +
			"an auxiliary battery adds its peak_A or continuous_A. Without peak_s what nothing ends is held against continuous_A, and everything at once against peak_A",
		Source:   "current balance; ratings as on data sheets; UN R6 for the flashing of turn lamps",
		Level:    rules.Warning,
		Varies:   "error without an auxiliary battery, for then nothing else supplies the network",
		Required: 1,
		Policy:   []string{"policy.required.converter-peak-overloaded"},
		Vital:    []string{"converters.derating"},
		Fix:      "use a converter with a higher peak current, or add an auxiliary battery to its network",
		Example: rules.Example{Vehicle: "mole", Subject: "converter", Edits: []rules.Edit{
			{Path: "loads.pump.stall_A", Value: "20"}}},
		Check: checkPeakOverloaded,
	}
}

func checkPeakOverloaded(p *rules.Pass) {
	for _, v := range wired(p) {
		c := p.Subject(v.ID, v.Path())
		if p.Unsound(c, v.ID+".in_pos", v.ID+".out_pos") {
			continue
		}
		all, err := budgets(p, v)
		switch {
		case err != nil && unsettled(c, err):
		case len(all) == 0:
			c.NotChecked("a mode in which "+v.ID+" runs", "%s runs in no mode, so what it feeds is not known", v.ID)
		default:
			checkPeak(c, p, v, all)
		}
	}
}

// peak is one short-time demand: a mode, what it draws, and what can supply it.
type peak struct {
	budget
	at       place
	demandA  float64
	ownA     float64 // what the converter can supply
	auxA     float64 // what the auxiliary batteries can add
	missing  string  // path of a rating that decides and is not given
	extraA   float64 // of it, what starts
	starts   string
	lasting  bool // checked against the continuous ratings
	seconds  float64
	auxPeaks []bool // by battery: its peak counts
}

func (k *peak) used() float64 { return k.demandA / max(k.ownA+k.auxA, 1e-9) }

func checkPeak(c *rules.Check, p *rules.Pass, v *schema.Converter, all []budget) {
	need := required(p, p.Rule.ID, p.Rule.Required)
	var worst *peak
	for _, b := range all {
		for _, k := range peaks(p, v, b) {
			// What fails for sure comes before what may.
			sure, before := k.missing == "" && k.used()*need > 1, worst != nil && worst.missing == "" && worst.used()*need > 1
			if worst == nil || sure && !before || sure == before && k.used() > worst.used() {
				worst = &k
			}
		}
	}
	if worst.at.unknown(c, v, worst.demandA*need, worst.wholeA(v)) {
		return
	}
	c.In(worst.mode, "converter running, hottest ambient")
	demand := worst.showDemand(c)
	limit := worst.showLimit(c, v)
	enough := demand*need <= limit
	switch missing := worst.missing; {
	case !enough && missing != "":
		c.NotChecked(missing, "%s: %s A in mode %s; whether it and its battery can supply that is not known", v.ID, rules.Figure(demand), worst.mode)
		return
	case enough && worst.budget.missing() != "":
		c.NotChecked(worst.budget.missing(), "%s: %s A in mode %s from the known consumers, but not all are known", v.ID, rules.Figure(demand), worst.mode)
		return
	}
	if len(worst.aux) == 0 {
		// Nothing else supplies the network.
		c.Level(rules.Error)
	}
	if isOverloaded(p, v, all) {
		c.Because(overloadedID, v.ID)
	}
	if worst.at.beyond != nil {
		c.Fix("%s", worst.remedy(worst.at, demand, limit, need))
	} else {
		c.Fix("use a converter that can supply at least %s A %s, or add an auxiliary battery to its network",
			rules.Figure(rules.RoundUp(demand, 0.1)), worst.duration())
	}
	c.AtMost(rules.Amperes(demand), rules.Amperes(limit), "%s", worst.message(v, demand, limit))
}

// wholeA is what converter and batteries could supply in air that costs the converter
// nothing, in A.
func (k *peak) wholeA(v *schema.Converter) float64 {
	if k.lasting {
		return v.Output.ContinuousA + k.auxA
	}
	return v.Output.PeakA.Or(v.Output.ContinuousA) + k.auxA
}

// peaks lists the short-time demands of a budget: everything at once against the
// peak, and, where that may last, what lasts against the continuous rating. Where it
// is not stated how long the peak lasts, what surely lasts longer is what nothing
// ends, and the rest is only known to be enough if it needs no peak.
func peaks(p *rules.Pass, v *schema.Converter, b budget) []peak {
	limitS := 0.0
	untimed := v.Output.PeakA.Known && !v.Output.PeakS.Known
	if v.Output.PeakA.Known {
		limitS = v.Output.PeakS.Or(0)
	}
	at := placeOf(p, v, b.mode)
	short := peak{budget: b, at: at, demandA: b.fullA(), ownA: at.peakA(v), seconds: b.shortestCover(limitS)}
	short.extraA, short.starts = b.starting(p)
	short.demandA += short.extraA
	short.addAuxiliaries()
	out := []peak{short}
	if b.lasts.Known && b.lasts.Value <= limitS {
		return out
	}
	long := peak{budget: b, at: at, demandA: b.lastingA(limitS), ownA: at.continuousA(v), lasting: true, seconds: limitS}
	long.addAuxiliaries()
	if untimed && !b.lasts.Known && b.lastingA(math.Inf(1)) > long.ownA+long.auxA {
		long.demandA, long.seconds = b.lastingA(math.Inf(1)), math.Inf(1)
	} else if untimed && long.missing == "" {
		long.missing = v.Path() + ".output.peak_s"
	}
	return append(out, long)
}

// shortestCover is how long everything at once lasts: the whole mode where
// that is short enough, else the longest of what is on for a short time.
func (b *budget) shortestCover(limitS float64) float64 {
	if b.lasts.Known && b.lasts.Value <= limitS {
		return b.lasts.Value
	}
	longest := 1.0 // what starts lasts about a second
	for i := range b.consumers {
		if t, known := b.consumers[i].longestS(); known && t <= limitS {
			longest = max(longest, t)
		}
	}
	return longest
}

// addAuxiliaries adds what the auxiliary batteries can supply beside the converter.
func (k *peak) addAuxiliaries() {
	for _, aux := range k.aux {
		inPeak := !k.lasting && aux.PeakA.Known && k.seconds <= aux.PeakS.Or(0)
		k.auxPeaks = append(k.auxPeaks, inPeak)
		switch {
		case inPeak:
			k.auxA += aux.PeakA.Value
		case aux.ContinuousA.Known:
			k.auxA += aux.ContinuousA.Value
		case k.missing == "":
			k.missing = aux.Path() + ".continuous_A"
		}
	}
}

func (k *peak) showDemand(c *rules.Check) float64 {
	if !k.lasting {
		full := k.show(c, false)
		if k.extraA == 0 {
			return full
		}
		extra := k.extraA
		c.Given("dI", "additional current of "+k.starts+" while starting", extra, "A", k.startPath())
		return c.Calc("I_p", "current including that", "I + dI", rules.Term(full)+" + "+rules.Term(extra), k.demandA, "A")
	}
	k.show(c, true)
	var terms []string
	for i := range k.consumers {
		terms = append(terms, rules.Figure(k.consumers[i].lastingA(k.seconds)))
	}
	what := "current that may last longer than " + rules.Term(k.seconds) + " s"
	if math.IsInf(k.seconds, 1) {
		what = "current that nothing ends"
	}
	if k.sharing != nil {
		var sum float64
		for i := range k.consumers {
			sum += k.consumers[i].lastingA(k.seconds)
		}
		c.Calc("I_l", what, "sum of the means of what is on for no longer, and of the rest in full", strings.Join(terms, " + "), sum, "A")
		return k.sharing.show(c, &k.budget, sum, "that may last")
	}
	return c.Calc("I_l", what, "sum of the means of what is on for no longer, and of the rest in full", strings.Join(terms, " + "), k.demandA, "A")
}

// startPath is the path of the value that gives the starting current.
func (k *peak) startPath() string {
	for _, x := range k.consumers {
		if x.startA > 0 && x.id == k.starts {
			return x.path + ".stall_A"
		}
		if x.startA > 0 && len(k.starts) >= len(x.id) && k.starts[:len(x.id)] == x.id {
			return x.path + ".coil.pickup_A"
		}
	}
	return ""
}

func (k *peak) showLimit(c *rules.Check, v *schema.Converter) float64 {
	k.at.show(c, v)
	if k.lasting || !v.Output.PeakA.Known {
		k.at.showRated(c, "I_c", "continuous current of "+v.ID, v.Output.ContinuousA, v.Path()+".output.continuous_A")
	} else {
		k.at.showRated(c, "I_pk", "peak current of "+v.ID, v.Output.PeakA.Value, v.Path()+".output.peak_A")
	}
	sum := rules.Figure(k.ownA)
	for i, aux := range k.aux {
		value, field := aux.ContinuousA, "continuous_A"
		if k.auxPeaks[i] {
			value, field = aux.PeakA, "peak_A"
		}
		if value.Known {
			c.Given("I_b", "current that "+aux.ID+" can add", value.Value, "A", aux.Path()+"."+field)
			sum += " + " + rules.Figure(value.Value)
		}
	}
	if len(k.aux) == 0 {
		return k.ownA
	}
	return c.Calc("I_lim", "current that both can supply", "converter + auxiliary battery", sum, k.ownA+k.auxA, "A")
}

func (k *peak) duration() string {
	if k.lasting {
		return "continuously"
	}
	return "for " + rules.Figure(k.seconds) + " s"
}

func (k *peak) message(v *schema.Converter, demand, limit float64) string {
	text := fmt.Sprintf("%s: %s A at once in mode %s", v.ID, rules.Figure(demand), k.mode)
	if k.lasting {
		text = fmt.Sprintf("%s: %s A for longer than its peak time in mode %s", v.ID, rules.Figure(demand), k.mode)
	}
	if k.extraA > 0 {
		text += fmt.Sprintf(" while %s starts", k.starts)
	}
	switch over := demand - k.ownA; {
	case len(k.aux) == 0:
		return text + fmt.Sprintf(", can supply %s A", rules.Figure(limit))
	case over > 0:
		return text + fmt.Sprintf(", can supply %s A; the auxiliary battery covers %s A, can supply %s A", rules.Figure(k.ownA), rules.Figure(over), rules.Figure(k.auxA))
	}
	return text + fmt.Sprintf(", can supply %s A itself", rules.Figure(k.ownA))
}
