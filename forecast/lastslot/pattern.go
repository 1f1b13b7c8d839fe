package lastslot

// outcomeFacing is the outcome with that facing.
func outcomeFacing(facing string) Outcome {
	for o := range Outcome(Outcomes) {
		if o.Facing() == facing {
			return o
		}
	}
	panic("lastslot: no outcome faces " + facing)
}

// Pattern is an outcome up to AUF: 0 all oriented, 1 to 57 by the trade's OLL
// numbers.
type Pattern uint8

// Patterns is the number of patterns, the oriented one included.
const Patterns = 58

// patternFacings has, by the trade's number, one of the outcomes of each
// pattern, as [Outcome.Facing] writes it. The numbers are common practice, from
// memory; that the 57 and the oriented one are all there are is tested.
var patternFacings = [Patterns]string{
	0: "UUUUUUUU",
	1: "LBRLRLFR", 2: "LBBLRLFF", 3: "BBRLRLFU", 4: "LBULRFFR", 5: "BBRLULUU",
	6: "LUULUFFR", 7: "BURURUFF", 8: "LUBLUFFU", 9: "LUBURFFU", 10: "BBUURLUF",
	11: "BUUURLFF", 12: "UUBLUFFR", 13: "BBRUUUFF", 14: "LBBUUFFU", 15: "UBRUULFF",
	16: "LBUUUFFR", 17: "UBBLRLFU", 18: "UBULRFFF", 19: "UBULRLFR", 20: "UBULRUFU",
	21: "BUBUUFUF", 22: "LUBUULUF", 23: "BUBUUUUU", 24: "BUUUUFUU", 25: "LUUUUUUF",
	26: "LUUUUFUR", 27: "BURUUUUF", 28: "UUUURUFU", 29: "BUUURFFU", 30: "LURURUFU",
	31: "BUULUFFU", 32: "UUBURUFF", 33: "BBUUUFFU", 34: "LBRUUUFU", 35: "UBRLUFUU",
	36: "UUBLULFU", 37: "UURURFFU", 38: "BUUURUFR", 39: "BBUUUUFR", 40: "UBBUULFU",
	41: "BUBURUFU", 42: "UBUURFUF", 43: "LUULULFU", 44: "UURURUFR", 45: "LBUUULFU",
	46: "UURLRUUR", 47: "BURLUFFR", 48: "LUBURLFF", 49: "LUBLULFF", 50: "LBBLULUF",
	51: "BBRUUFFR", 52: "BURLRFUR", 53: "BUBLUFFF", 54: "BUBURFFF", 55: "BBBUUFFF",
	56: "LBRUULFR", 57: "UBUUUUFU",
}

// patternOutcomes and outcomePatterns carry patterns to outcomes and back.
var patternOutcomes, outcomePatterns = func() (outcomes [Patterns]Outcome, patterns [Outcomes]Pattern) {
	for p, facing := range patternFacings {
		outcomes[p] = outcomeFacing(facing)
		for quarters := range 4 {
			patterns[outcomes[p].turned(quarters)] = Pattern(p)
		}
	}
	return outcomes, patterns
}()

// Pattern is the outcome's pattern.
func (o Outcome) Pattern() Pattern { return outcomePatterns[o] }

// Outcome is the one that the trade's table shows the pattern by.
func (p Pattern) Outcome() Outcome { return patternOutcomes[p] }

// patternWays counts the outcomes of each pattern.
var patternWays = func() (ways [Patterns]int) {
	for _, p := range outcomePatterns {
		ways[p]++
	}
	return ways
}()

// Ways is how many of the 216 outcomes are the pattern: 1, 2 or 4. Where all
// outcomes come alike, it comes as often.
func (p Pattern) Ways() int { return patternWays[p] }
