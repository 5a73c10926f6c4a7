package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"pourwright/analysis"
	"pourwright/mesh"
	"pourwright/render/say"
)

// mayWriteAll refuses files that cannot be what was asked for, before the work.
func (s *scanner) mayWriteAll(scan string) error {
	for _, f := range []struct{ path, flag, ending string }{{s.picture, "--picture", ".png"}, {s.mended, "--write", ".stl"}} {
		if f.path == "" {
			continue
		}
		if !strings.EqualFold(filepath.Ext(f.path), f.ending) {
			return &usageError{fmt.Sprintf("%s writes %s, and %q does not end in %s", f.flag, strings.ToUpper(f.ending[1:]), f.path, f.ending),
				f.flag + " " + strings.TrimSuffix(f.path, filepath.Ext(f.path)) + f.ending}
		}
		if sameFile(f.path, scan) {
			return &usageError{"the scan itself is never changed", "name another file with " + f.flag}
		}
		if err := mayWrite(f.path, f.flag, s.force); err != nil {
			return err
		}
	}
	return nil
}

func sameFile(a, b string) bool {
	one, err1 := os.Stat(a)
	other, err2 := os.Stat(b)
	return err1 == nil && err2 == nil && os.SameFile(one, other)
}

// writeAll writes the files that were asked for.
func (s *scanner) writeAll(ctx context.Context, style say.Style, l *analysis.Loaded) error {
	if s.picture != "" {
		if err := s.draw(ctx, worthOf(style, l)); err != nil {
			return err
		}
	}
	if s.mended == "" {
		return nil
	}
	return writeAside(ctx, s.mended, "--write", s.force, func(fresh string) error {
		return mesh.WriteSTL(fresh, l.Mended, "mended, in mm: "+l.Scan.File)
	})
}

func (s *scanner) reportWritten(r *report) {
	var rows [][2]string
	if s.picture != "" {
		rows = append(rows, [2]string{s.picture, "the scan with its problems marked"})
	}
	if s.mended != "" {
		rows = append(rows, [2]string{s.mended, "the scan as it is planned with, in mm"})
	}
	if rows != nil {
		r.heading("Written")
		r.rows(rows)
	}
}
