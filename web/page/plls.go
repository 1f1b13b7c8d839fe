package page

import (
	"fmt"
	"net/http"
	"strconv"

	"github.com/go-chi/chi/v5"

	"slotcast/cube"
	"slotcast/forecast/pll"
	"slotcast/web/problem"
	"slotcast/web/profile"
)

// pllsView is the page on which PLLs are rated, all alike or by letters.
type pllsView struct {
	pageView
	Summary string
	// All are the ratings for all of them.
	All  []choice
	PLLs []pllFormView
}

// pllFormView is the form for a PLL.
type pllFormView struct {
	ID, Action, Back, Name string
	Ratings                []choice
	// Was is its own rating, "" for that of all.
	Was string
	// Sequences are those to choose among: the first is the easiest, and counts unless another
	// is chosen. WasTurns is the one chosen, "" for none.
	Sequences []choice
	WasTurns  string
}

// PLLs answers GET /ratings/pll.
func (s *Server) PLLs(w http.ResponseWriter, r *http.Request) error {
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	records := visitor.Records
	v := pllsView{pageView: s.pageView("PLL – Slotcast", "How well you do each PLL, and with which algorithm.", "")}
	all := records.Preference("pll")
	for _, c := range levelChoices(0)[1:] {
		c.Checked = c.Value == all
		v.All = append(v.All, c)
	}
	book := profile.BookOf(s.book, records)
	own := 0
	for of := pll.PLL(1); of < pll.PLLs; of++ {
		if records.PLLRating(of) != 0 {
			own++
		}
		v.PLLs = append(v.PLLs, pllForm(records, of, book.PLLSequences(of)))
	}
	switch {
	case own > 0 && all != "":
		v.Summary = fmt.Sprintf("%d of 21 PLLs rated by themselves, the others %s.", own, all)
	case own > 0:
		v.Summary = fmt.Sprintf("%d of 21 PLLs rated; the others count as 3.", own)
	case all != "":
		v.Summary = "All 21 PLLs are rated " + all + "."
	default:
		v.Summary = "You have not said how you do PLL: each counts as 3."
	}
	return render(w, r, http.StatusOK, pllsPage(v))
}

// pllForm is the form for a PLL, with the book’s sequences to choose among.
func pllForm(r profile.Records, of pll.PLL, sequences []cube.Sequence) pllFormView {
	letters := of.String()
	v := pllFormView{ID: "pll-" + letters, Action: "/ratings/pll/" + letters, Back: "/ratings/pll#pll-" + letters, Name: "PLL " + letters, WasTurns: r.PLLTurns(of)}
	rating := r.PLLRating(of)
	if rating != 0 {
		v.Was = strconv.Itoa(rating)
	}
	v.Ratings = levelChoices(rating)
	for i := range v.Ratings {
		said := "as all"
		if i > 0 {
			said = v.Ratings[i].Value
		}
		v.Ratings[i].Words = v.Name + ": " + said
	}
	l, listed := r.Appearance(), v.WasTurns == ""
	for i, turns := range sequences {
		c := choice{Value: turns.String(), Label: l.Notated(turns.String())}
		if i == 0 {
			c.Label, c.Value = c.Label+" (easiest)", ""
		}
		c.Checked = c.Value == v.WasTurns
		listed = listed || c.Checked
		v.Sequences = append(v.Sequences, c)
	}
	if !listed {
		v.Sequences = append(v.Sequences, choice{Value: v.WasTurns, Label: l.Notated(v.WasTurns) + " (yours)", Checked: true})
	}
	return v
}

// SavePLL answers POST /ratings/pll/{pll}: each field that the form changed is kept.
func (s *Server) SavePLL(w http.ResponseWriter, r *http.Request) error {
	of, err := profile.CheckPLL("pll", chi.URLParam(r, "pll"))
	if err != nil {
		return &problem.Problem{Status: http.StatusNotFound, Detail: problem.Of(err).Detail}
	}
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	var put, remove profile.Records
	if text, ok := changed(values, "rating"); ok {
		rating, err := readLevel("rating", text)
		if err != nil {
			return err
		}
		if records := []profile.PLLRating{{PLL: of, Rating: rating}}; rating == 0 {
			remove.PLLRatings = records
		} else {
			put.PLLRatings = records
		}
	}
	if text, ok := changed(values, "turns"); ok {
		if text == "" {
			remove.PLLSequences = []profile.PLLSequence{{PLL: of}}
		} else {
			turns, err := profile.CheckPLLTurns(of, text)
			if err != nil {
				return err
			}
			put.PLLSequences = []profile.PLLSequence{{PLL: of, Turns: turns}}
		}
	}
	if !put.Empty() || !remove.Empty() {
		if err := s.sessions.Save(w, r, put, remove); err != nil {
			return err
		}
	}
	return saved(w, r, localPath(values.Get("back"), "/ratings/pll"))
}
