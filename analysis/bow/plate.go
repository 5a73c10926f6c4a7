package bow

import (
	"fmt"
	"math"
)

// Plate is the stiffness and strength of one square metre of board. The
// energy of bending is ½∫(Dx·w,xx² + Dy·w,yy² + 2·D1·w,xx·w,yy + 4·D66·w,xy²).
type Plate struct {
	DxNM, DyNM, D1NM, D66NM float64 // N·m
	// ShearNPerM is the shear stiffness of a soft core, N/m: it adds a
	// deflection v with −S·∇²v = pressure. Zero: the core does not give.
	ShearNPerM  float64
	ThicknessMM float64
	CapacityN   float64 // bending moment per length that it bears, N·m/m; zero: not known
}

// Isotropic is a plain board of Young's modulus in Pa: D = E·t³/12(1−ν²).
func Isotropic(youngPa, poisson, thicknessMM float64) Plate {
	t := thicknessMM / 1000
	return Bending(youngPa*t*t*t/12/(1-poisson*poisson), poisson, thicknessMM)
}

// Bending is a board of known bending stiffness D in N·m, the same both ways.
func Bending(dNM, poisson, thicknessMM float64) Plate {
	return Grained(dNM, dNM, poisson, thicknessMM)
}

// Grained is a board with stiffness dx along the width of the wall and dy along
// its height, in N·m. Its twisting stiffness is that of a plain board of the
// geometric mean of both (M. T. Huber's rule, from memory).
func Grained(dxNM, dyNM, poisson, thicknessMM float64) Plate {
	mean := math.Sqrt(dxNM * dyNM)
	return Plate{
		DxNM: dxNM, DyNM: dyNM, D1NM: poisson * mean, D66NM: (1 - poisson) / 2 * mean,
		ThicknessMM: thicknessMM,
	}
}

// Sandwich is a board of two faces on a soft core, by the bending stiffness of
// its faces in N·m and the shear stiffness of its core in N/m.
func Sandwich(dNM, poisson, shearNPerM, thicknessMM float64) Plate {
	p := Bending(dNM, poisson, thicknessMM)
	p.ShearNPerM = shearNPerM
	return p
}

// Strong returns the plate with the bending strength of a solid board in Pa:
// it bears the moment σ·t²/6 per length.
func (p Plate) Strong(strengthPa float64) Plate {
	t := p.ThicknessMM / 1000
	p.CapacityN = strengthPa * t * t / 6
	return p
}

// Backed returns two boards that lie against each other and slide, on a wall
// of the given size: stiffnesses add up. A soft core is first counted as a
// plate that bends as much as both its parts do in one half-wave over the wall.
func (p Plate) Backed(q Plate, widthMM, heightMM float64) Plate {
	p, q = p.withoutShear(widthMM, heightMM), q.withoutShear(widthMM, heightMM)
	both := Plate{
		DxNM: p.DxNM + q.DxNM, DyNM: p.DyNM + q.DyNM, D1NM: p.D1NM + q.D1NM, D66NM: p.D66NM + q.D66NM,
		ThicknessMM: math.Max(p.ThicknessMM, q.ThicknessMM),
	}
	if p.CapacityN > 0 && q.CapacityN > 0 { // each bears its share of the moment
		both.CapacityN = math.Min(
			p.CapacityN*math.Min(both.DxNM/p.DxNM, both.DyNM/p.DyNM),
			q.CapacityN*math.Min(both.DxNM/q.DxNM, both.DyNM/q.DyNM))
	}
	return both
}

// withoutShear lowers the bending stiffness so that a half-wave sin(πx/a)·
// sin(πy/b) of pressure bends the plate as much as it did bend and shear it.
func (p Plate) withoutShear(widthMM, heightMM float64) Plate {
	if p.ShearNPerM == 0 {
		return p
	}
	a, b := widthMM/1000, heightMM/1000
	waves := math.Pi * math.Pi * (1/(a*a) + 1/(b*b))
	f := 1 / (1 + math.Max(p.DxNM, p.DyNM)*waves/p.ShearNPerM)
	p.DxNM, p.DyNM, p.D1NM, p.D66NM, p.ShearNPerM = f*p.DxNM, f*p.DyNM, f*p.D1NM, f*p.D66NM, 0
	return p
}

// Limits that tell a slip of units from a board.
const (
	leastD = 1e-6 // N·m
	mostD  = 1e9
)

func (p Plate) check() error {
	in := func(v float64) bool { return v >= leastD && v <= mostD }
	if !in(p.DxNM) || !in(p.DyNM) || !in(p.D66NM) {
		return &InputError{
			fmt.Sprintf("a board with bending stiffness %v and %v N·m and twisting stiffness %v N·m cannot be computed", p.DxNM, p.DyNM, p.D66NM),
			"give a stiffness in N·m above zero; a strip of the board on two supports tells it",
		}
	}
	if !(p.D1NM*p.D1NM < p.DxNM*p.DyNM) {
		return &InputError{
			fmt.Sprintf("the cross stiffness %v N·m is too large beside %v and %v N·m", p.D1NM, p.DxNM, p.DyNM),
			"check Poisson's ratio: it lies between −1 and 0.5",
		}
	}
	if !(p.ThicknessMM > 0 && p.ThicknessMM <= mostSideMM) {
		return &InputError{fmt.Sprintf("the board is %v mm thick", p.ThicknessMM), "give its thickness in mm"}
	}
	if !(p.ShearNPerM >= 0 && p.CapacityN >= 0) || math.IsInf(p.ShearNPerM, 0) || math.IsInf(p.CapacityN, 0) {
		return &InputError{
			fmt.Sprintf("a board with shear stiffness %v N/m that bears %v N·m/m cannot be computed", p.ShearNPerM, p.CapacityN),
			"give finite figures above zero, or zero for what is not known",
		}
	}
	return nil
}
