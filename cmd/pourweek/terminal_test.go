package main

import (
	"bytes"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"pourweek/solve"
)

// locked is a buffer that several goroutines may use.
type locked struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (l *locked) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.Write(p)
}

func (l *locked) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.String()
}

// terminal is a pair of streams that take themselves for a terminal with the
// given variables.
func terminal(env map[string]string) (s *streams, out, err *locked) {
	out, err = &locked{}, &locked{}
	s = &streams{in: strings.NewReader(""), out: out, err: err, outTerm: true, errTerm: true,
		now: func() time.Time { return today }, exit: func(int) {}}
	s.look(func(name string) string { return env[name] }, 100)
	return s, out, err
}

const busyWeek = "../../testdata/golden/busy.week.json"

func TestATerminalGetsTables(t *testing.T) {
	for _, c := range []struct {
		name           string
		env            map[string]string
		color, unicode bool
	}{
		{"utf-8", map[string]string{"LANG": "en_US.UTF-8", "TERM": "xterm"}, true, true},
		{"no color", map[string]string{"LANG": "en_US.UTF-8", "TERM": "xterm", "NO_COLOR": "1"}, false, true},
		{"latin", map[string]string{"LANG": "en_US.UTF-8", "LC_ALL": "de_DE.ISO-8859-1", "TERM": "xterm"}, true, false},
		{"dumb", map[string]string{"LANG": "en_US.UTF-8", "TERM": "dumb"}, false, false},
		{"nothing set", nil, true, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, out, errs := terminal(c.env)
			if code := run(s, []string{"show", busyWeek}); code != exitOK {
				t.Fatalf("exit code %d: %s", code, errs)
			}
			text := out.String()
			if !strings.Contains(text, "\n from     to  work ") || strings.Contains(text, "summary\t") {
				t.Error("these are no tables")
			}
			if got := strings.Contains(text, "\x1b["); got != c.color {
				t.Errorf("colored is %v", got)
			}
			if got := strings.Contains(text, "─"); got != c.unicode {
				t.Errorf("drawn with UTF-8 is %v", got)
			}
		})
	}
}

func TestWidthOfTheScreen(t *testing.T) {
	for _, c := range []struct {
		columns string
		term    int
		want    int
	}{
		{"", 0, 80}, {"", 132, 132}, {"160", 100, 160}, {"160", 0, 160}, {"-3", 100, 100}, {"x", 100, 100},
		{"", 20, 60}, {"59", 0, 60}, {"60", 0, 60}, {"61", 0, 61}, {"400", 0, 400}, {"9999999", 0, 400},
	} {
		s := &streams{}
		s.look(func(name string) string { return map[string]string{"COLUMNS": c.columns}[name] }, c.term)
		if s.width != c.want {
			t.Errorf("COLUMNS=%s on a terminal of %d: width %d, want %d", c.columns, c.term, s.width, c.want)
		}
	}
}

var progressPart = regexp.MustCompile(`\r\x1b\[K`)

// The line of progress is written at most five times a second, each time over
// the last, and cleared at the end.
func TestProgressIsOneLine(t *testing.T) {
	s, _, errs := terminal(nil)
	begin := time.Now()
	p := newProgress(s)
	for i := range 1000 {
		p.update(solve.Progress{Cost: 5000 - 1, Bound: 2500, Work: int64(i)})
		time.Sleep(time.Millisecond)
	}
	p.end()
	most := int(time.Since(begin)/progressEvery) + 1
	text := errs.String()
	if n := len(progressPart.FindAllString(text, -1)); n < 2 || n > most {
		t.Errorf("written %d times, at most %d are due", n, most)
	}
	if strings.Contains(text, "\n") || !strings.HasSuffix(text, "\r\x1b[K") {
		t.Errorf("more than one line, or not cleared: %q", text)
	}
	if !strings.Contains(text, "cost 5.00  bound 2.50  gap 50.0 %") {
		t.Errorf("cost, bound and gap are missing: %q", text)
	}
}

func TestProgressLineFits(t *testing.T) {
	for _, x := range []solve.Progress{{Cost: -1}, {}, {Cost: 1 << 50, Bound: 1 << 49}} {
		if line := progressLine(x, true, 99999*time.Second); len(line) > 79 {
			t.Errorf("%d columns: %q", len(line), line)
		}
	}
}

// Without a terminal there is no progress.
func TestNoProgressInAPipe(t *testing.T) {
	s, _, errs := terminal(nil)
	s.errTerm = false
	p := newProgress(s)
	p.update(solve.Progress{Cost: 1})
	time.Sleep(2 * progressEvery)
	p.end()
	if errs.String() != "" {
		t.Errorf("%q was written", errs)
	}
}
