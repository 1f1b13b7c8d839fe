package twoslots

import "slotcast/forecast/lastslot"

// CodeLength is the number of characters of a code: six for the index, one that checks
// them. A last-slot code is shorter.
const CodeLength = 7

// Code is the case as seven letters and digits, in which any one wrong character and any
// swap of neighbours is noticed; see [lastslot.EncodeIndex].
func (c Case) Code() string { return lastslot.EncodeIndex(c.Index(), CodeLength) }

// ParseCode reads a code in upper or lower case. An error is a [*lastslot.CodeError].
func ParseCode(code string) (Case, error) {
	index, err := lastslot.DecodeIndex(code, CodeLength, Cases)
	if err != nil {
		return Case{}, err
	}
	return CaseAt(index), nil
}
