package field

import "unsafe"

// largeBytes is the size from which it pays to ask for memory in large pages.
const largeBytes = 4 << 20

// makeLarge is make([]T, n) for the large arrays of a field. Where a page costs a
// trap of several microseconds, as on virtual machines, the first writes to an
// array take longer than the work on it; pages of 2 MiB are one trap for 512.
func makeLarge[T any](n int) []T {
	s := make([]T, n)
	var t T
	if bytes := n * int(unsafe.Sizeof(t)); bytes >= largeBytes {
		inLargePages(unsafe.Slice((*byte)(unsafe.Pointer(unsafe.SliceData(s))), bytes))
	}
	return s
}
