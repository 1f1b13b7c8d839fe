package page

import (
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"slotcast/cube"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/learn"
	"slotcast/web/picture"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/query"
	"slotcast/web/session"
	"slotcast/web/words"
)

// scramblesPath is the page's.
const scramblesPath = "/practice/scrambles"

// scramblesOf is the address of a list of scrambles to the place.
func scramblesOf(p lastslot.Place) string {
	return query.With(scramblesPath, nil, "place", p.String())
}

// scrambleCounts are how many scrambles a list can have, the first the usual number.
var scrambleCounts = []int{12, 5, 25}

// scramblesView is a list of scrambles to practise with, to copy and to print.
type scramblesView struct {
	sheetView
	Heading, Summary string
	// Rows are the scrambles, and Text all of them for copying, one a line.
	Rows []scrambleView
	Text string
	// Cases says that the cases are on a second page.
	Cases bool
	// Again is another list of the same set, Link this one.
	Again, Link string
	// ByHand are the codes that were typed.
	ByHand string
	Hidden []hiddenValue
	// Empty says why there is nothing to practise, "" where there is.
	Empty string
}

// hiddenValue is a value that goes along with a form.
type hiddenValue struct{ Name, Value string }

// scrambleView is a scramble and its case.
type scrambleView struct {
	Number, Scramble, Code, Picture string
}

// caseSource draws a case of a set.
type caseSource func(*rand.Rand) lastslot.Case

// Scrambles answers GET /practice/scrambles.
func (s *Server) Scrambles(w http.ResponseWriter, r *http.Request) error {
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	values := r.URL.Query()
	seed, err := practiceSeed(values)
	if err != nil {
		return err
	}
	cross, err := query.Cross(values, crossOf(visitor.Records.Appearance().Top))
	if err != nil {
		return err
	}
	count, err := scrambleCount(values)
	if err != nil {
		return err
	}
	sheet, err := s.sheet("Practice scrambles", scramblesPath, values)
	if err != nil {
		return err
	}
	v := scramblesView{sheetView: sheet, Cases: values.Get("list") != "scrambles", ByHand: values.Get("cases")}
	v.Drill = true
	draw, err := s.scrambleSet(r, &v, visitor, values)
	if err != nil {
		return err
	}
	// The list's own address names the number that it was drawn from, so that it can be
	// found again.
	values.Set("seed", strconv.FormatUint(seed, 10))
	v.Link, v.Again = query.With(scramblesPath, values), query.With(scramblesPath, values, "seed", "")
	v.offer(values, count, cross)
	if draw == nil {
		return render(w, r, http.StatusOK, scramblesPage(v))
	}
	random := rand.New(rand.NewPCG(seed, 2)) // #nosec G404 -- which cases one practises is no secret
	var lines []string
	for n := range count {
		c := draw(random)
		row := scrambleView{strconv.Itoa(n + 1), c.Scramble(cross, random).String(), c.Code(), picture.PositionOf(c).Picture().Named()}
		v.Rows = append(v.Rows, row)
		lines = append(lines, row.Number+". "+row.Scramble)
	}
	v.Text = strings.Join(lines, "\n")
	v.Summary = fmt.Sprintf("White on top and green in front; each leads to a case with the %s cross.", query.CrossColours[cross])
	if hold := lastslot.CrossHold(cross).Turns(); len(hold) > 0 {
		v.Summary += fmt.Sprintf(" Then turn the puzzle by %s.", hold)
	}
	return render(w, r, http.StatusOK, scramblesPage(v))
}

// scrambleCount is how many scrambles are asked for.
func scrambleCount(values url.Values) (int, error) {
	if !values.Has("count") {
		return scrambleCounts[0], nil
	}
	count, err := strconv.Atoi(values.Get("count"))
	if err != nil || !slices.Contains(scrambleCounts, count) {
		return 0, problem.BadRequest("count", fmt.Sprintf("“%s” is not possible: use 5, 12 or 25", problem.Shortened(values.Get("count"))))
	}
	return count, nil
}

// offer lists what of the sheet can be chosen.
func (v *scramblesView) offer(values url.Values, count int, cross cube.Face) {
	number := sheetChoice{Label: "How many"}
	for _, n := range slices.Sorted(slices.Values(scrambleCounts)) {
		number.Choices = append(number.Choices, linkView{strconv.Itoa(n), query.With(scramblesPath, values, "count", strconv.Itoa(n)), n == count})
	}
	colours := sheetChoice{Label: "Colour of the cross"}
	for face := range cube.Face(cube.Faces) {
		colour := query.CrossColours[face]
		colours.Choices = append(colours.Choices, linkView{words.Capital(colour), query.With(scramblesPath, values, "cross", colour), face == cross})
	}
	cases := sheetChoice{Label: "Cases", Choices: []linkView{
		{"Cases on a second page", query.With(scramblesPath, values, "list", ""), v.Cases},
		{"Scrambles only", query.With(scramblesPath, values, "list", "scrambles"), !v.Cases},
	}}
	v.Choices = append(v.Choices, number, colours, cases)
	for name := range values {
		if name != "cases" && name != "place" && name != "set" && name != "slot" && name != "seed" {
			v.Hidden = append(v.Hidden, hiddenValue{name, values.Get(name)})
		}
	}
	slices.SortFunc(v.Hidden, func(a, b hiddenValue) int { return strings.Compare(a.Name, b.Name) })
}

// scrambleSet is the set that is asked for: a place, cases by their codes, or one of those
// that have a name. The source is nil where the set is empty; the view says why.
func (s *Server) scrambleSet(r *http.Request, v *scramblesView, visitor session.Visitor, values url.Values) (caseSource, error) {
	set := values.Get("set")
	v.offerSets(values)
	switch {
	case values.Get("place") != "":
		place, err := lastslot.ParsePlace(values.Get("place"))
		if err != nil {
			return nil, problem.BadRequest("place", query.NoPlace(values.Get("place")))
		}
		v.Heading = words.Capital(words.Place(place))
		return place.Draw, nil
	case values.Get("cases") != "":
		cases, err := casesByHand(values.Get("cases"))
		if err != nil {
			return nil, err
		}
		v.Heading = words.Counted(len(cases), "case") + " chosen by hand"
		return oneByOne(cases), nil
	case set == "":
		slot := lastslot.FR
		if values.Has("slot") {
			var err error
			if slot, err = lastslot.ParseSlot(values.Get("slot")); err != nil {
				return nil, problem.NoSlot(values.Get("slot"))
			}
		}
		v.Heading = "Last slot at the " + slot.Words()
		return func(random *rand.Rand) lastslot.Case {
			return lastslot.CaseAt(int(slot)*lastslot.CasesPerSlot + random.IntN(lastslot.CasesPerSlot))
		}, nil
	case set == "kept":
		v.Heading = "Your kept cases"
		cases := visitor.Records.KeptLastSlot()
		if len(cases) == 0 {
			v.Empty = "You keep no case yet: open a case’s page and keep it there."
			return nil, nil
		}
		return oneByOne(cases), nil
	case set == "next":
		v.Heading = "The places of what to learn next"
		places, err := s.nextPlaces(r, visitor)
		if err != nil {
			return nil, err
		}
		if len(places) == 0 {
			v.Empty = "Nothing left to learn saves time."
			return nil, nil
		}
		return func(random *rand.Rand) lastslot.Case { return places[random.IntN(len(places))].Draw(random) }, nil
	}
	return nil, problem.BadRequest("set", fmt.Sprintf("“%s” is unknown: leave it out, or use kept or next", problem.Shortened(set)))
}

// offerSets lists the sets that have a name, and the slots for all cases of one.
func (v *scramblesView) offerSets(values url.Values) {
	with := func(changed ...string) string {
		return query.With(scramblesPath, values, append([]string{"set", "", "place", "", "cases", "", "slot", "", "seed", ""}, changed...)...)
	}
	byName := values.Get("place") == "" && values.Get("cases") == ""
	sets := sheetChoice{Label: "Cases of"}
	for slot := range lastslot.Slot(lastslot.Slots) {
		shown := slot.String()
		if slot == lastslot.FR {
			shown = ""
		}
		current := byName && values.Get("set") == "" && strings.EqualFold(values.Get("slot"), shown)
		sets.Choices = append(sets.Choices, linkView{words.Capital(slot.Words()), with("slot", shown), current})
	}
	sets.Choices = append(sets.Choices,
		linkView{"Kept cases", with("set", "kept"), byName && values.Get("set") == "kept"},
		linkView{"What to learn next", with("set", "next"), byName && values.Get("set") == "next"})
	v.Choices = append([]sheetChoice{sets}, v.Choices...)
}

// oneByOne draws each of the cases once before any comes again, in an order drawn anew
// each time.
func oneByOne(cases []lastslot.Case) caseSource {
	var left []int
	return func(random *rand.Rand) lastslot.Case {
		if len(left) == 0 {
			left = random.Perm(len(cases))
		}
		c := cases[left[0]]
		left = left[1:]
		return c
	}
}

// casesByHand reads the codes of cases, with blanks or commas between them.
func casesByHand(text string) (cases []lastslot.Case, err error) {
	codes := strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" ,;\t\r\n", r) })
	if len(codes) > profile.MaxKept {
		return nil, problem.BadRequest("cases", fmt.Sprintf("%d codes: give at most %d", len(codes), profile.MaxKept))
	}
	for _, code := range codes {
		c, err := profile.CheckCode("cases", code)
		if err != nil {
			return nil, err
		}
		cases = append(cases, c)
	}
	if len(cases) == 0 {
		return nil, problem.BadRequest("cases", "no codes: give the codes of cases, with blanks between them")
	}
	return cases, nil
}

// nextPlaces are the places of what the visitor best learns next at the front right.
func (s *Server) nextPlaces(r *http.Request, visitor session.Visitor) (places []lastslot.Place, err error) {
	f, err := s.sessions.VisitorForecaster(r, visitor)
	if err != nil {
		return nil, err
	}
	lists, err := s.sessions.LearningLists(r.Context(), visitor.Profile, f, lastslot.FR)
	if err != nil {
		return nil, err
	}
	for _, n := range learn.NextOf(lists, session.NextToLearn) {
		if place := lists[n.List].Place; !slices.Contains(places, place) {
			places = append(places, place)
		}
	}
	return places, nil
}
