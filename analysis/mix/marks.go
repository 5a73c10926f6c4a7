package mix

// Round distances between marks, of which the least is taken that makes at
// most mostMarks of them.
var (
	roundMM     = [...]float64{1, 2, 5, 10, 25, 50, 100, 250, 500}
	roundInches = [...]float64{1.0 / 16, 1.0 / 8, 1.0 / 4, 1.0 / 2, 1, 2, 4, 12, 24}
)

const mostMarks = 8

// marks returns marks at round levels and one at the rubber level.
func (in Input) marks() []Mark {
	level, step := in.InsideMM[2], in.markStep()
	var ms []Mark
	// A mark within a quarter step of the rubber level would crowd it.
	for i := 1; float64(i)*step < level-step/4; i++ {
		ms = append(ms, in.At(float64(i)*step))
	}
	return append(ms, in.At(level))
}

func (in Input) markStep() float64 {
	steps, unit := roundMM, 1.0
	if in.InchMarks {
		steps, unit = roundInches, 25.4
	}
	for _, s := range steps {
		if in.InsideMM[2] <= s*unit*(mostMarks+1) {
			return s * unit
		}
	}
	return in.InsideMM[2] / mostMarks
}
