package mesh

import (
	"cmp"
	"slices"
)

// build places what the root model says is to be built; where it says nothing,
// all its objects that are not components.
func (r *threeMF) build(root string) error {
	if len(r.items) == 0 {
		r.items = r.loose(root)
	}
	for _, o := range r.objects {
		r.budget += int64(o.points.len() + o.faces.len() + len(o.components))
	}
	r.budget = 2*r.budget + maxCopies
	for _, item := range r.items {
		if err := r.place(item, unmoved); err != nil {
			return err
		}
	}
	return nil
}

// loose returns the objects of a model that are in no other, by number.
func (r *threeMF) loose(root string) []component {
	inner := map[objectID]bool{}
	for _, o := range r.objects {
		for _, c := range o.components {
			inner[c.objectID] = true
		}
	}
	var ids []objectID
	for id := range r.objects {
		if id.path == root && !inner[id] {
			ids = append(ids, id)
		}
	}
	slices.SortFunc(ids, func(a, b objectID) int { return cmp.Compare(a.id, b.id) })
	var items []component
	for _, id := range ids {
		items = append(items, component{id, unmoved})
	}
	return items
}

// place puts an object, and those it is made of, where it belongs.
func (r *threeMF) place(c component, outer placement) error {
	o := r.objects[c.objectID]
	switch {
	case o == nil:
		return r.fail(exportAgain3MF, "is damaged: there is no object %d", c.id)
	case o.open:
		return r.fail(exportAgain3MF, "is damaged: object %d is made of itself", c.id)
	case o.support:
		r.supports++
		return nil
	}
	if r.budget -= int64(o.points.len() + o.faces.len() + 1); r.budget < 0 {
		return r.fail("export the shape once, or a part of it", "repeats its parts without measure")
	}
	if err := r.ctx.Err(); err != nil {
		return err
	}
	at := outer.of(c.at)
	o.open = true
	defer func() { o.open = false }()
	if err := r.placeMesh(o, at, c.id); err != nil {
		return err
	}
	for _, inner := range o.components {
		if err := r.place(inner, at); err != nil {
			return err
		}
	}
	return nil
}

// placeMesh takes the mesh of an object.
func (r *threeMF) placeMesh(o *object, at placement, id uint32) error {
	r.startPart(at.volume() < 0)
	for _, block := range o.points.blocks {
		for _, p := range block {
			if !r.addPoint(at.point(p)) {
				return r.fail(exportAgain3MF, "is damaged: object %d is placed out of reach", id)
			}
		}
	}
	for _, block := range o.faces.blocks {
		for _, f := range block {
			if problem := r.addFace(f[:]); problem != "" {
				return r.fail("reduce the scan before planning", "cannot be read: %s", problem)
			}
		}
	}
	return nil
}
