package finding

// Outcome says how a job stands, all its findings taken together.
type Outcome string

const (
	Settle Outcome = "settle" // something must be settled before pouring
	Much   Outcome = "much"   // so much is to be checked that it is no job to just go on with
	Check  Outcome = "check"  // good to go, once a few things are checked
	Go     Outcome = "go"
)

// MostChecks is how many things to check still leave a job good to go.
const MostChecks = 4

// Judge sums findings up: how the job stands, and how many must be settled and
// are to be checked.
func Judge(all []Finding) (outcome Outcome, stops, warns int) {
	for _, f := range all {
		switch f.Level {
		case Stop:
			stops++
		case Warn:
			warns++
		}
	}
	switch {
	case stops > 0:
		return Settle, stops, warns
	case warns > MostChecks:
		return Much, stops, warns
	case warns > 0:
		return Check, stops, warns
	}
	return Go, stops, warns
}
