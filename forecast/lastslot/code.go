package lastslot

import (
	"fmt"
	"strings"
)

// The letters and digits of a code, in order. Their number, 23, is prime, which
// the check character needs. No letter is among them that is taken for a digit
// (B D G I L O Q S Z) or for another letter (N U), and no vowel, so no words.
const (
	codeLetters = "0123456789CFHJKMPRTVWXY"
	codeBase    = len(codeLetters)
	codeLength  = 5
)

// Code is the case as five letters and digits; see [EncodeIndex].
func (c Case) Code() string { return EncodeIndex(c.Index(), codeLength) }

// EncodeIndex writes an index in so many letters and digits: all but the last for
// the index, then one that makes the sum of each character's value times its place,
// counted from 1, a multiple of 23. Any one wrong character and any swap of
// neighbours breaks that sum, as 23 is prime and greater than the number of places.
// [DecodeIndex] is its inverse.
func EncodeIndex(index, length int) string {
	code := make([]byte, length)
	sum := 0
	for i := length - 2; i >= 0; i-- {
		digit := index % codeBase
		code[i] = codeLetters[digit]
		sum += (i + 1) * digit
		index /= codeBase
	}
	for digit := range codeBase {
		if (sum+length*digit)%codeBase == 0 {
			code[length-1] = codeLetters[digit]
		}
	}
	return string(code)
}

// CodeError says what is wrong with a code, and where.
type CodeError struct {
	// Offset is where the trouble is, in characters from 0.
	Offset int
	Reason string
}

func (e *CodeError) Error() string { return e.Reason }

// ParseCode reads a code in upper or lower case. An error is a [*CodeError].
func ParseCode(code string) (Case, error) {
	index, err := DecodeIndex(code, codeLength, Cases)
	if err != nil {
		return Case{}, err
	}
	return CaseAt(index), nil
}

// DecodeIndex reads a code of so many characters, in upper or lower case, for an
// index below the count. An error is a [*CodeError].
func DecodeIndex(code string, length, count int) (int, error) {
	letters := []rune(strings.ToUpper(code))
	index, sum := 0, 0
	for i, r := range letters {
		digit := strings.IndexRune(codeLetters, r)
		if i >= length {
			return 0, &CodeError{length, fmt.Sprintf("a code has %d characters; this one has %d", length, len(letters))}
		}
		if digit < 0 {
			return 0, &CodeError{i, fmt.Sprintf("“%c” is in no code; codes are made of %s", []rune(code)[i], codeLetters)}
		}
		sum += (i + 1) * digit
		if i < length-1 {
			index = index*codeBase + digit
		}
	}
	switch {
	case len(letters) < length:
		return 0, &CodeError{len(letters), fmt.Sprintf("a code has %d characters; this one has %d", length, len(letters))}
	case sum%codeBase != 0 || index >= count:
		return 0, &CodeError{0, fmt.Sprintf("“%s” is not a code: a character is wrong, or two are swapped", code)}
	}
	return index, nil
}
