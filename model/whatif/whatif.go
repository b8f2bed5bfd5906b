// Package whatif changes one thing about a shop's week: a person more or less,
// overtime, a mold, places of a rack or station, a mixer. The changed problem is solved like
// any other; package solve/compare sets the answers side by side.
package whatif

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"pourweek/model"
)

// Kind says what a case changes.
type Kind string

// The kinds of change.
const (
	Today    Kind = "today" // nothing
	People   Kind = "people"
	Overtime Kind = "overtime"
	Molds    Kind = "molds"
	Racks    Kind = "racks"
	Stations Kind = "stations"
	Mixer    Kind = "mixer"
)

// Kinds lists the kinds of change that a case can ask for.
var Kinds = []Kind{People, Overtime, Molds, Racks, Stations, Mixer}

// Case is one question: the week with this changed.
type Case struct {
	Kind Kind
	Spec string // as written: +1:finish, -kim, none, +4:long
}

// Name is the case as one word, people+1:finish.
func (c Case) Name() string {
	if c.Kind == Today {
		return string(Today)
	}
	if strings.HasPrefix(c.Spec, "+") || strings.HasPrefix(c.Spec, "-") {
		return string(c.Kind) + c.Spec
	}
	return string(c.Kind) + "=" + c.Spec
}

// Adds reports whether the case only adds to what the shop has, so that every
// plan of today is allowed in it.
func (c Case) Adds() bool { return strings.HasPrefix(c.Spec, "+") }

// Takes reports whether the case only takes away.
func (c Case) Takes() bool {
	return strings.HasPrefix(c.Spec, "-") || c.Kind == Overtime && c.Spec == "none"
}

// mostCrews is how far apart the crew sizes of a range may be: each is a case.
const mostCrews = 50

// Parse reads one case of a kind. A range of people, 3..6, gives a case for
// each crew size. The error says what is allowed.
func Parse(p *model.Problem, k Kind, spec string) ([]Case, error) {
	spec = strings.TrimSpace(spec)
	if lo, hi, ok := strings.Cut(spec, ".."); ok && k == People {
		a, err1 := strconv.Atoi(lo)
		b, err2 := strconv.Atoi(hi)
		if err1 != nil || err2 != nil || a < 1 || b < a || b-a > mostCrews {
			return nil, fmt.Errorf("crew sizes %q: write two whole numbers from 1 on, the smaller first and at most %d apart, such as 3..6", spec, mostCrews)
		}
		var out []Case
		for n := a; n <= b; n++ {
			out = append(out, Case{k, strconv.Itoa(n)})
		}
		return out, nil
	}
	c := Case{k, spec}
	if _, err := Apply(p, c); err != nil {
		return nil, err
	}
	return []Case{c}, nil
}

// Apply returns a copy of the problem with the case's change. It errors when
// the change names something that the week does not have.
func Apply(p *model.Problem, c Case) (*model.Problem, error) {
	q := *p
	var err error
	switch c.Kind {
	case Today:
	case People:
		err = people(&q, c.Spec)
	case Overtime:
		err = overtime(&q, c.Spec)
	case Molds:
		err = molds(&q, c.Spec)
	case Racks:
		err = racks(&q, c.Spec)
	case Stations:
		err = stations(&q, c.Spec)
	case Mixer:
		err = mixer(&q, c.Spec)
	default:
		err = fmt.Errorf("%q is no kind of change; kinds are people, overtime, molds, racks, stations, mixer", c.Kind)
	}
	return &q, err
}

// signed reads +N:what or -N:what; what may be missing.
func signed(spec string) (n int, what string, err error) {
	num, what, _ := strings.Cut(spec, ":")
	n, err = strconv.Atoi(num)
	if err != nil || n == 0 || num[0] != '+' && num[0] != '-' || n > 100 || n < -100 {
		return 0, "", fmt.Errorf("%q: write a sign and a whole number, such as +1", num)
	}
	return n, what, nil
}

func people(q *model.Problem, spec string) error {
	q.People = slices.Clone(q.People)
	if size, err := strconv.Atoi(spec); err == nil && !strings.HasPrefix(spec, "+") && !strings.HasPrefix(spec, "-") {
		return crewOf(q, size)
	}
	if n, skill, err := signed(spec); err == nil {
		return bySkill(q, n, skill)
	}
	name := strings.TrimPrefix(spec, "-")
	i := slices.IndexFunc(q.People, func(x model.Person) bool { return strings.EqualFold(x.ID, name) })
	if !strings.HasPrefix(spec, "-") || i < 0 {
		return fmt.Errorf("people %q: write -NAME for one of %s; +1:SKILL or -1:SKILL for one of %s; or a crew size such as 3..6",
			spec, strings.Join(names(q), ", "), strings.Join(skills(q), ", "))
	}
	q.People = slices.Delete(q.People, i, i+1)
	return nil
}

func names(q *model.Problem) []string {
	var out []string
	for _, x := range q.People {
		out = append(out, x.ID)
	}
	return out
}

// skills lists the skills of the people, sorted.
func skills(q *model.Problem) []string {
	var out []string
	for _, x := range q.People {
		out = append(out, x.Skills...)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// bySkill adds n people who have just the skill and the hours of the first
// person who has it, or takes away those of whom the fewest others have their
// skills.
func bySkill(q *model.Problem, n int, skill string) error {
	i := slices.IndexFunc(q.People, func(x model.Person) bool { return slices.Contains(x.Skills, skill) })
	if i < 0 {
		return fmt.Errorf("skill %q: nobody has it; skills are %s", skill, strings.Join(skills(q), ", "))
	}
	for ; n > 0; n-- {
		q.People = append(q.People, model.Person{ID: fresh(names(q), skill), Skills: []string{skill}, On: q.People[i].On})
	}
	for ; n < 0; n++ {
		if err := dropOne(q, skill); err != nil {
			return err
		}
	}
	return nil
}

// dropOne takes away the person with the skill ("" for any) whose skills are
// best covered by the others: fewest skills first, later in the file first.
func dropOne(q *model.Problem, skill string) error {
	best, least := -1, 0
	for i, x := range q.People {
		if skill != "" && !slices.Contains(x.Skills, skill) {
			continue
		}
		rare := 0
		for _, s := range x.Skills {
			if count(q, s) == 1 {
				rare += 100
			}
		}
		if best < 0 || rare+len(x.Skills) <= least {
			best, least = i, rare+len(x.Skills)
		}
	}
	if best < 0 || len(q.People) == 1 {
		return fmt.Errorf("there is nobody left to take away")
	}
	q.People = slices.Delete(q.People, best, best+1)
	return nil
}

func count(q *model.Problem, skill string) int {
	n := 0
	for _, x := range q.People {
		if slices.Contains(x.Skills, skill) {
			n++
		}
	}
	return n
}

// crewOf makes the crew size people strong: the best covered leave first, and
// who comes is like the first person with the most skills.
func crewOf(q *model.Problem, size int) error {
	if size < 1 || size > 500 {
		return fmt.Errorf("a crew of %d: from 1 to 500 people are possible", size)
	}
	for len(q.People) > size {
		if err := dropOne(q, ""); err != nil {
			return err
		}
	}
	like := 0
	for i, x := range q.People {
		if len(x.Skills) > len(q.People[like].Skills) {
			like = i
		}
	}
	for len(q.People) < size {
		x := q.People[like]
		x.ID = fresh(names(q), x.ID)
		q.People = append(q.People, x)
	}
	return nil
}

// fresh is an id like base that is not taken: base+1, base+2, ...
func fresh(taken []string, base string) string {
	for n := 1; ; n++ {
		if id := fmt.Sprintf("%s+%d", base, n); !slices.Contains(taken, id) {
			return id
		}
	}
}

// molds adds molds that cast the named piece, or takes some away.
func molds(q *model.Problem, spec string) error {
	n, piece, err := signed(spec)
	if err != nil {
		return fmt.Errorf("molds %w, then the piece it casts: +1:%s", err, first(pieces(q)))
	}
	for ; n > 0; n-- {
		i := slices.IndexFunc(q.Pours, func(x model.Pour) bool { return x.Piece == piece && len(x.Molds) > 0 })
		if i < 0 {
			return fmt.Errorf("piece %q is not poured this week; pieces are %s", piece, strings.Join(pieces(q), ", "))
		}
		addMold(q, q.Pours[i].Molds[0].Mold)
	}
	for ; n < 0; n++ {
		if err := dropMold(q, piece); err != nil {
			return err
		}
	}
	return nil
}

func pieces(q *model.Problem) []string {
	var out []string
	for _, x := range q.Pours {
		if x.Stage == model.New {
			out = append(out, x.Piece)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

func first(xs []string) string {
	if len(xs) == 0 {
		return "PIECE"
	}
	return xs[0]
}

// addMold adds a mold like the named one, free from the start and never down.
func addMold(q *model.Problem, like string) {
	var taken []string
	for _, m := range q.Molds {
		taken = append(taken, m.ID)
	}
	id := fresh(taken, like)
	q.Molds = append(slices.Clone(q.Molds), model.Mold{ID: id, Down: []model.Interval{}})
	q.Pours = slices.Clone(q.Pours)
	for i := range q.Pours {
		for _, m := range q.Pours[i].Molds {
			if m.Mold == like {
				q.Pours[i].Molds = append(slices.Clone(q.Pours[i].Molds), model.MoldChoice{Mold: id, Work: m.Work})
				break
			}
		}
	}
}

// dropMold takes away the last mold that casts the piece, holds no pour and is
// pinned by none.
func dropMold(q *model.Problem, piece string) error {
	busy := map[string]bool{}
	casts := []string{}
	for _, x := range q.Pours {
		if x.Stage == model.Curing {
			busy[x.Mold] = true
		}
		if x.Pin != nil {
			busy[x.Pin.Mold] = true
		}
		if x.Piece == piece {
			for _, m := range x.Molds {
				casts = append(casts, m.Mold)
			}
		}
	}
	for i := len(q.Molds) - 1; i >= 0; i-- {
		id := q.Molds[i].ID
		if busy[id] || !slices.Contains(casts, id) || lastChoice(q, id) {
			continue
		}
		q.Molds = slices.Delete(slices.Clone(q.Molds), i, i+1)
		q.Pours = slices.Clone(q.Pours)
		for j := range q.Pours {
			q.Pours[j].Molds = slices.DeleteFunc(slices.Clone(q.Pours[j].Molds), func(m model.MoldChoice) bool { return m.Mold == id })
		}
		return nil
	}
	return fmt.Errorf("no mold that casts %q can be taken away: each is in use or the last that some piece has", piece)
}

// lastChoice reports whether some pour can be cast in this mold alone.
func lastChoice(q *model.Problem, mold string) bool {
	return slices.ContainsFunc(q.Pours, func(x model.Pour) bool { return len(x.Molds) == 1 && x.Molds[0].Mold == mold })
}

// mixer adds mixers like the named one, or like the first.
func mixer(q *model.Problem, spec string) error {
	n, id, err := signed(spec)
	if err != nil || n < 0 {
		return fmt.Errorf("mixer %q: write +1, or +1:%s for one like it", spec, q.Mixers[0].ID)
	}
	if id == "" {
		id = q.Mixers[0].ID
	}
	i := slices.IndexFunc(q.Mixers, func(m model.Mixer) bool { return m.ID == id })
	if i < 0 {
		return fmt.Errorf("mixer %q is not in the shop", id)
	}
	q.Mixers, q.Mixes = slices.Clone(q.Mixers), slices.Clone(q.Mixes)
	for ; n > 0; n-- {
		x := q.Mixers[i]
		var taken []string
		for _, m := range q.Mixers {
			taken = append(taken, m.ID)
		}
		x.ID, x.FreeFrom, x.Down = fresh(taken, id), 0, []model.Interval{}
		q.Mixers = append(q.Mixers, x)
		for j := range q.Mixes {
			if slices.Contains(q.Mixes[j].Mixers, id) {
				q.Mixes[j].Mixers = append(slices.Clone(q.Mixes[j].Mixers), x.ID)
			}
		}
	}
	return nil
}
