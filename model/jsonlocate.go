package model

import (
	"strconv"
	"strings"
)

// locTree holds the paths that are looked for in a file, one level per field
// or list index.
type locTree struct {
	next map[string]*locTree
	pos  int // of the value, -1 until found
}

// place adds the issues to the diagnostics at the place of their values, or of
// the nearest value around it. One pass over the file; parts that no issue
// names are skipped.
func (s *jsonSource) place(issues []Issue) {
	root := &locTree{pos: 0}
	for _, is := range issues {
		t := root
		for _, seg := range pathSegments(is.Path) {
			if t.next[seg] == nil {
				if t.next == nil {
					t.next = map[string]*locTree{}
				}
				t.next[seg] = &locTree{pos: -1}
			}
			t = t.next[seg]
		}
	}
	s.pos = 0
	s.locate(root)
	for _, is := range issues {
		t := root
		pos := root.pos
		for _, seg := range pathSegments(is.Path) {
			if t = t.next[seg]; t.pos < 0 {
				break
			}
			pos = t.pos
		}
		s.diags = append(s.diags, jsonDiag{pos, is.Text})
	}
}

func (s *jsonSource) locate(t *locTree) {
	b := s.peek()
	t.pos = s.pos
	switch {
	case t.next == nil:
		s.skip(0)
	case b == '{':
		s.members(func(key string, _ int) { s.locateOrSkip(t.next[key]) })
	case b == '[':
		s.entries(func(i int) { s.locateOrSkip(t.next[strconv.Itoa(i)]) })
	default:
		s.skip(0)
	}
}

func (s *jsonSource) locateOrSkip(t *locTree) {
	if t == nil {
		s.skip(0)
		return
	}
	s.locate(t)
}

// pathSegments cuts pours[3].layers[0].gap into pours, 3, layers, 0, gap. A
// name that may hold any character stands in a map and is the last segment.
func pathSegments(path string) []string {
	var out []string
	for path != "" {
		cut := strings.IndexAny(path, ".[")
		if cut < 0 {
			return append(out, path)
		}
		if cut > 0 {
			out = append(out, path[:cut])
		}
		if path[cut] == '.' {
			path = path[cut+1:]
			continue
		}
		end := strings.IndexByte(path[cut:], ']')
		if end < 0 {
			return append(out, path[cut:])
		}
		out = append(out, path[cut+1:cut+end])
		path = path[cut+end+1:]
	}
	return out
}
