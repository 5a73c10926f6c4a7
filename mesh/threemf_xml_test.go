package mesh

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"
	"testing/iotest"
)

// tagsByLibrary lists the tags of XML as encoding/xml reads them, ended by
// "broken" when it does not.
func tagsByLibrary(text string) (tags []string) {
	d := xml.NewDecoder(strings.NewReader(text))
	for {
		token, err := d.Token()
		if err == io.EOF {
			return tags
		}
		if err != nil {
			return append(tags, "broken")
		}
		switch t := token.(type) {
		case xml.StartElement:
			tag := fmt.Sprintf("%q %q", t.Name.Space, t.Name.Local)
			for _, a := range t.Attr {
				tag += fmt.Sprintf(" %q %q=%q", a.Name.Space, a.Name.Local, a.Value)
			}
			tags = append(tags, tag)
		case xml.EndElement:
			tags = append(tags, "end")
		}
	}
}

// tagsByScanner lists them as ours does.
func tagsByScanner(in io.Reader) (tags []string, err error) {
	x := newXMLScanner(in)
	for {
		event, err := x.next()
		if err == io.EOF {
			return tags, nil
		}
		if err != nil {
			return append(tags, "broken"), err
		}
		if event == xmlEnd {
			tags = append(tags, "end")
			continue
		}
		tag := fmt.Sprintf("%q %q", x.name.space, x.name.local)
		for _, a := range x.attributes {
			tag += fmt.Sprintf(" %q %q=%q", a.space, a.local, a.value)
		}
		tags = append(tags, tag)
	}
}

// xmlDocuments are whole and broken.
var xmlDocuments = []string{
	model3MF, threeMFRelations, "", " \n", "gull", "<a/>", "<a></a>", "<a></a >", "<a></ a>", "<a><b/></a>text", "<a/><b/>", "\ufeff<?xml version='1.0'?><a/>",
	"<a", "<a ", "<a>", "</a>", "<a></b>", "<a><b></a></b>", "<a/", "<a/ >", "<a / b='1'>", "<", "<>", "< a/>", "<1/>", "<a.-1:b/>", "<-a/>", "<a:b:c/>", "<:a/>", "<a:/>", "<:/>",
	`<a b="1"/>`, `<a b='1'/>`, `<a b = "1"c="2"/>`, "<a\tb\n=\r\n'1'\n/>", `<a b/>`, `<a b=1/>`, `<a b="1>`, `<a b="1/>`, `<a =""/>`, `<a b="/>">x</a>`, `<a b='"' c="'"/>`,
	`<a b=">" c='>>'/>`, `<a b="<"/>`, `<a b="]]>"/>`, `<a b="1" b="2"/>`, "<a b='\t\r\n \r'/>", "<a b='\x01'/>", "<a b='\xff'/>", "<a b='\u00e9\u2028'/>", "<a b='\ufffe'/>", "<a b=\"\x7f\"/>",
	`<a b="&lt;&gt;&amp;&apos;&quot;&#65;&#x42;&#x43;&#x0000000000000000000044;"/>`, `<a b="&gull;"/>`, `<a b="&"/>`, `<a b="&#;"/>`, `<a b="&#x;"/>`, `<a b="&#xg;"/>`, `<a b="&#X41;"/>`,
	`<a b="&#0;"/>`, `<a b="&#1114112;"/>`, `<a b="&#xD800;"/>`, `<a b="&#99999999999999999999;"/>`, `<a b="&lt"/>`, `<a b="& lt;"/>`, `<a b="&#13;&#10;"/>`, `<a b="&#xFFFF;"/>`,
	"<a>&lt;</a>", "<a>&</a>", "<a>& b;</a>", "<a>]]></a>", "<a>]]&gt;]>]</a>", "<a>\x00</a>", "<a>\xc3</a>", "<a>\r\n\u00e9</a>", "<a>&#0;</a>", "<a>&lt",
	"<!-- a --><a/>", "<!----><a/>", "<!--->", "<!-->--><a/>", "<!-- -- --><a/>", "<!-- a ---><a/>", "<!- a --><a/>", "<!-- <b> > \xff --><a/>", "<!--", "<!-", "<!", "<!-- a -->-->",
	"<a><![CDATA[<b>&x;]]]></a>", "<![CDATA[]]>", "<a><![CDATA[\x01]]></a>", "<a><![CDATA[ ]]>]]></a>", "<a><![CDAT[ ]]></a>", "<a><![CDATA[", "<![", "<a><![CDATA[]]]]><![CDATA[>]]></a>",
	"<?gull <b> ? > ??><a/>", "<?gull?><a/>", "<?gull", "<??>", "<? gull?>", "<?1?>", "<?a:b:c?><a/>", "<?xml version='1.1'?><a/>", `<?xml encoding="Utf-8" version="1.0"?><a/>`,
	`<?xml version="1.0" encoding="latin1"?><a/>`, "<?xml version=1.0?><a/>", "<?xml version=?><a/>", "<?xml encoding=x encoding='y'?><a/>", "<?xml encoding='y?><a/>", "<?xml?><a/>", "<a/><?xml version='2'?>",
	`<a xmlns="u"><b/><c xmlns=""><d/></c><e xmlns="v" xmlns="w"/><f/></a>`, `<p:a xmlns:p="u" p:b="1" b="2" q:c="3"><p:d xmlns:p="v"/><p:e/></p:a>`, `<p:a xmlns:p="u"></q:a>`,
	`<p:a xmlns:p="u"/><p:a/>`, `<a xmlns:p=""><p:b p:c="1"/></a>`, `<xml:a xml:lang="en"/>`, `<xmlns:a xmlns:xmlns="u" xmlns:xml="v"/>`, `<xmlns/>`, `<a xmlns:="u" :xmlns="v"/>`, `<a xmlns:q="u&amp;v"><q:b/></a>`,
}

// TestXMLScanner holds the scanner against encoding/xml, whole and byte by
// byte.
func TestXMLScanner(t *testing.T) {
	for _, text := range xmlDocuments {
		want := tagsByLibrary(text)
		got, err := tagsByScanner(strings.NewReader(text))
		if !slices.Equal(got, want) {
			t.Errorf("%q: %v (%v), want %v", text, got, err, want)
		}
		if slow, _ := tagsByScanner(iotest.OneByteReader(strings.NewReader(text))); !slices.Equal(slow, want) {
			t.Errorf("%q byte by byte: %v, want %v", text, slow, want)
		}
	}
}

// TestXMLScannerRefuses: what is not read, and what is beyond measure.
func TestXMLScannerRefuses(t *testing.T) {
	utf16 := func(low, high string) string {
		var b strings.Builder
		for _, c := range "<a/>" {
			b.WriteString(low + string(c) + high)
		}
		return b.String()
	}
	long := strings.Repeat("gull ", maxLine/5+20)
	for _, c := range []struct {
		name, text string
		want       error
	}{
		{"a document type", `<!DOCTYPE a [<!ENTITY b "c">]><a/>`, errXMLType},
		{"UTF-16", "\xff\xfe" + utf16("", "\x00"), errXMLUTF16},
		{"UTF-16 turned about", "\xfe\xff" + utf16("\x00", ""), errXMLUTF16},
		{"UTF-16 without a mark", utf16("", "\x00"), errXMLUTF16},
		{"UTF-16 turned about, without a mark", utf16("\x00", ""), errXMLUTF16},
		{"another encoding", `<?xml version="1.0" encoding="windows-1252"?><a/>`, errXMLCode},
		{"text", "<a>" + long + "</a>", errXMLToken},
		{"a value", `<a b="` + long + `"/>`, errXMLToken},
		{"a value with ends of tags", `<a b="` + strings.Repeat(">", len(long)) + `"/>`, errXMLToken},
		{"a name", "<a" + strings.ReplaceAll(long, " ", "") + "/>", errXMLNames},
		{"a comment", "<!-- " + long + "--><a/>", errXMLToken},
		{"an instruction", "<?gull " + long + "?><a/>", errXMLToken},
		{"data", "<a><![CDATA[" + long + "]]></a>", errXMLToken},
		{"depth", strings.Repeat("<a>", maxDepth+1), errXMLDepth},
		{"attributes", "<a" + strings.Repeat(" b=''", maxAttributes+1) + "/>", errXMLNames},
		{"name spaces", `<a xmlns="` + strings.Repeat("u", maxXMLNames+1) + `"/>`, errXMLNames},
	} {
		if _, err := tagsByScanner(strings.NewReader(c.text)); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", c.name, err, c.want)
		}
	}
	broken := errors.New("broken")
	if _, err := tagsByScanner(io.MultiReader(strings.NewReader("<a>"), iotest.ErrReader(broken))); !errors.Is(err, broken) {
		t.Errorf("an error from below: %v", err)
	}
}

// TestXMLScannerTakesLittle: nothing is allocated for a tag.
func TestXMLScannerTakesLittle(t *testing.T) {
	text := "<a>" + strings.Repeat("\n <vertex x=\"1.25\" y='-3e-5' z=\"7\"/>", 10000) + "</a>"
	took := testing.AllocsPerRun(3, func() {
		x, n := newXMLScanner(strings.NewReader(text)), 0
		for {
			event, err := x.next()
			if err == io.EOF {
				break
			}
			if event == xmlStart {
				n++
			}
		}
		if n != 10001 {
			t.Fatal(n)
		}
	})
	if took > 40 {
		t.Errorf("%v allocations", took)
	}
}

// FuzzXMLScanner holds the scanner against encoding/xml. The two differ on
// letters outside ASCII in names, and on what only one of them refuses.
func FuzzXMLScanner(f *testing.F) {
	for _, text := range xmlDocuments {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got, err := tagsByScanner(strings.NewReader(text))
		for _, other := range []xmlError{errXMLType, errXMLDepth, errXMLNames, errXMLToken} {
			if errors.Is(err, other) {
				return
			}
		}
		if want := tagsByLibrary(text); !slices.Equal(got, want) && strings.IndexFunc(text, func(r rune) bool { return r > '~' }) < 0 {
			t.Errorf("%v (%v), want %v", got, err, want)
		}
	})
}
