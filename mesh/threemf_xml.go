package mesh

import (
	"bytes"
	"fmt"
	"io"
	"strings"
)

// xmlScanner reads XML 1.0 with name spaces, as 3MF needs it: tags and their
// attributes; text, comments and processing instructions are checked and passed
// over. Nothing is allocated for a tag, so that it is many times faster than the
// general library, which is the check in the tests. Names outside ASCII follow
// the fifth edition of XML 1.0. Document types are refused, for what they
// declare could be endless.
type xmlScanner struct {
	in     io.Reader
	window []byte // read and not yet passed over: from at on
	at     int
	lines  int   // line ends before the window
	ended  error // why in gives no more
	begun  bool

	name       xmlName // of the tag that begins or ends
	attributes []xmlAttribute
	empty      bool // the tag was one that ends itself
	open       []xmlOpen
	names      []byte // of the open tags, prefixes included
	spaces     []xmlSpace
	decoded    []byte // values that do not stand in the window as they are
}

// An xmlName is a name with its name space: the one declared, or the prefix
// where none is.
type xmlName struct {
	space string
	local []byte
}

// An xmlAttribute is valid until the next tag is read.
type xmlAttribute struct {
	xmlName
	value  []byte
	prefix []byte
}

// An xmlOpen is a tag that has not ended.
type xmlOpen struct{ name, spaces int } // where its name and declarations start

// An xmlSpace is a name space that is declared.
type xmlSpace struct{ prefix, space string }

// xmlError says what is wrong with XML.
type xmlError string

// Error returns what is wrong.
func (e xmlError) Error() string { return string(e) }

var (
	errXML      = xmlError("it is not whole, or no XML")
	errXMLToken = xmlError("a tag or text in it has no end")
	errXMLNames = xmlError("its names are too long, or too many")
	errXMLDepth = xmlError(fmt.Sprintf("tags are nested more than %d deep", maxDepth))
	errXMLType  = xmlError("it declares a document type (DOCTYPE), which is not read")
	errXMLUTF16 = xmlError("its text is UTF-16, and only UTF-8 is read")
	errXMLCode  = xmlError("its text is in another encoding than UTF-8, which is not read")
)

// xmlTag is what next found.
type xmlTag byte

const (
	xmlStart xmlTag = iota
	xmlEnd
)

func newXMLScanner(in io.Reader) *xmlScanner {
	return &xmlScanner{in: in, window: make([]byte, 0, 1<<16)}
}

// line returns the number of the line that was read last, from 1.
func (x *xmlScanner) line() int { return x.lines + bytes.Count(x.window[:x.at], []byte("\n")) + 1 }

// next goes on to the next tag that begins or ends. At the end of a whole file
// the error is io.EOF; what is wrong with XML is an xmlError; other errors come
// from in.
func (x *xmlScanner) next() (xmlTag, error) {
	if x.empty {
		x.empty = false
		x.close()
		return xmlEnd, nil
	}
	if !x.begun {
		if err := x.begin(); err != nil {
			return 0, err
		}
	}
	for {
		if x.at == len(x.window) {
			if err := x.more(); err != nil {
				return 0, x.whole(err)
			}
		}
		if x.window[x.at] != '<' {
			if err := x.text(); err != nil {
				return 0, err
			}
			continue
		}
		for len(x.window)-x.at < 2 {
			if err := x.more(); err != nil {
				return 0, cutOff(err)
			}
		}
		switch x.window[x.at+1] {
		case '/':
			return xmlEnd, x.endTag()
		case '?':
			if err := x.instruction(); err != nil {
				return 0, err
			}
		case '!':
			if err := x.aside(); err != nil {
				return 0, err
			}
		default:
			return xmlStart, x.startTag()
		}
	}
}

// whole says what the end of the input means between tokens.
func (x *xmlScanner) whole(err error) error {
	if err == io.EOF && len(x.open) > 0 {
		return errXML
	}
	return err
}

// cutOff says what the end of the input means within a token.
func cutOff(err error) error {
	if err == io.EOF {
		return errXML
	}
	return err
}

// begin looks at the first bytes.
func (x *xmlScanner) begin() error {
	x.begun = true
	for len(x.window) < 3 {
		if err := x.more(); err == io.EOF {
			break
		} else if err != nil {
			return err
		}
	}
	for _, mark := range []string{"\xff\xfe", "\xfe\xff", "<\x00", "\x00<"} {
		if bytes.HasPrefix(x.window, []byte(mark)) {
			return errXMLUTF16
		}
	}
	return nil
}

// more reads on. What is not passed over stays in the window, which never takes
// more than maxLine.
func (x *xmlScanner) more() error {
	if x.ended != nil {
		return x.ended
	}
	kept := x.window[x.at:]
	if len(kept) >= maxLine {
		return errXMLToken
	}
	x.lines += bytes.Count(x.window[:x.at], []byte("\n"))
	if 2*len(kept) > cap(x.window) && cap(x.window) < maxLine {
		x.window = append(make([]byte, 0, 2*cap(x.window)), kept...)
	} else {
		x.window = x.window[:copy(x.window[:cap(x.window)], kept)]
	}
	x.at = 0
	for range 100 {
		n, err := x.in.Read(x.window[len(x.window):cap(x.window)])
		x.window = x.window[:len(x.window)+n]
		x.ended = err
		if n > 0 {
			return nil
		}
		if err != nil {
			return err
		}
	}
	return io.ErrNoProgress
}

// upTo returns what stands from here to the end of mark, which is looked for
// from the offset on; nothing is passed over.
func (x *xmlScanner) upTo(mark string, offset int) ([]byte, error) {
	for {
		rest := x.window[x.at:]
		if offset <= len(rest) {
			if i := bytes.Index(rest[offset:], []byte(mark)); i >= 0 {
				return rest[:offset+i+len(mark)], nil
			}
		}
		if err := x.more(); err != nil {
			return nil, cutOff(err)
		}
	}
}

// text passes over text.
func (x *xmlScanner) text() error {
	for {
		rest := x.window[x.at:]
		i := bytes.IndexByte(rest, '<')
		if i < 0 {
			switch err := x.more(); err {
			case nil:
				continue
			case io.EOF:
				rest = x.window[x.at:]
				i = len(rest)
			default:
				return err
			}
		}
		x.at += i
		return x.checkText(rest[:i])
	}
}

// checkText checks text, most of which is white space.
func (x *xmlScanner) checkText(b []byte) error {
	i := 0
	for i < len(b) && plainXML[b[i]] && b[i] != ']' {
		i++
	}
	if i == len(b) {
		return nil
	}
	if bytes.Contains(b, []byte("]]>")) {
		return errXML
	}
	x.decoded = x.decoded[:0]
	return x.decode(b)
}

// instruction passes over a processing instruction.
func (x *xmlScanner) instruction() error {
	b, err := x.upTo("?>", len("<?"))
	if err != nil {
		return err
	}
	name, rest := cutName(b[len("<?"):])
	if !isXMLName(name) {
		return errXML
	}
	x.at += len(b)
	if string(name) != "xml" {
		return nil
	}
	said := string(rest[:len(rest)-len("?>")])
	if v := declared(said, "version="); v != "" && v != "1.0" {
		return errXML
	}
	if code := declared(said, "encoding="); code != "" && !strings.EqualFold(code, "utf-8") {
		return errXMLCode
	}
	return nil
}

// declared returns what an XML declaration says after a word.
func declared(text, word string) string {
	for {
		_, rest, found := strings.Cut(text, word)
		if !found || rest == "" {
			return ""
		}
		if quote := rest[0]; quote == '"' || quote == '\'' {
			said, _, ended := strings.Cut(rest[1:], string(quote))
			if !ended {
				return ""
			}
			return said
		}
		text = rest[1:]
	}
}

// aside passes over a comment or takes CDATA, which is text.
func (x *xmlScanner) aside() error {
	const comment, data = "<!--", "<![CDATA["
	for len(x.window)-x.at < len(data) {
		if err := x.more(); err == io.EOF {
			break
		} else if err != nil {
			return err
		}
	}
	rest := x.window[x.at:]
	switch {
	case bytes.HasPrefix(rest, []byte(comment)):
		b, err := x.upTo("-->", len(comment))
		if err != nil {
			return err
		}
		if bytes.Index(b[len(comment):], []byte("--")) != len(b)-len(comment)-len("-->") {
			return errXML
		}
		x.at += len(b)
		return nil
	case bytes.HasPrefix(rest, []byte(data)):
		b, err := x.upTo("]]>", len(data))
		if err != nil {
			return err
		}
		x.at += len(b)
		return checkCharacters(b)
	case len(rest) > 2 && rest[2] != '-' && rest[2] != '[':
		return errXMLType
	}
	return errXML
}
