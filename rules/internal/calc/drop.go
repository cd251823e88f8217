package calc

// DropPercent is a voltage drop, out and back, in % of a network's nominal voltage; a
// rise is no drop. Source: circuit theory.
func DropPercent(dropV, nominalV float64) Line {
	return line(max(0, 100*dropV/nominalV), "%", "100 dU / U_n", "100 * $1 / $2", dropV, nominalV)
}
