//go:build !linux

package field

func inLargePages([]byte) {}
