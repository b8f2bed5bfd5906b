package shop

import "pourweek/model/diag"

// sets is what the parts of the file share while it is read.
type sets struct {
	colors   []string
	mixers   []rawMixer
	mixes    []rawMix
	pieces   []rawPiece
	coats    map[string]*node
	finish   map[string]*node
	defaults map[string]*node // by person, mix, piece, mold
}

// readNamed reads a mapping from names to entries, laying defaults and what they
// are like under them. Ranges of names make equal entries.
func readNamed[T any](r *reader, n *node, tab *table[T], call func(t *T, name string, at *node)) []T {
	if n.kind != mapping {
		r.bad(n, "write "+r.key+": and below it, indented, one name with a colon for each", "and a mapping by name is needed")
		return nil
	}
	var out []T
	for _, p := range n.pairs {
		names, ok := r.rangeOf(p.key)
		if !ok {
			continue
		}
		v := r.completed(n, pair{p.key, tab.wrap(p.value)}, tab.deep)
		if v.kind == null {
			r.fail(p.value.pos, tab.hintKeys(), "%s says nothing", diag.Quote(p.key.text))
			continue
		}
		var t T
		call(&t, names[0], p.key)
		r.at(p.key.text, v, func() { tab.read(r, &t, v) })
		out = append(out, t)
		for _, name := range names[1:] {
			call(&t, name, p.key)
			out = append(out, t)
		}
		if len(out) > maxEntries {
			r.fail(p.key.pos, "describe one shop in a file", "there are more than %d %s", maxEntries, r.key)
			return out[:maxEntries]
		}
	}
	if len(n.pairs) == 0 {
		r.bad(n, "name at least one", "and at least one is needed")
	}
	return out
}

// rangeOf is the names that a key stands for; ok is false (and a mistake noted)
// if it is a range that cannot be.
func (r *reader) rangeOf(key *node) ([]string, bool) {
	if r.key != "molds" {
		r.nameFits(key, key.text)
		return []string{key.text}, true
	}
	names, ranged, err := rangeName(key.text)
	if err != nil {
		r.fail(key.pos, "write a range of names as B1..B4", "%s %v", diag.Quote(key.text), err)
		return nil, false
	}
	if !ranged {
		names = []string{key.text}
	}
	r.nameFits(key, names[0])
	return names, true
}

// maxEntries bounds the entries of a part of the file.
const maxEntries = 1_000

// maxLike bounds the steps from one entry to what it is like.
const maxLike = 4

// completed is the value of a named entry with what it is like and the defaults
// laid under it.
func (r *reader) completed(n *node, p pair, deep func(string) bool) *node {
	v := p.value
	kinds := map[string]string{"people": "person", "mixes": "mix", "pieces": "piece", "molds": "mold"}
	seen := map[string]bool{p.key.text: true}
	for v.kind == mapping && (r.key == "mixes" || r.key == "pieces") {
		like := v.get("like")
		if like == nil || like.kind != scalar || seen[like.text] {
			if like != nil && seen[like.text] {
				r.unlike(p, like, "let one of them stand on its own", "%s is like itself", diag.Quote(p.key.text))
			}
			break
		}
		seen[like.text] = true
		if len(seen) > maxLike+1 {
			r.unlike(p, like, "write it out", "%s is like another over more than %d steps", diag.Quote(p.key.text), maxLike)
			break
		}
		under := n.get(like.text)
		if under == nil {
			r.unlike(p, like, r.near(like.text, r.key, keysOf(without(n, p.key.text))), "%s is like %s, which is none of the %s",
				diag.Quote(p.key.text), diag.Quote(like.text), r.key)
			break
		}
		if under.kind != mapping {
			break
		}
		v = over(without(v, "like"), under, deep)
	}
	if d := r.sets.defaults[kinds[r.key]]; d != nil && v.kind == mapping {
		v = over(without(v, "like"), d, deep)
	}
	return without(v, "like")
}

// unlike notes a mistake in what a named entry is like.
func (r *reader) unlike(entry pair, like *node, hint, format string, args ...any) {
	r.at(entry.key.text, entry.value, func() {
		r.at("like", like, func() { r.fail(like.pos, hint, format, args...) })
	})
}

// without is a mapping without a key.
func without(n *node, key string) *node {
	if n.kind != mapping || n.get(key) == nil {
		return n
	}
	out := &node{kind: mapping, pos: n.pos}
	for _, p := range n.pairs {
		if p.key.text != key {
			out.pairs = append(out.pairs, p)
		}
	}
	return out
}

func keysOf(n *node) []string {
	var out []string
	for _, p := range n.pairs {
		out = append(out, p.key.text)
	}
	return out
}

// named is a mapping from names to values that are read where they are used.
func (r *reader) named(n *node) map[string]*node {
	out := map[string]*node{}
	if n.kind != mapping {
		r.bad(n, "write the name of each list with a colon, and the list below it", "and lists by name are needed")
	}
	for _, p := range n.pairs {
		if r.nameFits(p.key, p.key.text) {
			out[p.key.text] = p.value
		}
	}
	return out
}
