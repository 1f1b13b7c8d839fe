package cube

import (
	"fmt"
	"strings"
	"unicode"
)

// MaxLength is the longest text, in characters, that [Parse] reads, and the
// longest row of turns that it makes of repeated groups.
const MaxLength = 4096

// ParseError says what in a text is no sequence, and where.
type ParseError struct {
	// Offset is where the trouble starts, in characters from 0.
	Offset int
	// Token is the text there; "" at the end of the text.
	Token string
	// Reason says what is wrong with it.
	Reason string
}

func (e *ParseError) Error() string {
	if e.Token == "" {
		return fmt.Sprintf("%s (at character %d)", e.Reason, e.Offset+1)
	}
	return fmt.Sprintf("%s: “%s” (at character %d)", e.Reason, e.Token, e.Offset+1)
}

// Parse reads a sequence as people write and paste them:
//
//	U D L R F B        face turns
//	r = Rw = 2Rw       wide turns, two layers; likewise for the other faces
//	M E S   x y z      slices and rotations
//	' 2 2'             after any of them: the other way round, a half turn
//	( ) [ ]            around a group, which may be followed by a number of
//	                   times, 1 to 99, by ' for its inverse, or by both
//	// ...             a comment, to the end of the line
//
// Spaces and line breaks may stand anywhere between turns or be left out; the
// apostrophe may be any of those that keyboards and word processors make. A 2
// belongs to what stands before it where it can: "U2Rw" is U2 Rw. A text
// without turns is the empty sequence. An error is a [*ParseError].
func Parse(text string) (Sequence, error) {
	p := parser{text: []rune(text)}
	if len(p.text) > MaxLength {
		return nil, &ParseError{Offset: MaxLength, Reason: fmt.Sprintf("a sequence has at most %d characters; this one has %d", MaxLength, len(p.text))}
	}
	s, err := p.group(-1)
	if err != nil {
		return nil, err
	}
	return s, nil
}

type parser struct {
	text []rune
	at   int
}

var closing = map[rune]rune{'(': ')', '[': ']'}

// group reads turns up to the bracket that closes the one at open, or to the
// end of the text where open is -1. An error is a *ParseError; the type is error
// so that nil stays nil.
func (p *parser) group(open int) (Sequence, error) {
	s := Sequence{}
	for {
		p.skip()
		if p.at == len(p.text) {
			if open >= 0 {
				return nil, p.fail(open, open+1, "a bracket that is not closed")
			}
			return s, nil
		}
		start := p.at
		switch r := p.text[p.at]; r {
		case '(', '[':
			p.at++
			inner, err := p.group(start)
			if err != nil {
				return nil, err
			}
			times, inverse, err := p.groupSuffix()
			if err != nil {
				return nil, err
			}
			if inverse {
				inner = inner.Inverse()
			}
			if len(s)+times*len(inner) > MaxLength {
				return nil, p.fail(start, p.at, fmt.Sprintf("repeated, it makes more than %d turns", MaxLength))
			}
			for range times {
				s = append(s, inner...)
			}
		case ')', ']':
			if open < 0 || closing[p.text[open]] != r {
				return nil, p.fail(start, start+1, "a closing bracket without its opening one")
			}
			p.at++
			return s, nil
		default:
			t, err := p.turn()
			if err != nil {
				return nil, err
			}
			if len(s) == MaxLength {
				return nil, p.fail(start, p.at, fmt.Sprintf("a sequence has at most %d turns", MaxLength))
			}
			s = append(s, t)
		}
	}
}

// skip passes over white space and comments.
func (p *parser) skip() {
	for p.at < len(p.text) {
		switch {
		case unicode.IsSpace(p.text[p.at]) || p.text[p.at] == '\ufeff' || p.text[p.at] == '\u200b':
			p.at++
		case p.text[p.at] == '/' && p.at+1 < len(p.text) && p.text[p.at+1] == '/':
			for p.at < len(p.text) && p.text[p.at] != '\n' && p.text[p.at] != '\r' {
				p.at++
			}
		default:
			return
		}
	}
}

// turn reads one turn at p.at.
func (p *parser) turn() (Turn, error) {
	start := p.at
	wide := false
	if p.peek(0) == '2' && p.peek(2) == 'w' {
		wide = true
		p.at++
	}
	i := strings.IndexRune(layerLetters, p.peek(0))
	if i < 0 || wide && Layer(i).Kind() != FaceTurn {
		return 0, p.unknown(start)
	}
	layer := Layer(i)
	p.at++
	if p.peek(0) == 'w' {
		if layer.Kind() != FaceTurn {
			return 0, p.unknown(start)
		}
		layer += Uw
		p.at++
	}
	quarters := 1
	if p.peek(0) == '2' {
		quarters = 2
		p.at++
	}
	if isApostrophe(p.peek(0)) {
		quarters = -quarters
		p.at++
	}
	// A digit or a second sign would be read as something else than was meant.
	if r := p.peek(0); isApostrophe(r) || unicode.IsDigit(r) && (r != '2' || p.peek(2) != 'w') {
		return 0, p.unknown(start)
	}
	return TurnOf(layer, quarters), nil
}

// groupSuffix reads what may follow a closed group.
func (p *parser) groupSuffix() (times int, inverse bool, err error) {
	start := p.at
	times = 1
	if isDigit(p.peek(0)) {
		times = 0
		for isDigit(p.peek(0)) {
			if p.at-start == 2 {
				for isDigit(p.peek(0)) {
					p.at++
				}
				return 0, false, p.fail(start, p.at, "a group is repeated 1 to 99 times")
			}
			times = times*10 + int(p.text[p.at]-'0')
			p.at++
		}
		if times == 0 {
			return 0, false, p.fail(start, p.at, "a group is repeated 1 to 99 times")
		}
	}
	if isApostrophe(p.peek(0)) {
		inverse = true
		p.at++
	}
	return times, inverse, nil
}

func isDigit(r rune) bool { return '0' <= r && r <= '9' }

// isApostrophe accepts what stands for the prime in pasted text.
func isApostrophe(r rune) bool { return r != 0 && strings.ContainsRune("'’‘′`´ʼʹ＇", r) }

// peek is the character n places on, 0 past the end.
func (p *parser) peek(n int) rune {
	if p.at+n < len(p.text) {
		return p.text[p.at+n]
	}
	return 0
}

// unknown reports the text from start to the next space or bracket.
func (p *parser) unknown(start int) error {
	end := start + 1
	for end < len(p.text) && !unicode.IsSpace(p.text[end]) && !strings.ContainsRune("()[]", p.text[end]) {
		end++
	}
	return p.fail(start, end, "not a turn")
}

func (p *parser) fail(start, end int, reason string) error {
	const longest = 20
	token := p.text[start:end]
	if len(token) > longest {
		token = append(append([]rune{}, token[:longest]...), '…')
	}
	return &ParseError{Offset: start, Token: string(token), Reason: reason}
}
