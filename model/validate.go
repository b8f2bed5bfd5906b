package model

// Bounds on the size of a problem.
const (
	maxHorizon     = 200_000
	maxPours       = 5_000
	maxPeople      = 5_000
	maxThings      = 20_000
	maxStepsOfPour = 64
	maxWhos        = 500_000
)

// Issue is something in a problem that the planning model does not allow.
// Path is the place of the value, such as pours[3].layers[0].gap; Text is the
// sentence that says what was found and what is allowed.
type Issue struct {
	Path string
	Text string
}

// Validate placeholder.
func (p *Problem) Validate() []Issue { return nil }
