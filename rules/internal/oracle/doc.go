// Package oracle is for tests: a second, deliberately simple implementation of
// what the rules check, independent of calc, circuit and the rules. It reads a
// vehicle's JSON as generic maps, and solves the circuit as a dense nodal system
// with a fixed point for what draws constant power. Where a relation leaves a
// choice it takes the lenient side, so that what it expects to be found is a
// fault by any reading; Severe turns that round.
//
// It shares no code with what it is compared with, and imports only the standard
// library and a matrix library. The tables of wires, fuses and creepage it reads
// from testdata/published, which calc is tested against as well: a mistake in
// those files is one of both.
//
// Both also take the following from memory, or from common practice. Here the
// two are no check of each other, and only a print would be:
//
//   - rows that testdata/published marks as from memory: the opening times of ISO
//     8820-3 (but for three of type E) and ISO 8820-5, the conventional currents
//     of gG links and 5 times the rating within 5 s, part of NFPA 70 table 310.17;
//   - 0.5 mm2 in free air: 12 A;
//   - the continuous load of a fuse: 0.80 of the rating, 0.75 of glass fuses;
//   - silicone: 350 C in a short circuit;
//   - voltages of a cell: lead-acid, and those to float at; the others are from
//     data sheets;
//   - what the cold makes of a battery's resistance; -0.30 % per kelvin of the
//     open-circuit voltage of solar modules;
//   - 0.6 and 2 times the typical resistance of a battery, 100 mV over a fuse and
//     75 mV over a contact at their ratings, 85 % of a converter's input, 1.1
//     times its peak as its limit;
//   - coils: 0.75 of the nominal voltage operates, a tenth of that releases, 50 K
//     above the air, 130 C at most;
//   - 600 s as the time constant of distribution blocks; ratings that hold up to 2000 m;
//   - contacts: 0.20 of the rating for lamps and motors, 0.35 for coils; lamps
//     draw 10 times, motors 6 times their current at first;
//   - 1 uH for a metre of two cables side by side, where a ring of the voltage is
//     asked for 2 uH and 1 uH for what they join;
//   - breakers: 1.45, 1.3 and 1.35 times the rating trip them by their standards,
//     0.7 % per kelvin of a bimetal, 0.1 s of a magnet, 3000 operations of a switch;
//   - a meter of millivolts stands ten times its own for a moment, a sense screw 1 A;
//     lead-acid that floats on 2.30 V a cell or less limits its current itself;
//   - cut-outs: 10 K to the hottest spot of a winding, 5 K of a bimetal;
//   - operate times of 5 to 15 ms for relays and 15 to 50 ms for contactors; 0.2 s
//     for a flick of a key;
//   - 4 m of phase cable, from steps of 50 ns;
//   - a hand parts a connector at 0.5 m/s and mates it at 0.1 m/s; contactors open in
//     12 ms against a clamp, in 100 ms with a plain diode; a spark of 0.1 J leaves no
//     mark; an inlet is mated 300 times a year, another connector 12 times, for 10 years;
//   - heating with one time constant: 60 s for fuses and wires, 120 s for relays,
//     connectors and shunts, 600 s for contactors and disconnects, 1800 s for batteries.
//
// From memory here, and from print in calc: grouping of bunched cables (IEC
// 60364-5-52, table B.52.17).
package oracle
