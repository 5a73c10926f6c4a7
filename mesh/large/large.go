// Package large makes the large arrays of a scan.
package large

import "unsafe"

// largeBytes is the size from which it pays to ask for memory in one go.
const largeBytes = 1 << 18

// Make is make([]T, n) for the large arrays of a scan. The system hands
// out fresh memory page by page, at the first write to each; where a page costs
// a trap of several microseconds, as on virtual machines, that took half of the
// time to read a large scan. Asking for all pages at once avoids the traps.
func Make[T any](n int) []T {
	s := make([]T, n)
	var t T
	if bytes := n * int(unsafe.Sizeof(t)); bytes >= largeBytes {
		populate(unsafe.Slice((*byte)(unsafe.Pointer(unsafe.SliceData(s))), bytes))
	}
	return s
}
