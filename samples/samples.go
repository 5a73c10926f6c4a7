// Package samples holds scans of invented hand props and what is known of
// them. The scans are made by samples/make.
package samples

import (
	_ "embed"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/samples/prop"
)

//go:embed gull-headed-cane.stl
var gullCane []byte

// Demo returns the sample that is built into the program: the file's name and
// its bytes, binary STL in millimetres.
func Demo() (name string, stl []byte) { return "gull-headed-cane.stl", gullCane }

// Region is a ball in the scan frame whose part of the surface is known to be
// carved, or known to be plain.
type Region struct {
	What     string
	Centre   r3.Vec // mm
	RadiusMM float64
}

// Fact is what is known of a scan, all in the scan frame.
type Fact struct {
	File      string
	Title     string
	LongestMM float64 // longest side of the tightest box
	Detail    []Region
	Plain     []Region

	NeckMM   float64 // diameter of the round neck; 0: no neck worth naming
	NeckAt   r3.Vec  // a point of its axis, half way along
	NeckAxis r3.Vec  // unit

	VolumeMM3       float64 // of the solid the scan is of, without noise
	VolumeFrom      string
	VolumeTolerance float64 // relative; between the solid and its scan
}

// volumeTolerance is what chords, rounded creases and noise may do to a scan's
// volume, as a part of it.
const volumeTolerance = 0.003

// All returns the facts, one sample a row, in the order of README.md.
func All() []Fact {
	var facts []Fact
	for _, p := range prop.All() {
		f := Fact{
			File: p.File, Title: p.Title, LongestMM: p.LongestMM,
			Detail: placed(p, p.Detail), Plain: placed(p, p.Plain),
			VolumeMM3: p.VolumeMM3, VolumeFrom: p.VolumeFrom, VolumeTolerance: volumeTolerance,
		}
		if p.Neck != nil {
			f.NeckMM = p.Neck.DiameterMM
			f.NeckAt, f.NeckAxis = p.Pose.Point(p.Neck.At), p.Pose.Dir(p.Neck.Axis)
		}
		facts = append(facts, f)
	}
	return facts
}

// placed returns regions of the prop's own frame in the scan frame.
func placed(p prop.Prop, own []prop.Region) []Region {
	var regions []Region
	for _, r := range own {
		regions = append(regions, Region{r.What, p.Pose.Point(r.At), r.RadiusMM})
	}
	return regions
}
