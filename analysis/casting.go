package analysis

func (j *job) fillCast() {
	j.plan.Cast = Cast{Material: j.casting.Key, CavityMM3: j.measures.VolumeMM3}
	for _, r := range j.rods() {
		j.plan.Cast.CavityMM3 += r.volume()
	}
}
