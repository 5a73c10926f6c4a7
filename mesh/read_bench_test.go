package mesh

import "testing"

// BenchmarkReadFormats answers how long a scan takes to read and weld in each
// format.
func BenchmarkReadFormats(b *testing.B) {
	for _, w := range writers {
		b.Run(w.format, func(b *testing.B) {
			onSizes(b, func(b *testing.B, m *Mesh) {
				file := w.file(m)
				b.ResetTimer()
				for b.Loop() {
					got, _, err := readWhole(file)
					if err != nil || len(got.Vertices) != len(m.Vertices) {
						b.Fatal(err)
					}
				}
			})
		})
	}
}
