// Code generated from quantities.cue by go test ./schema/internal/define -update; DO NOT EDIT.

package define

import "example.org/headroom/schema/internal/source"

var definitionAmpere = Definition{Name: "#Ampere", Kinds: 1 << source.NumberKind, Low: bound{value: 1e-06, set: true}, High: bound{value: 10000, set: true}}

var definitionAmpereHour = Definition{Name: "#AmpereHour", Kinds: 1 << source.NumberKind, Low: bound{value: 0.001, set: true}, High: bound{value: 10000, set: true}}

var definitionAmpereSquaredSecond = Definition{Name: "#AmpereSquaredSecond", Kinds: 1 << source.NumberKind, Low: bound{value: 0, open: true, set: true}, High: bound{value: 1e+09, set: true}}

var definitionCelsius = Definition{Name: "#Celsius", Kinds: 1 << source.NumberKind, Low: bound{value: -80, set: true}, High: bound{value: 500, set: true}}

var definitionClosable = Definition{Name: "#Closable", Kinds: 1 << source.TextKind, Form: &Form{expression: `^[a-z][a-z0-9_]*([.][a-z][a-z0-9_]*)?$`}}

var definitionCoordinate = Definition{Name: "#Coordinate", Kinds: 1 << source.NumberKind, Low: bound{value: -10000, set: true}, High: bound{value: 10000, set: true}}

var definitionCount = Definition{Name: "#Count", Kinds: 1 << source.NumberKind, Integer: true, Low: bound{value: 0, set: true}, High: bound{value: 10000, set: true}}

var definitionDate = Definition{Name: "#Date", Kinds: 1 << source.TextKind, Form: &Form{expression: `^[0-9]{4}-[0-9]{2}-[0-9]{2}$`}}

var definitionDropMillivolt = Definition{Name: "#DropMillivolt", Kinds: 1 << source.NumberKind, Low: bound{value: 0.001, set: true}, High: bound{value: 5000, set: true}}

var definitionFactor = Definition{Name: "#Factor", Kinds: 1 << source.NumberKind, Low: bound{value: 0, open: true, set: true}, High: bound{value: 100, set: true}}

var definitionFaultAmpere = Definition{Name: "#FaultAmpere", Kinds: 1 << source.NumberKind, Low: bound{value: 0.001, set: true}, High: bound{value: 300000, set: true}}

var definitionId = Definition{Name: "#Id", Kinds: 1 << source.TextKind, Form: &Form{expression: `^[a-z][a-z0-9_]*$`}}

var definitionJoule = Definition{Name: "#Joule", Kinds: 1 << source.NumberKind, Low: bound{value: 1e-06, set: true}, High: bound{value: 1e+06, set: true}}

var definitionKelvin = Definition{Name: "#Kelvin", Kinds: 1 << source.NumberKind, Low: bound{value: 0, set: true}, High: bound{value: 300, set: true}}

var definitionKiloohm = Definition{Name: "#Kiloohm", Kinds: 1 << source.NumberKind, Low: bound{value: 0.001, set: true}, High: bound{value: 100000, set: true}}

var definitionMetre = Definition{Name: "#Metre", Kinds: 1 << source.NumberKind, Low: bound{value: 0, open: true, set: true}, High: bound{value: 200, set: true}}

var definitionMicrofarad = Definition{Name: "#Microfarad", Kinds: 1 << source.NumberKind, Low: bound{value: 0, set: true}, High: bound{value: 1e+06, set: true}}

var definitionMilliampere = Definition{Name: "#Milliampere", Kinds: 1 << source.NumberKind, Low: bound{value: 0, set: true}, High: bound{value: 100000, set: true}}

var definitionMillimetre = Definition{Name: "#Millimetre", Kinds: 1 << source.NumberKind, Low: bound{value: 0.001, set: true}, High: bound{value: 10000, set: true}}

var definitionMilliohm = Definition{Name: "#Milliohm", Kinds: 1 << source.NumberKind, Low: bound{value: 1e-05, set: true}, High: bound{value: 100000, set: true}}

var definitionNewtonMetre = Definition{Name: "#NewtonMetre", Kinds: 1 << source.NumberKind, Low: bound{value: 0.001, set: true}, High: bound{value: 500, set: true}}

var definitionOhm = Definition{Name: "#Ohm", Kinds: 1 << source.NumberKind, Low: bound{value: 1e-06, set: true}, High: bound{value: 1e+06, set: true}}

var definitionPercent = Definition{Name: "#Percent", Kinds: 1 << source.NumberKind, Low: bound{value: 0.0001, set: true}, High: bound{value: 100, set: true}}

var definitionRuleId = Definition{Name: "#RuleId", Kinds: 1 << source.TextKind, Form: &Form{expression: `^[a-z][a-z0-9]*(-[a-z0-9]+)*$`}}

var definitionSecond = Definition{Name: "#Second", Kinds: 1 << source.NumberKind, Low: bound{value: 1e-06, set: true}, High: bound{value: 1e+07, set: true}}

var definitionSentence = Definition{Name: "#Sentence", Kinds: 1 << source.TextKind, Form: &Form{expression: `(?s)\pL.*\s.*\pL`}}

var definitionTerminal = Definition{Name: "#Terminal", Kinds: 1 << source.TextKind, Form: &Form{expression: `^([a-z][a-z0-9_]*[.][a-z][a-z0-9_]*|chassis)$`}}

var definitionText = Definition{Name: "#Text", Kinds: 1 << source.TextKind, Filled: true}

var definitionVolt = Definition{Name: "#Volt", Kinds: 1 << source.NumberKind, Low: bound{value: 0.001, set: true}, High: bound{value: 1500, set: true}}

var definitionWatt = Definition{Name: "#Watt", Kinds: 1 << source.NumberKind, Low: bound{value: 1e-06, set: true}, High: bound{value: 1e+06, set: true}}

var definitionWithstandVolt = Definition{Name: "#WithstandVolt", Kinds: 1 << source.NumberKind, Low: bound{value: 0.1, set: true}, High: bound{value: 20000, set: true}}
