package mesh

import (
	"bytes"
	"unicode"
	"unicode/utf8"
)

// startTag reads a tag that begins, and ends itself perhaps. Most tags end at
// the first '>'; only where that stands in a value is the end looked for with
// more care.
func (x *xmlScanner) startTag() error {
	b, err := x.upTo(">", 1)
	if err != nil {
		return err
	}
	inValue, err := x.parseTag(b)
	if inValue {
		if b, err = x.toTagEnd(); err != nil {
			return err
		}
		if inValue, err = x.parseTag(b); inValue {
			return errXML
		}
	}
	if err != nil {
		return err
	}
	x.at += len(b)
	return nil
}

// toTagEnd returns a tag whose values may hold '>'.
func (x *xmlScanner) toTagEnd() ([]byte, error) {
	quote := byte(0)
	for i := 1; ; i++ {
		if i == len(x.window)-x.at {
			if err := x.more(); err != nil {
				return nil, cutOff(err)
			}
		}
		switch c := x.window[x.at+i]; {
		case quote != 0:
			if c == quote {
				quote = 0
			}
		case c == '"' || c == '\'':
			quote = c
		case c == '>':
			return x.window[x.at : x.at+i+1], nil
		}
	}
}

// parseTag reads a tag from '<' to '>'. It tells whether b ends in a value.
func (x *xmlScanner) parseTag(b []byte) (inValue bool, err error) {
	x.attributes, x.decoded = x.attributes[:0], x.decoded[:0]
	name, rest := cutName(b[1:])
	if !isQualified(name) {
		return false, errXML
	}
	for {
		rest = skipSpace(rest)
		if rest[0] == '>' || rest[0] == '/' {
			break
		}
		var a xmlAttribute
		if a, rest, inValue, err = x.attribute(rest); inValue || err != nil {
			return inValue, err
		}
		if len(x.attributes) == maxAttributes {
			return false, errXMLNames
		}
		x.attributes = append(x.attributes, a)
	}
	x.empty = rest[0] == '/'
	if x.empty && rest[1] != '>' {
		x.empty = false
		return false, errXML
	}
	return false, x.enter(name)
}

// attribute reads one attribute; b goes on to the end of the tag.
func (x *xmlScanner) attribute(b []byte) (a xmlAttribute, rest []byte, inValue bool, err error) {
	name, rest := cutName(b)
	if !isQualified(name) {
		return a, nil, false, errXML
	}
	a.prefix, a.local = cutPrefix(name)
	if rest = skipSpace(rest); rest[0] != '=' {
		return a, nil, false, errXML
	}
	rest = skipSpace(rest[1:])
	quote := rest[0]
	if quote != '"' && quote != '\'' {
		return a, nil, false, errXML
	}
	rest = rest[1:]
	i := 0
	for i < len(rest) && plainXML[rest[i]] && rest[i] != quote {
		i++
	}
	if i < len(rest) && rest[i] == quote {
		a.value = rest[:i]
		return a, rest[i+1:], false, nil
	}
	if i = bytes.IndexByte(rest, quote); i < 0 {
		return a, nil, true, nil
	}
	from := len(x.decoded)
	if err := x.decode(rest[:i]); err != nil {
		return a, nil, false, err
	}
	a.value = x.decoded[from:len(x.decoded):len(x.decoded)]
	return a, rest[i+1:], false, nil
}

// enter opens a tag: the name spaces that it declares hold for itself, too.
func (x *xmlScanner) enter(name []byte) error {
	if len(x.open) == maxDepth {
		return errXMLDepth
	}
	x.open = append(x.open, xmlOpen{len(x.names), len(x.spaces)})
	if x.names = append(x.names, name...); len(x.names) > maxXMLNames {
		return errXMLNames
	}
	for i := range x.attributes {
		a := &x.attributes[i]
		switch {
		case string(a.prefix) == "xmlns":
			x.spaces = append(x.spaces, xmlSpace{string(a.local), string(a.value)})
		case len(a.prefix) == 0 && string(a.local) == "xmlns":
			x.spaces = append(x.spaces, xmlSpace{"", string(a.value)})
		}
	}
	if len(x.spaces) > x.open[len(x.open)-1].spaces && !x.fewSpaces() {
		return errXMLNames
	}
	prefix, local := cutPrefix(name)
	x.name = xmlName{x.spaceOf(prefix), local}
	for i := range x.attributes {
		if a := &x.attributes[i]; len(a.prefix) > 0 {
			a.space = x.spaceOf(a.prefix)
		}
	}
	return nil
}

// fewSpaces tells whether the name spaces that hold are within bounds.
func (x *xmlScanner) fewSpaces() bool {
	size := 0
	for _, s := range x.spaces {
		size += len(s.prefix) + len(s.space)
	}
	return size <= maxXMLNames && len(x.spaces) <= maxAttributes
}

// spaceOf returns the name space that a prefix stands for.
func (x *xmlScanner) spaceOf(prefix []byte) string {
	switch string(prefix) {
	case "xmlns":
		return "xmlns"
	case "xml":
		return "http://www.w3.org/XML/1998/namespace"
	}
	for i := len(x.spaces) - 1; i >= 0; i-- {
		if x.spaces[i].prefix == string(prefix) {
			return x.spaces[i].space
		}
	}
	return string(prefix)
}

// endTag reads a tag that ends, which must be the one that began last.
func (x *xmlScanner) endTag() error {
	b, err := x.upTo(">", len("</"))
	if err != nil {
		return err
	}
	name, rest := cutName(b[len("</"):])
	rest = skipSpace(rest)
	if len(x.open) == 0 || rest[0] != '>' || string(name) != string(x.names[x.open[len(x.open)-1].name:]) {
		return errXML
	}
	x.at += len(b)
	prefix, local := cutPrefix(name)
	x.name = xmlName{x.spaceOf(prefix), local}
	x.close()
	return nil
}

// close leaves the tag that began last.
func (x *xmlScanner) close() {
	last := x.open[len(x.open)-1]
	x.open, x.names, x.spaces = x.open[:len(x.open)-1], x.names[:last.name], x.spaces[:last.spaces]
}

// plainXML are the bytes that text and values may hold and that stand for
// themselves.
var plainXML = func() (plain [256]bool) {
	for c := ' '; c < utf8.RuneSelf; c++ {
		plain[c] = c != '<' && c != '&'
	}
	plain['\t'], plain['\n'] = true, true
	return plain
}()

// nameXML are the bytes of ASCII that names may hold.
var nameXML = func() (name [256]bool) {
	for c := range name {
		c := byte(c)
		name[c] = 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || '0' <= c && c <= '9' || bytes.IndexByte([]byte("_:.-"), c) >= 0
	}
	return name
}()

// cutName splits off the bytes that belong to a name.
func cutName(b []byte) (name, rest []byte) {
	i := 0
	for i < len(b) && (nameXML[b[i]] || b[i] >= utf8.RuneSelf) {
		i++
	}
	return b[:i], b[i:]
}

// cutPrefix splits a name at its colon, when there are letters on both sides.
func cutPrefix(name []byte) (prefix, local []byte) {
	if i := bytes.IndexByte(name, ':'); i > 0 && i < len(name)-1 {
		return name[:i], name[i+1:]
	}
	return nil, name
}

// skipSpace passes over white space; the '>' of a tag ends it.
func skipSpace(b []byte) []byte {
	for b[0] == ' ' || b[0] == '\n' || b[0] == '\r' || b[0] == '\t' {
		b = b[1:]
	}
	return b
}

// isQualified tells whether b is a name with at most one colon.
func isQualified(b []byte) bool {
	return isXMLName(b) && bytes.Count(b, []byte(":")) <= 1
}

// isXMLName tells whether b, whose ASCII is that of names, is a name (XML 1.0,
// fifth edition, section 2.3).
func isXMLName(b []byte) bool {
	if len(b) == 0 || '0' <= b[0] && b[0] <= '9' || b[0] == '.' || b[0] == '-' {
		return false
	}
	for i := 0; i < len(b); {
		if b[i] < utf8.RuneSelf {
			i++
			continue
		}
		r, size := utf8.DecodeRune(b[i:])
		if r == utf8.RuneError && size == 1 || !unicode.Is(nameStart, r) && (i == 0 || !unicode.Is(nameLater, r)) {
			return false
		}
		i += size
	}
	return true
}

// Runes outside ASCII that names may begin with, and that may follow.
var (
	nameStart = &unicode.RangeTable{
		R16: []unicode.Range16{
			{Lo: 0xC0, Hi: 0xD6, Stride: 1}, {Lo: 0xD8, Hi: 0xF6, Stride: 1}, {Lo: 0xF8, Hi: 0x2FF, Stride: 1},
			{Lo: 0x370, Hi: 0x37D, Stride: 1}, {Lo: 0x37F, Hi: 0x1FFF, Stride: 1}, {Lo: 0x200C, Hi: 0x200D, Stride: 1},
			{Lo: 0x2070, Hi: 0x218F, Stride: 1}, {Lo: 0x2C00, Hi: 0x2FEF, Stride: 1}, {Lo: 0x3001, Hi: 0xD7FF, Stride: 1},
			{Lo: 0xF900, Hi: 0xFDCF, Stride: 1}, {Lo: 0xFDF0, Hi: 0xFFFD, Stride: 1},
		},
		R32: []unicode.Range32{{Lo: 0x10000, Hi: 0xEFFFF, Stride: 1}},
	}
	nameLater = &unicode.RangeTable{R16: []unicode.Range16{
		{Lo: 0xB7, Hi: 0xB7, Stride: 1}, {Lo: 0x300, Hi: 0x36F, Stride: 1}, {Lo: 0x203F, Hi: 0x2040, Stride: 1},
	}}
)
