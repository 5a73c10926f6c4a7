package mesh

import (
	"bytes"
	"unicode/utf8"
)

// decode appends what a value or text stands for to decoded: references
// replaced, line ends made one (XML 1.0, sections 2.11 and 4.6).
func (x *xmlScanner) decode(b []byte) error {
	from := len(x.decoded)
	for i := 0; i < len(b); i++ {
		switch c := b[i]; {
		case c == '<':
			return errXML
		case c == '&':
			end := bytes.IndexByte(b[i:], ';')
			if end < 0 {
				return errXML
			}
			r, ok := reference(b[i+1 : i+end])
			if !ok {
				return errXML
			}
			x.decoded = utf8.AppendRune(x.decoded, r)
			i += end
		case c == '\r':
			if i+1 == len(b) || b[i+1] != '\n' {
				x.decoded = append(x.decoded, '\n')
			}
		default:
			x.decoded = append(x.decoded, c)
		}
	}
	return checkCharacters(x.decoded[from:])
}

// reference returns the character of a reference, given without & and ;.
func reference(b []byte) (rune, bool) {
	switch string(b) {
	case "lt":
		return '<', true
	case "gt":
		return '>', true
	case "amp":
		return '&', true
	case "apos":
		return '\'', true
	case "quot":
		return '"', true
	}
	digits, isNumber := bytes.CutPrefix(b, []byte("#"))
	base := rune(10)
	if hex, isHex := bytes.CutPrefix(digits, []byte("x")); isHex {
		digits, base = hex, 16
	}
	if !isNumber || len(digits) == 0 {
		return 0, false
	}
	n := rune(0)
	for _, c := range digits {
		digit := hexDigit(c)
		if digit < 0 || digit >= base {
			return 0, false
		}
		if n = base*n + digit; n > utf8.MaxRune {
			return 0, false
		}
	}
	return n, true
}

func hexDigit(c byte) rune {
	switch {
	case '0' <= c && c <= '9':
		return rune(c - '0')
	case 'a' <= c && c <= 'f':
		return rune(c-'a') + 10
	case 'A' <= c && c <= 'F':
		return rune(c-'A') + 10
	}
	return -1
}

// checkCharacters refuses what is no UTF-8 or no character of XML (XML 1.0,
// section 2.2).
func checkCharacters(b []byte) error {
	for len(b) > 0 {
		r, size := utf8.DecodeRune(b)
		b = b[size:]
		control := r < ' ' && r != '\t' && r != '\n' && r != '\r'
		if r == utf8.RuneError && size == 1 || control || r == 0xFFFE || r == 0xFFFF {
			return errXML
		}
	}
	return nil
}
