package analysis

import (
	"context"
)

// LookCloser looks for what takes longer than reading: surface that passes
// through itself, and the scatter of the corners. A scan whose volume suffers
// from the one is built anew; the doubt from the other is added to the volume's.
// It looks only once.
func (l *Loaded) LookCloser(ctx context.Context, c Choices, p Progress) error {
	if l.closer {
		return nil
	}
	p.Tell("looking for noise", 0, 1)
	sigma, scatter := l.Solid.Noise()
	l.Scan.NoiseMM = &sigma
	l.Scan.VolumeDoubt.NoiseMM3 = scatter
	l.judge()
	l.closer = true
	return nil
}
