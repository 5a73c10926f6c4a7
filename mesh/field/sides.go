package field

// sides gives the distances their sign, and their unit.
func (b *build) sides() error {
	b.stripes, b.near, b.spots, b.feet = nil, nil, nil, nil
	if b.closed {
		return b.each(b.f.N[2], func(_, z int) { b.sidesOfPlane(z) })
	}
	return b.sidesOfOpen()
}

// sidesOfPlane signs plane z of a closed mesh: the winding number of a voxel is
// the sum of turns on its line along x.
func (b *build) sidesOfPlane(z int) {
	nx, ny := b.f.N[0], b.f.N[1]
	unit := float32(b.f.VoxelMM)
	for y := range ny {
		row := b.f.Distance[(z*ny+y)*nx:][:nx]
		eachWinding(b.lines[0].of(b.f.lineX(y, z)), nx, func(winding int32, from, to int) {
			scale := unit
			if winding != 0 {
				scale = -unit
			}
			for x := from; x < to; x++ {
				row[x] *= scale
			}
		})
	}
}

// eachWinding visits the stretches of voxels between the crossings of a line,
// with how often the surface winds around them as counted from the line's start.
func eachWinding(crossings []crossing, n int, visit func(winding int32, from, to int)) {
	winding, from := int32(0), 0
	for i := range crossings {
		to := min(n, max(from, ceil(max(0, crossings[i].at))))
		if to > from {
			visit(winding, from, to)
			from = to
		}
		winding -= crossings[i].turn
	}
	if from < n {
		visit(winding, from, n)
	}
}
