package check

import (
	"fmt"

	"pourweek/model"
)

// Rule names one rule of the planning model that a plan can break. The comment
// of each says the rule and its section.
type Rule string

// The rules of the planning model.
const (
	// Known: every id in the plan is one of the problem's or, for a draw's batch,
	// the plan's. (Section 7.)
	Known Rule = "known"
	// Twice: no id stands twice in the plan's batches, pours or carried pours.
	// (Section 7.)
	Twice Rule = "twice"
	// Ticks: an interval does not end before it starts, and no tick is beyond all
	// reckoning. (Section 1.)
	Ticks Rule = "ticks"
	// Horizon: nothing ends after the horizon. (Section 1.)
	Horizon Rule = "horizon"
	// Now: no planned work starts before now. (Section 1.)
	Now Rule = "now"

	// Steady: a steady task takes as many ticks as it has work, one after the
	// other, all open. (Section 2.)
	Steady Rule = "steady"
	// Pausable: a pausable task starts in an open tick and ends after its work,
	// straight on or put down for overtime. (Section 2.)
	Pausable Rule = "pausable"
	// When: a task with a when starts in one of its intervals. (Section 2.)
	When Rule = "when"
	// Station: a station is held by at most its places, by tasks, spans and fixed
	// work. (Sections 2 and 5.)
	Station Rule = "station"

	// Heads: a task names as many people for each skill as it asks heads, and
	// none for a skill that it does not ask or a task that is not there.
	// (Section 3.)
	Heads Rule = "heads"
	// Skill: a person has the skill that a task names them for. (Section 3.)
	Skill Rule = "skill"
	// Once: a person is at most once in a task. (Section 3.)
	Once Rule = "once"
	// Present: a person is present in every tick that the task takes. (Section 3.)
	Present Rule = "present"
	// Busy: a person is in no two tasks that take the same tick. (Section 3.)
	Busy Rule = "busy"

	// Mixer: a batch has a mixer that its mix allows. (Section 4.)
	Mixer Rule = "mixer"
	// Mixing: all ticks from a batch's start to its ready are open. (Section 4.)
	Mixing Rule = "mixing"
	// WashLength: washing takes the mix's wash, or what the next batch asks; no
	// wash is at ready. (Section 4.)
	WashLength Rule = "wash_length"
	// WashGap: washing starts within the mix's wash_gap of ready. (Section 4.)
	WashGap Rule = "wash_gap"
	// MixerHeld: a mixer holds one batch at a time. (Section 4.)
	MixerHeld Rule = "mixer_held"
	// MixerFree: a mixer is not held before its free_from. (Section 4.)
	MixerFree Rule = "mixer_free"
	// MixerDown: a mixer is not held while it is down. (Section 4.)
	MixerDown Rule = "mixer_down"
	// Capacity: what is mixed fits the mixer. (Section 4.)
	Capacity Rule = "capacity"
	// BatchReady: a layer starts at or after ready of the batch that feeds it.
	// (Section 4.)
	BatchReady Rule = "batch_ready"
	// PotLife: a layer ends within the pot life of the batch that feeds it.
	// (Section 4.)
	PotLife Rule = "pot_life"
	// Draws: each draw of a planned pour comes from exactly one batch. (Section 4.)
	Draws Rule = "draws"
	// DrawMix: a draw comes from a batch of its mix. (Section 4.)
	DrawMix Rule = "draw_mix"
	// EmptyBatch: no batch is empty. (Section 4.)
	EmptyBatch Rule = "empty_batch"

	// Planned: every pour is either planned or carried. (Section 5.)
	Planned Rule = "planned"
	// Carried: only new pours without a pin are carried. (Section 5.)
	Carried Rule = "carried"
	// Steps: a planned pour has all steps still to do, and null for those done.
	// (Sections 5 and 7.)
	Steps Rule = "steps"
	// MoldChoice: a pour is in one of its molds, a curing one in the mold it is
	// in, a racked one in none. (Section 5.)
	MoldChoice Rule = "mold_choice"
	// RackChoice: a pour rests on one of its racks, a racked one on the rack it
	// is on. (Section 5.)
	RackChoice Rule = "rack_choice"
	// Release: prep starts at or after the release. (Section 5, 1.)
	Release Rule = "release"
	// Prepared: layer 1 starts at or after the end of prep. (Section 5, 2.)
	Prepared Rule = "prepared"
	// PrepMax: layer 1 starts at most prep_max after the end of prep. (Section 5, 2.)
	PrepMax Rule = "prep_max"
	// PourUntil: layer 1 starts before pour_until. (Sections 1 and 5, 2.)
	PourUntil Rule = "pour_until"
	// Gap: a later layer and the cover start within their gap of the end of the
	// step before. (Section 5, 2 and 3.)
	Gap Rule = "gap"
	// CureEnd: cure_end of a new pour is the cover's end and the lag there. What a
	// plan states for a curing pour has no standing: the problem gives it.
	// (Section 5, 4.)
	CureEnd Rule = "cure_end"
	// Cured: demold starts at or after cure_end. (Section 5, 5.)
	Cured Rule = "cured"
	// MoldMax: demold starts at most mold_max after the cover's end. (Section 5, 5.)
	MoldMax Rule = "mold_max"
	// MoldUntil: demold of a curing pour starts at mold_until at the latest.
	// (Section 5, stages.)
	MoldUntil Rule = "mold_until"
	// Rest: a finish step starts at least rest after the step before. (Section 5, 6.)
	Rest Rule = "rest"
	// RestMax: a finish step starts at most rest_max after the step before.
	// (Section 5, 6.)
	RestMax Rule = "rest_max"
	// From: the next step of a racked pour does not start before from. (Section
	// 5, stages.)
	From Rule = "from"
	// FromMax: the next step of a racked pour does not start after from_max.
	// (Section 5, stages.)
	FromMax Rule = "from_max"
	// Ready: ready is the end of the last step. (Section 5, 7.)
	Ready Rule = "ready"
	// MoldHeld: a mold holds one pour at a time. (Section 5, holding.)
	MoldHeld Rule = "mold_held"
	// MoldFree: no new pour is in a mold before its free_from. (Section 5, holding.)
	MoldFree Rule = "mold_free"
	// MoldDown: no new pour is in a mold while it is down. (Section 5, holding.)
	MoldDown Rule = "mold_down"
	// RackPlaces: the places held of a rack are at most its places. (Section 5,
	// holding.)
	RackPlaces Rule = "rack_places"
	// Pin: a pinned pour is in that mold with layer 1 at that start. (Section 5.)
	Pin Rule = "pin"

	// Cost: the stated cost is the cost. (Sections 6 and 7.)
	Cost Rule = "cost"
	// Terms: the stated terms are the terms of the cost. (Sections 6 and 7.)
	Terms Rule = "terms"
	// Bound: the stated bound is not above the cost. (Section 7.)
	Bound Rule = "bound"
)

// Rules lists every Rule in the order of the planning model's sections.
var Rules = []Rule{
	Known, Twice, Ticks, Horizon, Now,
	Steady, Pausable, When, Station,
	Heads, Skill, Once, Present, Busy,
	Mixer, Mixing, WashLength, WashGap, MixerHeld, MixerFree, MixerDown, Capacity,
	BatchReady, PotLife, Draws, DrawMix, EmptyBatch,
	Planned, Carried, Steps, MoldChoice, RackChoice, Release, Prepared, PrepMax, PourUntil, Gap,
	CureEnd, Cured, MoldMax, MoldUntil, Rest, RestMax, From, FromMax, Ready,
	MoldHeld, MoldFree, MoldDown, RackPlaces, Pin,
	Cost, Terms, Bound,
}

// Where says what a broken rule is about: a pour, a batch or fixed work by its
// id, and one of its steps. At most one of Pour, Batch and Fixed is set; all are
// empty where the plan as a whole is meant.
type Where struct {
	Pour  string
	Batch string
	Fixed string
	// Step is prep, cover, demold, the id of a layer or finish step, or mixing,
	// remixing or washing of a batch; empty for the whole.
	Step string
}

// String names it in a sentence: the polish of pour "A101/1".
func (w Where) String() string {
	var s string
	switch {
	case w.Pour != "":
		s = fmt.Sprintf("pour %q", w.Pour)
	case w.Batch != "":
		s = fmt.Sprintf("batch %q", w.Batch)
	case w.Fixed != "":
		s = fmt.Sprintf("fixed work %q", w.Fixed)
	default:
		return "the plan"
	}
	if w.Step != "" {
		s = fmt.Sprintf("%s of %s", w.Step, s)
	}
	return s
}

// Broken is one rule that a plan breaks.
type Broken struct {
	Rule  Rule
	Where Where
	Thing string     // id of the person, mold, rack, station, mixer or batch it is about; may be empty
	Tick  model.Tick // where in time; 0 where it is not about a time
	Text  string     // one plain sentence without a full stop, with names and times
}
