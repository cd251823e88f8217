package capacity

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
)

// ThinnestThat is the thinnest usual size of the wire's system with which the
// conductor, in its place, is as asked; false for a bus bar or when none is.
func (c *Conductor) ThinnestThat(p *rules.Pass, fits func(*Conductor) bool) (label string, ok bool) {
	return c.thinnest(func(s calc.Size) bool {
		resized, err := c.resized(p, s)
		return err == nil && fits(resized)
	})
}

// resized is the conductor with another size of wire.
func (c *Conductor) resized(p *rules.Pass, s calc.Size) (*Conductor, error) {
	out, cable := *c, *c.cable
	if c.tinned {
		s = s.Tinned()
	}
	cable.Size = s
	out.cable, out.AreaMM2 = &cable, s.AreaMM2
	var err error
	if out.smallCraft {
		out.table, err = calc.SmallCraftAmpacity(s, c.insulationC, c.AmbientC > engineSpaceC)
		out.IzA = cable.Derating * out.table.Value
		return &out, err
	}
	out.IzA, err = freeAirA(p, cable, c.LimitC, c.AmbientC)
	return &out, err
}

// OhmPerMetre is the resistance of a wire at 20 C, 0 for a bus bar.
func (c *Conductor) OhmPerMetre() float64 {
	if c.cable == nil {
		return 0
	}
	return c.cable.Size.R20
}

// ThinnestFor is the thinnest usual size of the wire's system that carries a current
// in A in its place, or false for a bus bar or when none does. It is what a fix
// proposes, not a rating.
func (c *Conductor) ThinnestFor(p *rules.Pass, currentA float64) (label string, ok bool) {
	return c.ThinnestThat(p, func(c *Conductor) bool { return c.IzA >= currentA })
}

func (c *Conductor) thinnest(fits func(calc.Size) bool) (string, bool) {
	if c.cable == nil {
		return "", false
	}
	s, ok := calc.ThinnestSize(c.cable.Size.System, fits)
	return s.Label, ok
}

// alike is what two conductors share that heat in the same way.
type alike struct {
	size                        string
	tinned                      bool
	bar                         calc.Bar
	derating                    float64
	ambientC, limitC, shortTime float64
}

func (c *Conductor) alike() alike {
	key := alike{ambientC: c.AmbientC, limitC: c.LimitC, shortTime: c.shortTimeC}
	if c.bar != nil {
		key.bar = *c.bar
	} else {
		key.size, key.tinned, key.derating = c.cable.Size.Label, c.tinned, c.cable.Derating
	}
	return key
}

// Replicas keeps the damage curves of conductors, of which a vehicle has many
// alike. The zero value is ready to use; it is not safe for concurrent use.
type Replicas struct{ known map[alike]*calc.Damage }

// Damage returns the damage curve of a conductor, made once for all that heat
// in the same way, and adds k to the working.
func (r *Replicas) Damage(c *Conductor, w *rules.Working) (*calc.Damage, error) {
	key := c.alike()
	if d, ok := r.known[key]; ok {
		return d, c.withstand(w)
	}
	d, err := c.Damage(w)
	if err != nil {
		return nil, err
	}
	if r.known == nil {
		r.known = map[alike]*calc.Damage{}
	}
	r.known[key] = d
	return d, nil
}

// WiderFor is the least width in mm, in steps of 5 mm, of a bar of the same
// thickness that carries a current in A in the conductor's place, or false for a
// wire or when none up to 200 mm does. It is what a fix proposes, not a rating.
func (c *Conductor) WiderFor(currentA float64) (widthMM float64, ok bool) {
	if c.bar == nil {
		return 0, false
	}
	bar := *c.bar
	for bar.WidthMM = 10; bar.WidthMM <= 200; bar.WidthMM += 5 {
		if a, err := calc.BarAmpacity(bar, c.LimitC, c.AmbientC); err == nil && a >= currentA {
			return bar.WidthMM, true
		}
	}
	return 0, false
}
