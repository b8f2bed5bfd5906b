package shop

import (
	"fmt"
	"slices"
	"strings"

	"pourweek/model"
	"pourweek/model/diag"
	"pourweek/model/unit"
)

// field is one key of a mapping in the file: the reader reads by it and the
// reference is printed from it, so the two cannot differ.
type field[T any] struct {
	key  string
	form form   // what its value looks like
	std  string // read when the key is absent; "" for none
	// need says that the key has to be there (after defaults and like).
	need bool
	says string // a sentence for the reference; costs: what it does to a plan
	// deep says that defaults and like fill up this mapping key by key.
	deep bool
	set  func(r *reader, t *T, n *node)
}

// form says how a value is written: its words in the reference and an example.
type form struct{ is, such string }

// table is all keys of one kind of mapping.
type table[T any] struct {
	title  string // "a piece type": goes on after "is not a key of"
	path   string // where it stands: pieces: NAME:
	intro  string
	short  string // what a bare value instead of a mapping means; "" if none is allowed
	fields []field[T]
	// bare lists the kinds of values that may stand instead of a mapping, for the
	// value of the first key.
	bare []kind
}

// keys are the names of the keys.
func (tab *table[T]) keys() []string {
	var out []string
	for _, f := range tab.fields {
		out = append(out, f.key)
	}
	return out
}

// deep says that a key is filled up key by key by defaults and like.
func (tab *table[T]) deep(key string) bool {
	for _, f := range tab.fields {
		if f.key == key {
			return f.deep
		}
	}
	return false
}

// read fills t from a mapping. Keys that are not known and keys that are missing
// are mistakes.
func (tab *table[T]) read(r *reader, t *T, n *node) {
	n = tab.wrap(n)
	if n.kind != mapping {
		r.fail(n.pos, tab.hintKeys(), "%s is %s, and a mapping of keys is needed", tab.title, n.show())
		return
	}
	tab.unknown(r, n)
	for _, f := range tab.fields {
		v := n.get(f.key)
		switch {
		case v != nil && v.kind == null:
			r.fail(v.pos, f.hint(), "%q is empty", f.key)
		case v != nil:
			r.at(f.key, v, func() { f.set(r, t, v) })
		case f.need && r.unread[r.path+"/like"]: // it may stand there
		case f.need:
			r.fail(n.pos, f.hint(), "%s has no %q", tab.title, f.key)
		case f.std != "":
			v := f.standard(r, n)
			r.at(f.key, v, func() { f.set(r, t, v) })
		}
	}
}

// standard is the value that stands for an absent key of the mapping n.
func (f field[T]) standard(r *reader, n *node) *node {
	return &node{text: strings.ReplaceAll(f.std, "CUR", r.shop.Currency), pos: n.pos}
}

// wrap makes a mapping of a bare value, if one is allowed.
func (tab *table[T]) wrap(n *node) *node {
	for _, k := range tab.bare {
		if n.kind == k {
			return &node{kind: mapping, pos: n.pos, pairs: []pair{{&node{text: tab.fields[0].key, pos: n.pos}, n}}}
		}
	}
	return n
}

func (tab *table[T]) unknown(r *reader, n *node) {
	for _, p := range n.pairs {
		if !contains(tab.keys(), p.key.text) {
			r.fail(p.key.pos, r.near(p.key.text, "keys of "+tab.title, tab.keys()),
				"key %s is not known in %s", diag.Quote(p.key.text), tab.title)
		}
	}
}

func (tab *table[T]) hintKeys() string {
	hint := fmt.Sprintf("keys of %s are %s", tab.title, diag.Words(tab.keys()))
	if tab.short != "" {
		hint = tab.short + "; " + hint
	}
	return hint
}

func (f field[T]) hint() string {
	return fmt.Sprintf("write %s: %s", f.key, f.form.such)
}

// reader holds what reading one file needs.
type reader struct {
	shop *Shop
	errs *diag.List
	key  string // the key whose value is being read
	path string // the keys down to it
	// where is the place of each value by its path.
	where map[string]diag.Pos
	// unread are the paths at or below which something could not be read.
	unread  map[string]bool
	judging bool // all is read; what is found wrong now makes nothing unread
	// asked collects what is used by name and checked when all is read.
	asked  []asked
	sets   sets
	own    int           // problems so far
	area   unit.Quantity // of the piece type that is read
	castBy string        // the mold whose casts are read
	// moldsDoubtful: the molds hold mistakes, so that a piece type that seems to
	// have no mold may have one.
	moldsDoubtful bool
	crews         map[string][2]string   // what is wrong with a crew, by its words
	loads         map[string]model.Grams // the most that a batch can give, by mix
	open          Week                   // all hours in which anybody may work
}

// near is the hint for an unknown word, without the search for the nearest when
// there are mistakes enough to fill the screen.
func (r *reader) near(word, what string, known []string) string {
	if r.own > 100 {
		return ""
	}
	return diag.DidYouMean(word, what, known)
}

// nearSet is near, and says what to do when there is none to name.
func (r *reader) nearSet(word, part string, known []string) string {
	if len(known) == 0 {
		return fmt.Sprintf("add %s: to the file, with %s in it", part, word)
	}
	return r.near(word, part, known)
}

// fail notes a mistake.
func (r *reader) fail(at diag.Pos, hint, format string, args ...any) {
	r.own++
	for p := r.path; p != "" && !r.judging && !r.unread[p]; p = p[:strings.LastIndexByte(p, '/')] {
		r.unread[p] = true
	}
	r.errs.At(at, hint, format, args...)
}

// bad notes a mistake in the value of the key that is being read.
func (r *reader) bad(n *node, hint, format string, args ...any) {
	r.fail(n.pos, hint, "%q is %s, "+format, append([]any{r.key, n.show()}, args...)...)
}

// at reads the value of a key.
func (r *reader) at(key string, n *node, read func()) {
	oldKey, oldPath := r.key, r.path
	r.key, r.path = key, r.path+"/"+key
	r.where[r.path] = n.pos
	read()
	r.key, r.path = oldKey, oldPath
}

// place is where the value of a path of keys stands; if there is none, where the
// mapping above it does.
func (r *reader) place(path ...string) diag.Pos {
	for ; len(path) > 0; path = path[:len(path)-1] {
		if p, ok := r.where["/"+strings.Join(path, "/")]; ok {
			return p
		}
	}
	return r.shop.Source.At(1, 1)
}

// doubt says that something at or below one of the paths could not be read. What
// hangs on it is not judged: it would be told of what nobody wrote.
func (r *reader) doubt(paths ...string) bool {
	return slices.ContainsFunc(paths, func(p string) bool { return r.unread["/"+p] })
}

// hoursDoubt says that it is not known when the shop is open.
func (r *reader) hoursDoubt() bool { return r.doubt("hours", "lunch", "extra", "overtime") }

// ownDoubt is doubt about one of the keys of the piece type that is being read.
func (r *reader) ownDoubt(keys ...string) bool {
	part := strings.SplitN(r.path, "/", 4) // "", pieces, its name, the rest
	return len(part) > 2 && slices.ContainsFunc(keys, func(k string) bool { return r.doubt(part[1] + "/" + part[2] + "/" + k) })
}

// asked is a name that was used and has to exist.
type asked struct {
	what string // "station", "mix": see the words of checkNames
	name string
	by   string // the key that uses it
	mold string // the mold whose casts use it
	pos  diag.Pos
}

// use notes that a name is used.
func (r *reader) use(what, name string, n *node) {
	r.asked = append(r.asked, asked{what: what, name: name, by: r.key, mold: r.castBy, pos: n.pos})
}

func contains(words []string, w string) bool {
	for _, x := range words {
		if x == w {
			return true
		}
	}
	return false
}

// row is a line of the reference.
type row struct{ key, form, such, std, says string }

// section is a table as the reference prints it.
type section struct {
	title, path, intro, short string
	rows                      []row
}

func (tab *table[T]) section() section {
	s := section{title: tab.title, path: tab.path, intro: tab.intro, short: tab.short}
	for _, f := range tab.fields {
		std := f.std
		switch {
		case f.need:
			std = "needed"
		case std == "":
			std = "none"
		}
		std = strings.ReplaceAll(std, "CUR", "USD")
		s.rows = append(s.rows, row{f.key, f.form.is, f.form.such, std, f.says})
	}
	return s
}
