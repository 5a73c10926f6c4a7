//go:build !linux

package large

func populate([]byte) {}
