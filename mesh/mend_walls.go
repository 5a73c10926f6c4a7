package mesh

// dropWalls leaves out faces that are there twice, once each way, as a wall between
// two bodies that touch: around its rim the surface goes on without it. Where such
// faces are rather a surface there twice, the rim of which would stay open, one of
// each is needed (see dropUseless).
func (w *mending) dropWalls() {
	twin := w.opposites()
	if twin == nil {
		return
	}
	patches := newForest(len(w.Faces))
	var rims, breaks []int32 // faces at edges around which the surface goes on, or not
	w.eachEdgeInOrder(func(r edgeRun) {
		first, others, turns := int32(-1), 0, 0
		for _, u := range r.uses {
			switch f := u.face(); {
			case twin[f] < 0:
				others++
				if u.backward() {
					turns++
				}
			case first < 0:
				first = f
			default:
				patches.join(first, f)
			}
		}
		switch {
		case first < 0 || others == 0 && len(r.uses) == 4:
		case others == 2 && turns == 1 && len(r.uses) == 4:
			rims = append(rims, first)
		default:
			breaks = append(breaks, first)
		}
	})
	n := patches.number(func(f int) bool { return twin[f] < 0 })
	drop := make([]bool, n)
	for _, f := range rims {
		drop[patches[f]] = true
	}
	for _, f := range breaks {
		drop[patches[f]] = false
	}
	if count, area, at := w.without(func(f int32) bool { return patches[f] >= 0 && drop[patches[f]] }); count > 0 {
		w.note(MendDuplicate, count, area, 0, plural(count, "face", "faces")+" of walls between bodies that touch left out, the first near "+w.place(w.Vertices[at]))
	}
}

// opposites returns for each face the one on the same corners that is wound the
// other way, −1 where there is none or are more; nil when no face has one.
func (w *mending) opposites() []int32 {
	seen := newKeyIndex(len(w.Faces))
	twin, first := make([]int32, len(w.Faces)), make([]int32, 0, len(w.Faces))
	count := make([]int32, 0, len(w.Faces))
	for f, t := range w.Faces {
		twin[f] = -1
		k := int(seen.number(cornersKey(t)))
		if k == len(first) {
			first, count = append(first, int32(f)), append(count, 1)
			continue
		}
		count[k]++
		if e := first[k]; count[k] == 2 && clockwise(w.Faces[e]) != clockwise(t) {
			twin[e], twin[f] = int32(f), e
		} else if other := twin[e]; other >= 0 {
			twin[e], twin[other] = -1, -1
		}
	}
	for _, t := range twin {
		if t >= 0 {
			return twin
		}
	}
	return nil
}

// clockwise tells apart the two ways to wind a face on the same corners.
func clockwise(t [3]int32) bool {
	return (t[0] < t[1]) != (t[1] < t[2]) != (t[2] < t[0])
}
