package shop

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"

	"pourweek/model/diag"
)

// Limits on a shop file. A shop of forty people takes some 30,000 bytes.
const (
	MaxBytes = 512 << 10 // of the file
	maxNodes = 100_000   // values, aliases written out
	maxDepth = 20        // levels, aliases written out
	maxPairs = 500       // keys of one mapping, values of one list
	maxText  = 500       // characters of one value
)

// node is one value of the file with its place. Aliases are written out.
type node struct {
	kind  kind
	text  string // of a scalar, or a mapping's key
	pos   diag.Pos
	items []*node // of a list
	pairs []pair  // of a mapping, in the file's order, keys unique
}

type pair struct{ key, value *node }

type kind int

const (
	scalar kind = iota
	list
	mapping
	null // nothing after the colon
)

// get is the value of a key, nil if there is none.
func (n *node) get(key string) *node {
	for _, p := range n.pairs {
		if p.key.text == key {
			return p.value
		}
	}
	return nil
}

// show is the value as a message quotes it.
func (n *node) show() string {
	switch n.kind {
	case list:
		return "a list"
	case mapping:
		return "a mapping of keys"
	case null:
		return "empty"
	}
	return diag.Quote(n.text)
}

// parse turns the text of a file into nodes, nil if it cannot.
func parse(src *diag.Source, data []byte, errs *diag.List) *node {
	whole := src.At(0, 0)
	switch {
	case len(data) > MaxBytes:
		errs.At(whole, "a shop file describes one shop; take out what does not belong there",
			"the file has %d bytes, at most %d are read", len(data), MaxBytes)
		return nil
	case !utf8.Valid(data):
		errs.At(badByte(src, data), "save the file as UTF-8", "the file is not UTF-8 text")
		return nil
	case len(bytes.TrimSpace(data)) == 0:
		errs.At(whole, "pourweek start DIR writes a shop to begin with", "the file is empty")
		return nil
	}
	if i := bytes.IndexFunc(data, func(r rune) bool { return r < ' ' && !strings.ContainsRune("\t\n\r", r) || r == 0x7f }); i >= 0 {
		errs.At(placeOf(src, data, i), "take it out", "the line holds a control character, of number %d", data[i])
		return nil
	}
	var doc yaml.Node
	if err := load(data, &doc); err != nil {
		errs.Add(syntax(src, data, err))
		return nil
	}
	if len(doc.Content) != 1 {
		errs.At(whole, "pourweek start DIR writes a shop to begin with", "the file says nothing")
		return nil
	}
	b := builder{src: src, errs: errs, left: maxNodes}
	root := b.node(doc.Content[0], 0)
	if b.full {
		return nil
	}
	return root
}

// badByte is where the bytes of a file stop being UTF-8.
func badByte(src *diag.Source, data []byte) diag.Pos {
	at := 0
	for at < len(data) {
		r, n := utf8.DecodeRune(data[at:])
		if r == utf8.RuneError && n < 2 {
			break
		}
		at += n
	}
	return placeOf(src, data, at)
}

// placeOf is the line and column of a byte.
func placeOf(src *diag.Source, data []byte, at int) diag.Pos {
	before := bytes.ReplaceAll(data[:at], []byte("\r\n"), []byte("\n"))
	before = bytes.ReplaceAll(before, []byte("\r"), []byte("\n"))
	line := bytes.LastIndexByte(before, '\n') + 1
	return src.At(bytes.Count(before, []byte("\n"))+1, utf8.RuneCount(before[line:])+1)
}

// load parses YAML; a panic of the library becomes an error.
func load(data []byte, doc *yaml.Node) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("the file cannot be read as YAML: %v", p)
		}
	}()
	return yaml.Load(data, doc)
}

// syntax is the problem for an error of the YAML library.
func syntax(src *diag.Source, data []byte, err error) diag.Problem {
	var one *yaml.LoadError
	if !errors.As(err, &one) {
		text := err.Error()
		switch {
		case strings.Contains(text, "no documents"):
			return src.At(0, 0).Problem("the file says nothing", "pourweek start DIR writes a shop to begin with")
		case strings.Contains(text, "multiple"):
			return severalDocuments(src, data)
		}
		return src.At(0, 0).Problem("the file is no YAML: "+text, "")
	}
	pos := src.At(max(one.Mark.Line, 0), max(one.Mark.Column, 0))
	line := src.Line(pos.Line)
	hint := "look at this line and the one above: indentation, colons, quotes and brackets"
	message := one.Message
	switch {
	case strings.HasPrefix(strings.TrimLeft(line, " "), "\t"):
		message, hint = "the line is indented with a tab", "indent with spaces"
	case strings.Contains(message, "mapping values are not allowed"):
		message = "there is a colon where none can be"
		hint = `put a text that holds ": " between double quotes, and indent a key as deep as its neighbors`
	case strings.Contains(message, "unknown anchor"):
		hint = "put a text that begins with * between double quotes"
	case strings.Contains(message, "cannot start any token"):
		message = "the line holds a character with which no value can begin"
		hint = "put a text that begins with @, %, ` or a tab between double quotes"
	case strings.Contains(message, "multiple"):
		return severalDocuments(src, data)
	case strings.Contains(message, "no documents"):
		message, hint = "the file says nothing", "pourweek start DIR writes a shop to begin with"
	}
	return pos.Problem(message, hint)
}

// severalDocuments points at the first line of dashes below the first line.
func severalDocuments(src *diag.Source, data []byte) diag.Problem {
	at := src.At(0, 0)
	for i, line := range bytes.Split(data, []byte("\n")) {
		if i > 0 && bytes.HasPrefix(line, []byte("---")) {
			at = src.At(i+1, 1)
			break
		}
	}
	return at.Problem("the file holds several documents", "take out the lines that are ---")
}

// builder turns YAML nodes into our own.
type builder struct {
	src  *diag.Source
	errs *diag.List
	left int
	full bool
}

func (b *builder) node(y *yaml.Node, depth int) *node {
	n := &node{pos: b.src.At(y.Line, y.Column)}
	if b.left--; b.left < 0 || depth > maxDepth {
		if !b.full {
			b.full = true
			b.errs.At(n.pos, "write it out more simply; like: and defaults: say what piece types share",
				"the file holds more than %d values or %d levels, aliases written out", maxNodes, maxDepth)
		}
		n.kind = null
		return n
	}
	switch y.Kind {
	case yaml.AliasNode:
		if y.Alias == nil {
			n.kind = null
			return n
		}
		return b.node(y.Alias, depth+1)
	case yaml.SequenceNode:
		n.kind = list
		if b.many(n, len(y.Content)) {
			return n
		}
		for _, c := range y.Content {
			n.items = append(n.items, b.node(c, depth+1))
		}
	case yaml.MappingNode:
		n.kind = mapping
		if b.many(n, len(y.Content)/2) {
			return n
		}
		b.pairs(n, y, depth)
	default:
		n.text = b.text(y)
		if y.Tag == "!!null" && y.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) == 0 {
			n.kind = null
		}
	}
	return n
}

// many notes that a list or a mapping is too long.
func (b *builder) many(n *node, length int) bool {
	if length > maxPairs {
		b.errs.At(n.pos, "describe one shop in a file", "there are %d values in one list or mapping, at most %d are allowed", length, maxPairs)
	}
	return length > maxPairs
}

func (b *builder) text(y *yaml.Node) string {
	if len(y.Value) > maxText {
		b.errs.At(b.src.At(y.Line, y.Column), "shorten it", "the value has %d characters, at most %d are allowed",
			utf8.RuneCountInString(y.Value), maxText)
		return y.Value[:0]
	}
	return strings.TrimSpace(y.Value)
}

// pairs reads the keys and values of a mapping.
func (b *builder) pairs(n *node, y *yaml.Node, depth int) {
	first := map[string]diag.Pos{}
	for i := 0; i+1 < len(y.Content); i += 2 {
		k, v := y.Content[i], y.Content[i+1]
		pos := b.src.At(k.Line, k.Column)
		if k.Kind == yaml.AliasNode && k.Alias != nil {
			k = k.Alias
		}
		if k.Kind != yaml.ScalarNode {
			b.errs.At(pos, "keys are words", "a key is a list or a mapping")
			continue
		}
		if k.Tag == "!!merge" {
			b.errs.At(pos, "use like: NAME in a piece type or a mix, or defaults:", `the merge key "<<" is not known here`)
			continue
		}
		text := b.text(k)
		if at, twice := first[text]; twice {
			b.errs.At(pos, "take one of the two out", "key %s stands twice, first on %s", diag.Quote(text), at.Place())
			continue
		}
		first[text] = pos
		n.pairs = append(n.pairs, pair{&node{text: text, pos: pos}, b.node(v, depth+1)})
	}
}

// over lays a mapping over another: its own keys first, then those of under that
// it lacks. Under the keys named in deep, mappings are laid over each other too.
func over(n, under *node, deep func(key string) bool) *node {
	if n == nil || n.kind == null {
		return under
	}
	if under == nil || n.kind != mapping || under.kind != mapping {
		return n
	}
	out := &node{kind: mapping, pos: n.pos}
	for _, p := range n.pairs {
		if u := under.get(p.key.text); u != nil && deep(p.key.text) {
			p.value = over(p.value, u, func(string) bool { return false })
		}
		out.pairs = append(out.pairs, p)
	}
	for _, p := range under.pairs {
		if n.get(p.key.text) == nil {
			out.pairs = append(out.pairs, p)
		}
	}
	return out
}
