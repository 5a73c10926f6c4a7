// Package lawtest checks laws on random cases.
package lawtest

import (
	"flag"
	"testing"

	"pgregory.net/rapid"
)

// Check checks a law on the same random cases every time, so that what fails a
// change is the change. Other cases are drawn when the tests are given
// -rapid.seed; make laws does so, for many more of them.
func Check(t *testing.T, law func(*rapid.T)) {
	t.Helper()
	if seed := flag.Lookup("rapid.seed"); seed.Value.String() == seed.DefValue {
		if err := seed.Value.Set("1"); err != nil {
			t.Fatal(err)
		}
	}
	rapid.Check(t, law)
}
