package record

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// limit is a value of the policy that makes checks stricter or laxer.
type limit struct {
	name  string // in the policy
	unit  string
	value func(schema.Policy) float64
	lax   direction
	// least and most bound what such a value can be in a vehicle: beyond them the
	// checks that use it find nothing any more, or find what cannot be. 0 is no bound.
	least, most float64
	level       rules.Level // of a value beyond those; one that is merely laxer is a warning at most
	protects    string      // what is lost beyond them
}

// direction says which values of a limit ask for less than its default.
type direction int

const (
	higher direction = iota // the higher it is, the less is found
	lower                   // the lower it is, the less is found
	either                  // both ways are stricter for some checks and laxer for others
)

// limits lists the numbers of the policy but for required headrooms and levels. The
// bounds are common practice where no standard is named; each is well beyond what
// sound vehicles of the kind need.
func limits() []limit {
	const e, w, n = rules.Error, rules.Warning, rules.Note
	type P = schema.Policy
	return []limit{
		// 105 C is the limit of tinned bolted joints, and of the hottest usual insulation
		// below silicone.
		{"terminal_max_C", "C", func(p P) float64 { return p.TerminalMaxC }, higher, 0, 105, e, "lugs and terminals burn before a check finds it"},
		{"insulation_max_C", "C", func(p P) float64 { return p.InsulationMaxC }, higher, 0, 105, e, "insulation of unknown kind melts before a check finds it"},
		// A warm battery has 0.5 to 0.6 of its typical resistance, a cold or aged one twice.
		{"battery_resistance_min_factor", "", func(p P) float64 { return p.BatteryResistanceMin }, higher, 0, 0.9, e, "short-circuit currents come out too low"},
		{"battery_resistance_max_factor", "", func(p P) float64 { return p.BatteryResistanceMax }, lower, 1.2, 0, e, "the sag of a cold or aged battery is not found"},
		{"coil_rise_K", "K", func(p P) float64 { return p.CoilRiseK }, lower, 20, 0, e, "a hot coil that no longer pulls in is not found"},
		// 180 C is class H of IEC 60085.
		{"coil_limit_C", "C", func(p P) float64 { return p.CoilLimitC }, higher, 0, 180, e, "coils burn before a check finds it"},
		{"diode_forward_V", "V", func(p P) float64 { return p.DiodeForwardV }, lower, 0.2, 1.5, e, "no diode has such a voltage"},
		{"contact_drop_mV", "mV", func(p P) float64 { return p.ContactDropMV }, either, 10, 500, e, "no sound contact has such a drop, and fault currents rest on it"},
		{"fuse_drop_mV", "mV", func(p P) float64 { return p.FuseDropMV }, either, 20, 1000, e, "no fuse has such a drop, and fault currents rest on it"},
		{"joint_resistance_mOhm", "mOhm", func(p P) float64 { return p.JointResistanceMOhm }, either, 0, 1, e, "no sound joint has such a resistance, and fault currents rest on it"},
		{"converter_limit_factor", "", func(p P) float64 { return p.ConverterLimitFactor }, higher, 0, 2, e, "converters are credited with current that they do not give"},
		{"converter_efficiency_percent", "%", func(p P) float64 { return p.ConverterEfficiency }, higher, 0, 97, e, "converters draw more than the checks ask for"},
		{"converter_output_mOhm", "mOhm", func(p P) float64 { return p.ConverterOutputMOhm }, either, 0, 50, e, "no regulating output has such a resistance"},
		{"live_V", "V", func(p P) float64 { return p.LiveV }, higher, 0, 10, e, "a 12 V network that stays live is not found"},
		{"precharge_bypass_A", "A", func(p P) float64 { return p.PrechargeBypassA }, higher, 0, 5, e, "a contactor that is bypassed is not found"},
		// 18 inches is the longest of the rules of other trades.
		{"fuse_distance_m", "m", func(p P) float64 { return p.FuseDistanceM }, higher, 0, 0.457, e, "conductors without any fuse are not found"},
		{"fuse_distance_sheathed_m", "m", func(p P) float64 { return p.FuseDistanceSheathedM }, higher, 0, 1.829, e, "conductors without any fuse are not found"},
		{"fuse_distance_at_battery_m", "m", func(p P) float64 { return p.FuseDistanceAtBatteryM }, higher, 0, 2.5, e, "conductors without any fuse are not found"},
		// IEC 60364-4-43 lets a conductor's heat stand in for its loss up to 5 s.
		{"fault_clearing_s", "s", func(p P) float64 { return p.FaultClearingS }, higher, 0, 10, e, "a fault that no fuse clears is not found"},
		{"drop_critical_percent", "%", func(p P) float64 { return p.DropCriticalPercent }, higher, 0, 10, w, "dim lamps and coils that drop out are not found"},
		{"drop_other_percent", "%", func(p P) float64 { return p.DropOtherPercent }, higher, 0, 20, w, "weak motors and horns are not found"},
		{"standby_days", "d", func(p P) float64 { return p.StandbyDays }, lower, 3, 0, w, "a battery that is flat after a weekend is not found"},
		{"collapse_fraction", "", func(p P) float64 { return p.CollapseFraction }, lower, 0.3, 0, e, "a source that its loads pull down is not found"},
		{"precharge_attempts", "", func(p P) float64 { return p.PrechargeAttempts }, lower, 0, 0, e, ""},
		{"precharge_left_percent", "%", func(p P) float64 { return p.PrechargeLeftPercent }, higher, 0, 25, e, "contactors weld before a check finds it"},
		{"mating_spark_J", "J", func(p P) float64 { return p.MatingSparkJ }, higher, 0, 1, e, "connectors that mate with a spark are not found"},
		{"discharge_s", "s", func(p P) float64 { return p.DischargeS }, higher, 0, 300, e, "capacitors that stay charged are not found"},
		{"shunt_continuous_percent", "%", func(p P) float64 { return p.ShuntContinuousPercent }, higher, 0, 0, e, ""},
		{"meter_readable_percent", "%", func(p P) float64 { return p.MeterReadablePercent }, lower, 0, 0, n, ""},
		// A filament takes ten times its current when cold, a motor five to eight times.
		{"contact_lamp_percent", "%", func(p P) float64 { return p.ContactLampPercent }, higher, 0, 50, e, "contacts weld on cold filaments"},
		{"contact_motor_percent", "%", func(p P) float64 { return p.ContactMotorPercent }, higher, 0, 50, e, "contacts weld on starting motors"},
		{"contact_inductive_percent", "%", func(p P) float64 { return p.ContactInductivePercent }, higher, 0, 70, e, "contacts burn on coils"},
		{"bond_Ohm", "Ohm", func(p P) float64 { return p.BondOhm }, higher, 0, 1, e, "metal that is not bonded is not found"},
		{"stud_lugs", "", func(p P) float64 { return p.StudLugs }, higher, 0, 0, n, ""},
		{"lug_hole_clearance_mm", "mm", func(p P) float64 { return p.LugHoleClearanceMM }, higher, 0, 1.5, e, "lugs that the bolt does not press on are not found"},
		{"torque_above_A", "A", func(p P) float64 { return p.TorqueAboveA }, higher, 0, 0, n, ""},
		// Pollution degree 1 is dry and clean air: in no vehicle.
		{"pollution_degree", "", func(p P) float64 { return float64(p.PollutionDegree) }, lower, 2, 0, w, "no vehicle is that clean and dry"},
	}
}

// judge says what a value of the policy does beside its default: how grave that is,
// "" if it asks for no less, and whether it switches checks off.
func (l limit) judge(value, fallback float64) (level rules.Level, off bool) {
	beyond := l.least > 0 && value < l.least || l.most > 0 && value > l.most
	laxer := l.lax == higher && value > fallback || l.lax == lower && value < fallback
	switch {
	case value == fallback || math.IsNaN(value):
		return "", false
	case beyond:
		return l.level, true
	case laxer:
		return atMost(l.level, rules.Warning), false
	}
	return "", false
}

// bound says in words what the value may be.
func (l limit) bound() string {
	switch {
	case l.least > 0 && l.most > 0:
		return rules.Figure(l.least) + " to " + rules.Figure(l.most)
	case l.least > 0:
		return "at least " + rules.Figure(l.least)
	}
	return "at most " + rules.Figure(l.most)
}

// atMost is a level, or the lower one of a limit.
func atMost(level, limit rules.Level) rules.Level {
	if level.Rank() > limit.Rank() {
		return limit
	}
	return level
}
