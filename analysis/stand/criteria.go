package stand

import (
	"errors"
	"maps"
	"math"
	"slices"
)

// Criterion is one thing that speaks for or against a way up.
type Criterion int

// The criteria, in the order in which they are told.
const (
	Detail     Criterion = iota // the spout's scar and the board keep off detail
	Spout                       // it is wide for the volume to fill, and the only place on the board
	CastAir                     // few vents, none on detail, and no air that stays in the cast
	RubberAir                   // no air under the pattern while rubber rises
	RubberMass                  // little rubber
	Height                      // low: little pressure on the walls
	Stability                   // it stands steadily on its glue patch
	Necks                       // no narrow place between the spout and the rest
	criteriaCount
)

var criterionNames = [criteriaCount]string{"detail", "spout", "cast_air", "rubber_air", "rubber_mass", "height", "stability", "necks"}

var criterionWords = [criteriaCount]string{"detail", "spout", "air in the cast", "air in the rubber", "rubber", "height", "stability", "necks"}

// Words returns its name for people.
func (c Criterion) Words() string { return criterionWords[c] }

// String returns its name as the plan and --prefer have it.
func (c Criterion) String() string { return criterionNames[c] }

// CriterionNames lists the criteria by name, in their order.
func CriterionNames() []string { return slices.Clone(criterionNames[:]) }

// Criteria holds a figure for each criterion, 0–1 and higher better; NaN where it is
// not known.
type Criteria [criteriaCount]float64

// Weights says how much each criterion counts; one that weighs nothing is not
// looked at in any comparison.
type Weights [criteriaCount]float64

// DefaultWeights are common practice, no source: a spoilt face or a mold that
// does not fill is lost work, rubber is money, and a pattern can be pinned.
var DefaultWeights = Weights{Detail: 3, Spout: 2, CastAir: 2, RubberAir: 1, RubberMass: 1, Height: 0.5, Stability: 0.5, Necks: 1}

// ErrNoWeight tells that all criteria weigh nothing.
var ErrNoWeight = errors.New("all criteria weigh nothing")

// Preferring returns the weights with those of some criteria replaced, or the
// first name (by the alphabet) that is no criterion or has a weight that is
// not a number from 0.
func (w Weights) Preferring(by map[string]float64) (_ Weights, wrong string) {
	for _, name := range slices.Sorted(maps.Keys(by)) {
		i, weight := slices.Index(criterionNames[:], name), by[name]
		if i < 0 || !(weight >= 0) || math.IsInf(weight, 1) {
			return w, name
		}
		w[i] = weight
	}
	return w, ""
}

// Score returns the weighted mean of the criteria that are known, 0–1.
func (c Criteria) Score(w Weights) float64 {
	sum, of := 0.0, 0.0
	for i, x := range c {
		if w[i] > 0 && !math.IsNaN(x) {
			sum += w[i] * x
			of += w[i]
		}
	}
	if of == 0 {
		return 0
	}
	return sum / of
}

// toleranceShare is the least difference of a criterion that counts when ways
// are held against each other: one in a hundred.
const toleranceShare = 0.01

// steps returns the criteria that count in whole hundredths, others as 0.
func (c Criteria) steps(w Weights) [criteriaCount]int {
	var s [criteriaCount]int
	for i, x := range c {
		if w[i] > 0 && !math.IsNaN(x) {
			s[i] = int(math.Round(x / toleranceShare))
		}
	}
	return s
}

// dominates tells whether a is nowhere worse than b and somewhere better, by
// whole hundredths.
func (c Criteria) dominates(b Criteria, w Weights) bool {
	s, t := c.steps(w), b.steps(w)
	better := false
	for i := range s {
		if s[i] < t[i] {
			return false
		}
		better = better || s[i] > t[i]
	}
	return better
}
