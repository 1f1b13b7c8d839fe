package profile

import (
	"log/slog"
	"slices"
	"strconv"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/pll"
	"slotcast/web/problem"
)

// PLLValues is what is said of a PLL, as JSON has it.
type PLLValues struct {
	PLL string `json:"pll"`
	// Rating is left out where it is that of all, Turns where the book's are done.
	Rating *int   `json:"rating,omitempty"`
	Turns  string `json:"turns,omitempty"`
}

// Records verifies what is said of the PLL; what is kept of the turns has no AUF at its ends.
func (v PLLValues) Records() (r Records, err error) {
	of, err := CheckPLL("pll", v.PLL)
	if err != nil {
		return Records{}, err
	}
	rating, err := CheckRating("rating", v.Rating)
	if err != nil {
		return Records{}, err
	}
	if rating != 0 {
		r.PLLRatings = []PLLRating{{of, rating}}
	}
	if v.Turns != "" {
		turns, err := CheckPLLTurns(of, v.Turns)
		if err != nil {
			return Records{}, err
		}
		r.PLLSequences = []PLLSequence{{of, turns}}
	}
	if r.Empty() {
		return Records{}, problem.BadRequest("", "nothing said: give rating, turns or both")
	}
	return r, nil
}

// CheckPLL is the PLL with the letters.
func CheckPLL(field, letters string) (pll.PLL, error) {
	if letters == "" {
		return 0, problem.BadRequest(field, "missing: the letters of a PLL")
	}
	of, err := pll.Parse(problem.Shortened(letters))
	if err != nil {
		return 0, problem.BadRequest(field, err.Error())
	}
	return of, nil
}

// CheckPLLTurns is a sequence that solves the PLL, as it is kept.
func CheckPLLTurns(of pll.PLL, text string) (string, error) {
	turns, err := CheckTurns(text)
	if err != nil {
		return "", err
	}
	sequence, err := pll.CheckSequence(of, turns)
	if err != nil {
		return "", problem.Unprocessable("turns", err)
	}
	return sequence.Turns.String(), nil
}

// PLLsOf puts together what the records say of each PLL, in the order of the letters.
func PLLsOf(r Records) []PLLValues {
	all := []PLLValues{}
	for of := pll.PLL(1); of < pll.PLLs; of++ {
		v := PLLValues{PLL: of.String(), Rating: WrittenRating(r.PLLRating(of)), Turns: r.PLLTurns(of)}
		if v.Rating != nil || v.Turns != "" {
			all = append(all, v)
		}
	}
	return all
}

// PLLRating is how the PLL is rated by itself, 0 where it is not.
func (r Records) PLLRating(of pll.PLL) int {
	if at := slices.IndexFunc(r.PLLRatings, func(p PLLRating) bool { return p.PLL == of }); at >= 0 {
		return r.PLLRatings[at].Rating
	}
	return 0
}

// PLLTurns is the sequence chosen for the PLL, "" for the book's.
func (r Records) PLLTurns(of pll.PLL) string {
	if at := slices.IndexFunc(r.PLLSequences, func(p PLLSequence) bool { return p.PLL == of }); at >= 0 {
		return r.PLLSequences[at].Turns
	}
	return ""
}

// SaysPLL says whether the person has said how they do PLL: in one rating for all, or by letters.
func (r Records) SaysPLL() bool { return r.Preference("pll") != "" || len(r.PLLRatings) > 0 }

// pllsOf is how the person does PLL. A sequence that is not accepted any more is left out.
func pllsOf(r Records, log *slog.Logger) (p forecast.PLLs) {
	if rating, err := strconv.Atoi(r.Preference("pll")); err == nil {
		p.Rating = rating
	}
	for _, own := range r.PLLRatings {
		p.Own[own.PLL].Rating = own.Rating
	}
	for _, own := range r.PLLSequences {
		turns, err := cube.Parse(own.Turns)
		var sequence pll.Sequence
		if err == nil {
			sequence, err = pll.CheckSequence(own.PLL, turns)
		}
		if err != nil {
			log.Warn("a saved PLL algorithm is no longer accepted", "pll", own.PLL.String(), "turns", own.Turns, "error", err)
			continue
		}
		p.Own[own.PLL].Sequence = &sequence
	}
	return p
}
