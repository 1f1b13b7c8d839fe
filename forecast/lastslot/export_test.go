package lastslot

// FactsOf is what the tests with the whole book look at and nobody else needs.
var FactsOf = factsOf

// SequenceOf reads turns for those tests.
var SequenceOf = sequence
