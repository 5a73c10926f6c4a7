package main

import (
	"bytes"
	"context"

	"pourwright/analysis"
	"pourwright/mesh"
	"pourwright/render/picture"
	"pourwright/render/say"
)

// worthOf is what the picture of a scan shows.
func worthOf(style say.Style, l *analysis.Loaded) picture.WorthInput {
	in := picture.WorthInput{Mesh: l.Read, Verdict: verdict(style, l), Problems: problemsOf(l.Scan), Crossed: l.Crossed, Dropped: l.Dropped, Show: style,
		Sound: l.Scan.Worth == analysis.WorthSound}
	if added := l.Mended.Faces[l.Scanned:]; len(added) > 0 {
		in.Patches = &mesh.Mesh{Vertices: l.Mended.Vertices, Faces: added}
	}
	return in
}

// worthOfBroken is the same for a scan that cannot be used.
func worthOfBroken(style say.Style, u *analysis.Unusable) picture.WorthInput {
	return picture.WorthInput{Mesh: u.Read, Verdict: brokenVerdict(u), Problems: problemsOf(u.Scan), Show: style}
}

func problemsOf(s analysis.Scan) []mesh.Problem {
	var all []mesh.Problem
	for _, p := range s.Problems {
		found := mesh.Problem{Kind: p.Kind, Count: p.Count, Text: p.Text}
		if p.AtMM != nil {
			found.HasAt, found.At.X, found.At.Y, found.At.Z = true, p.AtMM[0], p.AtMM[1], p.AtMM[2]
		}
		all = append(all, found)
	}
	return all
}

// draw draws the scan with its problems marked.
func (s *scanner) draw(ctx context.Context, in picture.WorthInput) error {
	b := s.con.newBar()
	defer b.erase()
	b.tell("drawing the picture", 0, 1)
	img, err := picture.Worth(ctx, in)
	if err != nil {
		return err
	}
	var png bytes.Buffer
	if err := picture.WritePNG(&png, img); err != nil {
		return err
	}
	return writeAside(ctx, s.picture, "--picture", s.force, bytesTo(png.Bytes()))
}
