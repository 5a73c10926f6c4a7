// Package finding holds a doubt or warning that an answer carries: what was
// found, where, how bad it is and what to do about it.
package finding

// Level says how bad a finding is.
type Level string

const (
	Note Level = "note" // worth knowing
	Warn Level = "warn" // check before going on
	Stop Level = "stop" // do not pour before this is settled
)

// Finding is one doubt or warning.
type Finding struct {
	Question string      `json:"question"`        // the folder that asked: "stand", "mix", …
	Level    Level       `json:"level"`           //
	Text     string      `json:"text"`            // one plain sentence
	AtMM     *[3]float64 `json:"at_mm,omitempty"` // stand frame, when there is a place
	Action   string      `json:"action"`          // what to do
}
