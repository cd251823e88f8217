package schema

import "strconv"

// Connector is a plug with its socket. Terminals: a1, b1, a2, b2 and so on, a pair for
// each contact; a is the half on the side of the source.
type Connector struct {
	Base
	Use            string           `json:"use"` // battery, inlet or harness
	Contacts       []PlugContact    `json:"contacts"`
	MaxTempC       Number           `json:"max_C"`
	RatedAtC       Number           `json:"rated_at_C"` // air at which carry_A holds
	Derating       []LoadedContacts `json:"derating"`
	Breaks         []BreakRating    `json:"breaks"` // nil: not stated; empty: without breaking capacity
	MakeA          Number           `json:"make_A"`
	MatingCycles   Number           `json:"mating_cycles"`
	MatingsPerYear Number           `json:"matings_per_year"`
	Unmated        Unmated          `json:"unmated"`
	Lock           string           `json:"lock"`      // none, latch or tool; "" if not stated
	TwoStage       bool             `json:"two_stage"` // a lever opens the pilot first
	Pilot          *Pilot           `json:"pilot"`
	FirstMate      *FirstMate       `json:"first_mate"`
	Series         string           `json:"family"` // what mates with what
	Key            string           `json:"key"`    // coding within the family
	Genderless     bool             `json:"genderless"`
	ResistanceUOhm Number           `json:"resistance_uOhm"` // of one contact at the end of its life
	Inhibit        bool             `json:"inhibit"`         // has a contact that is open while mated
	LiveWhenMated  *bool            `json:"live_when_mated"` // nil: not stated
}

// PlugContact is one contact of a connector, both halves taken together.
type PlugContact struct {
	CarryA   Number `json:"carry_A"`
	AtSize   string `json:"at_size"` // wire for which that holds
	RatedVdc Number `json:"rated_V_dc"`
	Mates    string `json:"mates"` // first, last or "" with the others
}

// Loaded is what is left of the rated current with several contacts loaded.
type LoadedContacts struct {
	Contacts int     `json:"loaded"`
	Percent  float64 `json:"percent"`
}

// Unmated is what can be touched of each half of a parted connector: ipxxb or open.
type Unmated struct {
	A string `json:"a"`
	B string `json:"b"`
}

// Pilot is the short contacts that part before the others.
type Pilot struct {
	Contacts []int  `json:"contacts"` // from 1
	LeadMM   Number `json:"lead_mm"`
}

// FirstMate is a resistor on a contact that mates before the others.
type FirstMate struct {
	ResistanceOhm float64 `json:"resistance_Ohm"`
	LeadMM        float64 `json:"lead_mm"`
}

// Terminals lists the terminals of a connector; a contact may stay unused.
func (k *Connector) Terminals() (t []Terminal) {
	for i := range k.Contacts {
		n := strconv.Itoa(i + 1)
		t = append(t, contact("a"+n, "b"+n)...)
	}
	if k.Inhibit {
		t = append(t, contact("inhibit_a", "inhibit_b")...)
	}
	return t
}

// ContactOf is the contact of a number, as the ids of the circuit have it; not ok for
// the one that opens when the connector is mated.
func (k *Connector) ContactOf(number string) (contact PlugContact, ok bool) {
	n, err := strconv.Atoi(number)
	if err != nil || n < 1 || n > len(k.Contacts) {
		return PlugContact{}, false
	}
	return k.Contacts[n-1], true
}

// Pilots reports whether a contact, counted from 1, is one of the pilot's.
func (k *Connector) Pilots(contact int) bool {
	if k.Pilot == nil {
		return false
	}
	for _, n := range k.Pilot.Contacts {
		if n == contact {
			return true
		}
	}
	return false
}

// BatterySwitch is the transistors in a pack that switch it off.
type BatterySwitch struct {
	DischargeA  Number        `json:"discharge_A"`
	ChargeA     Number        `json:"charge_A"`
	Peak        *ShortTime    `json:"peak"`
	ShortTripA  Number        `json:"short_trip_A"`
	ShortTripUs Number        `json:"short_trip_us"`
	Break       *SwitchBreak  `json:"break"`
	Port        string        `json:"port"` // common or separate
	Side        string        `json:"side"` // pole in which it is: negative or positive
	OnMOhm      Number        `json:"on_mOhm"`
	DiodeV      Number        `json:"diode_V"`
	DiodeA      Number        `json:"diode_A"`
	LowV        Number        `json:"low_V"`
	ReconnectV  Number        `json:"reconnect_V"`
	Wake        string        `json:"wake"` // charger, button or load-off; "" if not stated
	Precharge   *OwnPrecharge `json:"precharge"`
	OffUA       Number        `json:"off_uA"`
}

// SwitchBreak is what a switch of transistors withstands when it switches off.
type SwitchBreak struct {
	V float64 `json:"V"`
	J Number  `json:"J"`
}

// OwnPrecharge is the pre-charge of a pack's own switch.
type OwnPrecharge struct {
	Ohm   float64 `json:"ohm"`
	UFMax float64 `json:"uF_max"`
	S     float64 `json:"s"`
}

// HasChargePort reports whether the battery has a terminal for charging alone.
func (b *Battery) HasChargePort() bool { return b.BMS != nil && b.BMS.Port == "separate" }
