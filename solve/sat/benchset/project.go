package benchset

import (
	"fmt"
	"strings"
)

// Project is a makespan problem: activities with start-to-start lags and
// renewable resources.
type Project struct {
	Activities []Activity
	Lags       []Lag
	Capacity   []int // by resource
}

// Activity is done in one of its modes (most have just one).
type Activity struct {
	Modes []Mode
}

// Mode is a way to do an activity: a duration and a demand for each resource.
type Mode struct {
	Duration int
	Demand   []int
}

// Lag demands start(To) >= start(From) + Min, or >= end(From) + Min.
type Lag struct {
	From, To int
	Min      int
	End      bool
}

// ReadSM reads a single-mode project in the form of PSPLIB (.sm).
func ReadSM(text string) (*Project, error) {
	p := &Project{}
	sections := map[string]string{}
	name := ""
	for _, line := range strings.Split(text, "\n") {
		if strings.HasPrefix(line, "***") {
			name = ""
			continue
		}
		if i := strings.IndexByte(line, ':'); name == "" && i > 0 && strings.TrimSpace(line[i+1:]) == "" {
			name = line[:i]
			continue
		}
		sections[name] += line + "\n"
	}
	prec := newNumbers(afterLine(sections["PRECEDENCE RELATIONS"]))
	for len(prec.words) > 0 && prec.err == nil {
		job, _ := prec.next(), prec.next()
		for k := prec.next(); k > 0; k-- {
			p.Lags = append(p.Lags, Lag{From: job - 1, To: prec.next() - 1, End: true})
		}
		p.Activities = append(p.Activities, Activity{})
	}
	capacity := newNumbers(afterLine(sections["RESOURCEAVAILABILITIES"]))
	for len(capacity.words) > 0 {
		p.Capacity = append(p.Capacity, capacity.next())
	}
	body := newNumbers(after(sections["REQUESTS/DURATIONS"], "---\n"))
	for range p.Activities {
		job, _ := body.next(), body.next()
		m := Mode{Duration: body.next()}
		for range p.Capacity {
			m.Demand = append(m.Demand, body.next())
		}
		if job < 1 || job > len(p.Activities) {
			return nil, fmt.Errorf("job %d of %d", job, len(p.Activities))
		}
		p.Activities[job-1].Modes = []Mode{m}
	}
	for _, n := range []*numbers{prec, capacity, body} {
		if n.err != nil {
			return nil, n.err
		}
	}
	if len(p.Activities) == 0 || len(p.Capacity) == 0 {
		return nil, fmt.Errorf("no jobs or no resources")
	}
	return p, nil
}

func after(s, mark string) string {
	if i := strings.Index(s, mark); i >= 0 {
		return s[i+len(mark):]
	}
	return ""
}

func afterLine(s string) string { return after(s, "\n") }

// ReadSCH reads a project with minimum and maximum lags in the form of
// ProGen/max (.sch).
func ReadSCH(text string) (*Project, error) {
	in := newNumbers(text)
	n, k := in.next()+2, in.next()
	in.next()
	in.next()
	if n < 2 || n > 10000 {
		return nil, fmt.Errorf("%d activities", n)
	}
	p := &Project{Activities: make([]Activity, n)}
	for range n {
		from, _ := in.next(), in.next()
		to := make([]int, in.next())
		for i := range to {
			to[i] = in.next()
		}
		for _, t := range to {
			p.Lags = append(p.Lags, Lag{From: from, To: t, Min: in.next()})
		}
	}
	for i := range n {
		in.next()
		in.next()
		m := Mode{Duration: in.next()}
		for range k {
			m.Demand = append(m.Demand, in.next())
		}
		p.Activities[i].Modes = []Mode{m}
	}
	for range k {
		p.Capacity = append(p.Capacity, in.next())
	}
	if in.err == nil && len(in.words) > 0 {
		in.err = fmt.Errorf("%d words after the end", len(in.words))
	}
	return p, in.err
}

// shop turns jobs of operations into a project whose last activity is the end.
func shop(jobs [][]Activity, machines int) *Project {
	p := &Project{}
	for range machines {
		p.Capacity = append(p.Capacity, 1)
	}
	var last []int
	for _, ops := range jobs {
		for i, o := range ops {
			if i > 0 {
				n := len(p.Activities)
				p.Lags = append(p.Lags, Lag{From: n - 1, To: n, End: true})
			}
			p.Activities = append(p.Activities, o)
		}
		last = append(last, len(p.Activities)-1)
	}
	end := len(p.Activities)
	p.Activities = append(p.Activities, Activity{Modes: []Mode{{Demand: make([]int, machines)}}})
	for _, l := range last {
		p.Lags = append(p.Lags, Lag{From: l, To: end, End: true})
	}
	return p
}

func onMachine(machine, machines, duration int) Mode {
	m := Mode{Duration: duration, Demand: make([]int, machines)}
	m.Demand[machine] = 1
	return m
}

// ReadJobShop reads a classic job shop: pairs of machine (from 0) and duration.
func ReadJobShop(text string) (*Project, error) {
	in := newNumbers(text)
	jobs, machines := make([][]Activity, in.next()), in.next()
	for j := range jobs {
		for range machines {
			m, d := in.next(), in.next()
			if m < 0 || m >= machines {
				return nil, fmt.Errorf("machine %d of %d", m, machines)
			}
			jobs[j] = append(jobs[j], Activity{Modes: []Mode{onMachine(m, machines, d)}})
		}
	}
	return shop(jobs, machines), in.err
}

// ReadFlexible reads a flexible job shop: per operation a choice of machines
// (from 1) with durations.
func ReadFlexible(text string) (*Project, error) {
	in := newNumbers(text)
	jobs, machines := make([][]Activity, in.next()), in.next()
	in.word()
	for j := range jobs {
		for range in.next() {
			var a Activity
			for range in.next() {
				m, d := in.next()-1, in.next()
				if m < 0 || m >= machines {
					return nil, fmt.Errorf("machine %d of %d", m+1, machines)
				}
				a.Modes = append(a.Modes, onMachine(m, machines, d))
			}
			jobs[j] = append(jobs[j], a)
		}
	}
	return shop(jobs, machines), in.err
}
