package picture

import (
	"slices"

	"pourwright/analysis"
)

// key names what the view shows.
func (k *casting) key() []entry {
	plan := k.s.plan
	plain := func(fill, edge tint) func(*canvas, point) {
		return func(c *canvas, p point) { c.swatch(fill, 1, edge, p) }
	}
	all := []entry{{"casting material", plain(poured, ink)}}
	if k.hollow() {
		all = []entry{{"skin of casting material", plain(poured, ink)}, {"hollow, and the skin behind", plain(hollow.mix(cured, shownInAir).mix(poured, coated), ink)}}
	}
	if k.cut.risen {
		all = []entry{{"liquid, before it rises", plain(poured, ink)}, {"foam, once it has risen", foamSwatch}}
	}
	all = append(all, entry{"rubber block, cut", func(c *canvas, p point) {
		box := rect{p.X, p.Y, p.X + 46, p.Y + 26}.corners()
		c.fill(cured, 1, box)
		c.hatch(deep, 0.9, box)
		c.draw(line(deep, 1.6), closed(box))
	}})
	boards := "boards"
	if k.cut.risen {
		boards = "boards; lid with bleed holes"
	}
	if k.hollow() {
		boards = "boards; lid that does not leak"
	}
	all = append(all, entry{boards, plain(wallCut, shade)}, entry{"strap or clamp", plain(steel, ink)})
	all = append(all, k.ventKey()...)
	if anyStays(k.cut.traps) {
		all = append(all, entry{"air that stays", func(c *canvas, p point) { c.warning(point{p.X + 23, p.Y + 13}) }})
	}
	if len(plan.Cast.Necks) > 0 {
		all = append(all, entry{"neck: widest ball that passes", neckSwatch})
	}
	all = append(all, k.rodKey()...)
	return append(all, k.endsKey()...)
}

// endsKey names the marks of ends.
func (k *casting) endsKey() (all []entry) {
	plan := k.s.plan
	if k.hollow() {
		return nil
	}
	for _, keeps := range []bool{false, true} {
		name, colour := "ends, a first, in the order they fill", blue
		if keeps {
			name, colour = "end that keeps its air", signal
		}
		if slices.ContainsFunc(plan.Cast.Tips, func(t analysis.CastTip) bool { return keepsAir(t) == keeps }) {
			all = append(all, entry{name, func(c *canvas, p point) { c.hoop(point{p.X + 23, p.Y + 13}, colour) }})
		}
	}
	if slices.ContainsFunc(plan.Cast.Tips, k.beforeCut) {
		all = append(all, entry{"in front of the cut", func(c *canvas, p point) {
			c.draw(dashed(blue, 2.2, 6, 4), []point{{p.X + 2, p.Y + 13}, {p.X + 44, p.Y + 13}})
		}})
	}
	return all
}

// hoop draws the round mark of a number, smaller and empty.
func (c *canvas) hoop(at point, colour tint) {
	c.fill(colour, 1, disc(at, 14))
	c.fill(chalk, 1, disc(at, 11.4))
}

// ventKey says how wide the vents are.
func (k *casting) ventKey() []entry {
	low, high := 0.0, 0.0
	for _, t := range k.s.plan.CastTrap {
		if v := t.Vent; v != nil {
			if low == 0 || v.DiameterMM < low {
				low = v.DiameterMM
			}
			high = max(high, v.DiameterMM)
		}
	}
	if high == 0 {
		return nil
	}
	name := "vent, " + k.s.words.length(high)
	if low < high {
		name = "vents, " + k.s.words.length(low) + " and more"
	}
	return []entry{{name, func(c *canvas, p point) {
		c.fill(lamp, 1, rect{p.X + 5, p.Y, p.X + 12, p.Y + 26}.corners())
		c.hoop(point{p.X + 32, p.Y + 13}, amber)
	}}}
}

// rodKey names what covers the rod and what holds it.
func (k *casting) rodKey() (all []entry) {
	if len(k.s.stiff) == 0 {
		return nil
	}
	if r := k.s.plan.Rod; r.CoverMM != nil {
		all = append(all, entry{"least cover, " + k.s.words.length(*r.CoverMM), func(c *canvas, p point) {
			stiffenerSwatch(false)(c, p)
			c.drawCover(point{p.X + 10, p.Y + 13}, point{p.X + 36, p.Y + 13}, 12)
		}})
	}
	if n := len(k.s.plan.Rod.Standoffs); n > 0 {
		all = append(all, entry{counted(n, "bridge") + " that hold" + map[bool]string{true: "s"}[n == 1] + " it", func(c *canvas, p point) {
			c.draw(line(bridged, 6), []point{{p.X + 3, p.Y + 13}, {p.X + 43, p.Y + 13}})
		}})
	}
	return all
}

func foamSwatch(c *canvas, p point) {
	for y := range 26 {
		for x := range 46 {
			at := point{p.X + float64(x), p.Y + float64(y)}
			c.img.SetRGBA(int(at.X), int(at.Y), foamed.mix(chalk, 0.75*bubbles(at)).opaque())
		}
	}
	c.draw(line(ink, 1.6), closed(rect{p.X, p.Y, p.X + 46, p.Y + 26}.corners()))
}

func neckSwatch(c *canvas, p point) {
	for _, side := range []float64{-1, 1} {
		tip, from := point{p.X + 23 + 5*side, p.Y + 13}, point{p.X + 23 + 25*side, p.Y + 13}
		c.draw(line(ink, 2), []point{from, tip.to(from, 0.5)})
		c.arrow(ink, from, tip)
	}
}
