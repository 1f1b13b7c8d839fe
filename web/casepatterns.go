package web

import (
	"cmp"
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/go-chi/chi/v5"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
)

// casePatternsView is the page with all that one can have in a case.
type casePatternsView struct {
	pageView
	// Back is the case's own page.
	Code, Back string
	// Picture is the case's.
	Picture, Summary string
	// Oriented leads to the ways that leave everything oriented.
	Oriented string
	// Wishes choose by edges, Views between what is known and everything.
	Wishes, Views []filterView
	KeyWords      string
	Groups        []tileGroupView
}

// tileGroupView has the patterns with the same edges oriented, the quickest first.
type tileGroupView struct {
	Title, Words string
	Tiles        []tileView
}

// tileView is a pattern and what it costs.
type tileView struct {
	Name, Path string
	// Before and After are said beside the name and the seconds, and not shown: what
	// the name is short for, and what the bar shows.
	Before, After string
	Picture       string
	Seconds       secondsView
}

// got is what leads to a pattern in a case: all ways, the quickest in all first.
type got struct {
	Pattern lastslot.Pattern
	Options []forecast.Option
}

// gettable lists for each pattern the ways to it. With every insertion offered, no
// pattern is without one but where the person has hidden them.
func gettable(c lastslot.Case, view forecast.View, f *forecast.Forecaster) []got {
	all := make([]got, lastslot.Patterns)
	for p := range all {
		all[p].Pattern = lastslot.Pattern(p)
	}
	for _, o := range f.Forecast(forecast.Request{Case: c, View: view}) {
		g := &all[o.Leaves.Pattern()]
		g.Options = append(g.Options, o)
	}
	return all
}

// edgeWishes are the wishes by edges, in the words of those who orient the top in
// two steps.
var edgeWishes = []struct {
	value, label string
	edges        []lastslot.Edges
}{
	{"cross", "A cross", []lastslot.Edges{lastslot.Cross}},
	{noDot, "No dot", []lastslot.Edges{lastslot.Cross, lastslot.L, lastslot.Line}},
	{"L", "An L", []lastslot.Edges{lastslot.L}},
	{"line", "A line", []lastslot.Edges{lastslot.Line}},
	{"dot", "A dot", []lastslot.Edges{lastslot.Dot}},
}

// noDot is the wish for any edges but a dot.
const noDot = "no-dot"

// edgesWished are the patterns that a wish by edges allows; none where there is no
// such wish.
func edgesWished(value string) (patterns [lastslot.Patterns]bool, ok bool) {
	for _, wish := range edgeWishes {
		if wish.value != value {
			continue
		}
		for p := range patterns {
			patterns[p] = slices.Contains(wish.edges, lastslot.Pattern(p).Outcome().Edges())
		}
		return patterns, true
	}
	return patterns, false
}

func unknownEdges(value string) *problem {
	return unreadable("edges", 0, fmt.Sprintf("“%s” is unknown; it can be dot, line, L, cross or %s", shortened(value), noDot))
}

// caseQuery is what the pages below a case are asked for.
type caseQuery struct {
	query
	visitor    visitor
	forecaster *forecast.Forecaster
	// asked are the parameters that links keep.
	asked url.Values
}

// readCase reads a page's case, and for whom it is answered.
func (s *site) readCase(w http.ResponseWriter, r *http.Request) (caseQuery, error) {
	values, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return caseQuery{}, &problem{Status: http.StatusBadRequest, Title: "Cannot be read", Detail: "the address’s parameters are not encoded as they should be"}
	}
	c := caseQuery{asked: url.Values{}}
	read := url.Values{"case": {chi.URLParam(r, "code")}}
	for _, name := range []string{"predicted", "view"} {
		if v, ok := values[name]; ok {
			read[name], c.asked[name] = v, v
		}
	}
	if c.query, err = readQuery(read); err != nil {
		return c, err
	}
	if c.visitor, err = s.visitor(r); err != nil {
		return c, err
	}
	if c.forecaster, err = s.visitorForecaster(r, c.visitor); err != nil {
		return c, err
	}
	if c.Predicted {
		c.forecaster = c.forecaster.Predicted()
	}
	if c.visitor.Profile != nil {
		private(w)
	}
	if !values.Has("view") {
		c.View = c.visitor.Records.usualView()
		// As in the forecast: where nothing that is known fits, everything is shown.
		if c.View == forecast.Known && len(c.forecaster.Forecast(forecast.Request{Case: c.Case, View: c.View, Limit: 1})) == 0 {
			c.View = forecast.All
		}
	}
	return c, nil
}

// path is the address below the case with the parameters that links keep.
func (c caseQuery) path(below string, changed ...string) string {
	values := maps.Clone(c.asked)
	for i := 0; i < len(changed); i += 2 {
		values.Set(changed[i], changed[i+1])
		if changed[i+1] == "" {
			values.Del(changed[i])
		}
	}
	path := "/case/" + c.Case.Code() + below
	if len(values) == 0 {
		return path
	}
	return path + "?" + values.Encode()
}

// wayOf words a way of the case.
func (c caseQuery) wayOf(o forecast.Option) wayView {
	way := wayOf(o, c.Case.Slot)
	way.Opened = c.path("/way", "view", "", "edges", "", "turns", way.Turns)
	return way
}

// views are what can be shown where something is marked as known.
func (c caseQuery) views(below string) []filterView {
	if !c.visitor.Records.knowsAny() && c.View != forecast.Known {
		return nil
	}
	return []filterView{
		{"What I know", c.path(below, "view", "known"), c.View == forecast.Known},
		{"Everything", c.path(below, "view", "all"), c.View == forecast.All},
	}
}

// casePatterns answers GET /case/{code}/patterns.
func (s *site) casePatterns(w http.ResponseWriter, r *http.Request) error {
	c, err := s.readCase(w, r)
	if err != nil {
		return err
	}
	wished, wish := [lastslot.Patterns]bool{}, r.URL.Query().Get("edges")
	for p := range wished {
		wished[p] = true
	}
	if wish != "" {
		var ok bool
		if wished, ok = edgesWished(wish); !ok {
			return unknownEdges(wish)
		}
		c.asked.Set("edges", wish)
	}
	all := gettable(c.Case, c.View, c.forecaster)
	v := casePatternsView{
		pageView: s.pageView("What can I get in case "+c.Case.Code()+"? – Slotcast", "Every pattern that the last slot can leave here, and the seconds that each costs.", s.publicURL(r)+"/case/"+c.Case.Code()+"/patterns"),
		Code:     c.Case.Code(), Back: c.path("", "edges", ""), Picture: positionOf(c.Case).picture().SVG(),
		Oriented: c.path("/patterns/0", "edges", ""),
		Views:    c.views("/patterns"),
		KeyWords: "under it all of it in seconds",
	}
	if c.Predicted {
		v.KeyWords += "; recognised in advance"
	}
	v.Wishes = []filterView{{"All", c.path("/patterns", "edges", ""), wish == ""}}
	for _, w := range edgeWishes {
		v.Wishes = append(v.Wishes, filterView{w.label, c.path("/patterns", "edges", w.value), wish == w.value})
	}
	v.Groups, v.Summary = tileGroups(c, all, wished)
	return render(w, r, http.StatusOK, casePatternsPage(v))
}

// tileGroups puts the patterns that are wished into the picture.
func tileGroups(c caseQuery, all []got, wished [lastslot.Patterns]bool) (groups []tileGroupView, summary string) {
	var shown []got
	var slowest time.Duration
	for _, g := range all {
		if wished[g.Pattern] && len(g.Options) > 0 {
			shown = append(shown, g)
			slowest = max(slowest, g.Options[0].Seconds.Total())
		}
	}
	if len(shown) == 0 {
		return nil, fmt.Sprintf("Case %s: none of these is left by an insertion that you know.", c.Case.Code())
	}
	slices.SortStableFunc(shown, func(a, b got) int {
		return cmp.Compare(a.Options[0].Seconds.Total(), b.Options[0].Seconds.Total())
	})
	// The edges with the most oriented first.
	for _, of := range slices.Backward(edgeGroups) {
		group := tileGroupView{Title: of.title, Words: of.words}
		for _, g := range shown {
			if g.Pattern.Outcome().Edges() == of.edges {
				group.Tiles = append(group.Tiles, tileOf(c, g, slowest))
			}
		}
		if len(group.Tiles) > 0 {
			groups = append(groups, group)
		}
	}
	best := shown[0]
	return groups, fmt.Sprintf("Case %s: %s can be had. Quickest: %s, about %s s.", c.Case.Code(), counted(len(shown), "pattern"), c.visitor.Records.patternName(best.Pattern), inSeconds(best.Options[0].Seconds.Total()))
}

func tileOf(c caseQuery, g got, slowest time.Duration) tileView {
	best := g.Options[0]
	t := tileView{
		Name: strconv.Itoa(int(g.Pattern)), Path: c.path(fmt.Sprintf("/patterns/%d", g.Pattern), "edges", ""),
		Picture: patternPictures[best.Leaves], Seconds: secondsOf(best.Seconds).drawn(slowest),
	}
	if g.Pattern == 0 {
		t.Name = patternName(0)
	}
	t.Before = strings.TrimSuffix(c.visitor.Records.patternName(g.Pattern), t.Name)
	_, parts, _ := strings.Cut(t.Seconds.Words, " seconds")
	t.After = " seconds" + parts + "; " + counted(best.Count, "turn")
	return t
}

// casePatternView is the page with the ways to one pattern in a case.
type casePatternView struct {
	pageView
	Code, Name, Picture, Words string
	// All is the page with all patterns, Own the pattern's own, Reach where it is
	// within reach.
	All, Own, Reach string
	Summary         string
	// Searched says among what the easiest was looked for.
	Searched string
	Views    []filterView
	Cards    []wayCardView
	// More are the next quickest ways, and MoreWords how many there are in all.
	More      []wayView
	MoreWords string
	KeyWords  string
	Back      string
}

// wayCardView is a way that stands out.
type wayCardView struct {
	Title, Note string
	Way         wayView
}

// moreWays is how many ways are listed after those that stand out.
const moreWays = 10

// casePattern answers GET /case/{code}/patterns/{oll}.
func (s *site) casePattern(w http.ResponseWriter, r *http.Request) error {
	c, err := s.readCase(w, r)
	if err != nil {
		return err
	}
	pattern, err := patternOf(r)
	if err != nil {
		return err
	}
	all := gettable(c.Case, c.View, c.forecaster)
	g := all[pattern]
	below := fmt.Sprintf("/patterns/%d", pattern)
	name := c.visitor.Records.patternName(pattern)
	v := casePatternView{
		pageView: s.pageView(name+" in case "+c.Case.Code()+" – Slotcast", "The ways to this pattern: the fewest turns and the easiest.", s.publicURL(r)+"/case/"+c.Case.Code()+below),
		Code:     c.Case.Code(), Name: name, Picture: patternPictures[pattern.Outcome()], Words: outcomeWords(pattern.Outcome()),
		All: c.path("/patterns"), Own: below, Reach: below + "/reach",
		Views:    c.views(below),
		KeyWords: "in about so many seconds",
		Back:     c.path(below),
	}
	if c.Predicted {
		v.KeyWords += "; recognised in advance"
	}
	switch {
	case len(g.Options) > 0:
		if err := s.wayCards(c, g, &v); err != nil {
			return err
		}
	case c.View == forecast.Known:
		v.Summary = fmt.Sprintf("%s in case %s: you know no insertion that leaves it.", name, c.Case.Code())
	default:
		v.Summary = fmt.Sprintf("%s in case %s: you have hidden every insertion that leaves it.", name, c.Case.Code())
	}
	return render(w, r, http.StatusOK, casePatternPage(v))
}

// wayCards fills in the ways that stand out and the next ones.
func (s *site) wayCards(c caseQuery, g got, v *casePatternView) error {
	easiest := slices.MinFunc(g.Options, forecast.CompareInsert)
	if c.View == forecast.Known {
		v.Summary = fmt.Sprintf("%s in case %s: you know %s.", v.Name, v.Code, counted(len(g.Options), "way"))
		v.stand(c, g, standingOut{fmt.Sprintf("Easiest of %s that you know", counted(len(g.Options), "way")), "", easiest})
		return nil
	}
	shortest := s.Atlas.Shortest(c.Case, g.Pattern)
	found, err := c.forecaster.Options(forecast.Request{Case: c.Case}, []cube.Sequence{shortest.Turns()})
	if err != nil {
		return err
	}
	v.Summary = fmt.Sprintf("%s in case %s: %s at the fewest, proved; the easiest takes about %s s until the top is oriented.", v.Name, v.Code, counted(shortest.Insertion.Count(), "turn"), inSeconds(easiest.Seconds.Total()))
	v.Searched = s.Book.Searched()
	const proved = "All shorter sequences were tried: there is none."
	ofFound := fmt.Sprintf("Easiest of %s found", counted(len(g.Options), "way"))
	switch {
	case len(found) == 0: // the person has hidden it
		v.stand(c, g, standingOut{ofFound, "", easiest})
	case slices.Equal(found[0].Turns, easiest.Turns):
		v.stand(c, g, standingOut{"Fewest turns, proved; e" + ofFound[1:], proved, easiest})
	default:
		v.stand(c, g, standingOut{ofFound, "The quickest for the hands until the slot is filled.", easiest}, standingOut{"Fewest turns, proved", proved, found[0]})
	}
	return nil
}

// standingOut is a way with what there is to say of it.
type standingOut struct {
	title, note string
	forecast.Option
}

// stand shows the ways that stand out, to one scale, and then the others.
func (v *casePatternView) stand(c caseQuery, g got, out ...standingOut) {
	var slowest time.Duration
	for _, o := range out {
		slowest = max(slowest, o.Seconds.Total())
	}
	others := slices.Clone(g.Options)
	for _, o := range out {
		way := c.wayOf(o.Option)
		way.Seconds = way.Seconds.drawn(slowest)
		v.Cards = append(v.Cards, wayCardView{o.title, o.note, way})
		others = slices.DeleteFunc(others, func(other forecast.Option) bool { return slices.Equal(other.Turns, o.Turns) })
	}
	v.MoreWords = counted(len(others), "other way")
	if len(others) > moreWays {
		v.MoreWords = fmt.Sprintf("The %d quickest of %d other ways", moreWays, len(others))
	}
	for _, o := range others[:min(len(others), moreWays)] {
		v.More = append(v.More, c.wayOf(o))
	}
}
