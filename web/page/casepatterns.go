package page

import (
	"cmp"
	"fmt"
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
	"slotcast/web/picture"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/query"
	"slotcast/web/session"
	"slotcast/web/words"
)

// casePatternsView is the page with all that one can have in a case.
type casePatternsView struct {
	pageView
	// Back is the case's own page.
	Code, Back string
	// Picture is the case's.
	Picture, Summary string
	// Oriented leads to the options that leave everything oriented.
	Oriented string
	// Wishes choose by edges, Views which insertions are shown.
	Wishes, Views []linkView
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
	// Known says that the person knows the way to it that is shown.
	Known bool
}

// got is what leads to a pattern in a case: all options, the quickest in all first.
type got struct {
	Pattern lastslot.Pattern
	Options []forecast.Option
}

// gettable lists for each pattern the options that leave it. With every insertion
// offered, no pattern is without one but where the person has hidden them.
func gettable(options []forecast.Option) []got {
	all := make([]got, lastslot.Patterns)
	for p := range all {
		all[p].Pattern = lastslot.Pattern(p)
	}
	for _, o := range options {
		g := &all[o.Leaves.Pattern()]
		g.Options = append(g.Options, o)
	}
	return all
}

// caseQuery is what the pages below a case are asked for.
type caseQuery struct {
	query.Query
	visitor    session.Visitor
	forecaster *forecast.Forecaster
	// options are all that are shown.
	options []forecast.Option
	// asked are the parameters that links keep.
	asked url.Values
}

// readCase reads a page's case, and for whom it is answered.
func (s *Server) readCase(w http.ResponseWriter, r *http.Request) (caseQuery, error) {
	values, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return caseQuery{}, problem.NotEncoded()
	}
	of, err := profile.CheckCode("case", chi.URLParam(r, "code"))
	if err != nil {
		return caseQuery{}, err
	}
	c := caseQuery{asked: url.Values{}}
	below := []string{"predicted", "view"}
	for _, name := range below {
		if v, ok := values[name]; ok {
			c.asked[name] = v
		}
	}
	if c.Query, err = query.About(of, values, below...); err != nil {
		return c, err
	}
	c.Limit = 0
	if c.visitor, err = s.sessions.Visitor(r); err != nil {
		return c, err
	}
	if c.forecaster, err = s.sessions.VisitorForecaster(r, c.visitor); err != nil {
		return c, err
	}
	if c.Predicted {
		c.forecaster = c.forecaster.Predicted()
	}
	if c.visitor.Profile != nil {
		session.Private(w)
	}
	c.Query = c.OnPage(values)
	c.options = c.Options(c.forecaster)
	return c, nil
}

// path is the address below the case with the parameters that links keep.
func (c caseQuery) path(below string, changed ...string) string {
	return query.With("/case/"+c.Case.Code()+below, c.asked, changed...)
}

// optionOf words a way of the case.
func (c caseQuery) optionOf(o forecast.Option) optionView {
	option := optionOf(o, c.Case.Slot)
	option.Opened = query.Option(c.Case, o.Turns, c.asked)
	return option
}

// views are which insertions can be shown.
func (c caseQuery) views(below string) []linkView {
	return viewLinks(c.View, func(view string) string { return c.path(below, "view", view) })
}

// CasePatterns answers GET /case/{code}/patterns.
func (s *Server) CasePatterns(w http.ResponseWriter, r *http.Request) error {
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
		if wished, ok = query.EdgesWished(wish); !ok {
			return query.UnknownEdges(wish)
		}
		c.asked.Set("edges", wish)
	}
	all := gettable(c.options)
	v := casePatternsView{
		pageView: s.pageView("What can I get in case "+c.Case.Code()+"? – Slotcast", "Every pattern the last slot can leave here, and how long each takes.", s.sessions.PublicURL(r)+"/case/"+c.Case.Code()+"/patterns"),
		Code:     c.Case.Code(), Back: c.path("", "edges", ""), Picture: picture.PositionOf(c.Case).Picture().Named(),
		Oriented: c.path("/patterns/0", "edges", ""),
		Views:    c.views("/patterns"),
		KeyWords: "below it the total in seconds",
	}
	if c.Predicted {
		v.KeyWords += ", as if you predicted everything"
	}
	v.Wishes = []linkView{{"All", c.path("/patterns", "edges", ""), wish == ""}}
	for _, w := range query.EdgeWishes {
		v.Wishes = append(v.Wishes, linkView{w.Label, c.path("/patterns", "edges", w.Value), wish == w.Value})
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
			slowest = max(slowest, drawable(g.Options[0]))
		}
	}
	if len(shown) == 0 {
		return nil, fmt.Sprintf("Case %s: no insertion you know leaves any of these.", c.Case.Code())
	}
	slices.SortStableFunc(shown, func(a, b got) int {
		if mine, theirs := a.Options[0].Known, b.Options[0].Known; mine != theirs && c.View == forecast.KnownFirst {
			if mine {
				return -1
			}
			return 1
		}
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
	return groups, fmt.Sprintf("Case %s: %s available. Fastest: %s, about %s s.", c.Case.Code(), words.Counted(len(shown), "pattern"), c.visitor.Records.PatternName(best.Pattern), words.Seconds(best.Options[0].Seconds.Total()))
}

func tileOf(c caseQuery, g got, slowest time.Duration) tileView {
	best := g.Options[0]
	t := tileView{
		Name: strconv.Itoa(int(g.Pattern)), Path: c.path(fmt.Sprintf("/patterns/%d", g.Pattern), "edges", ""),
		Picture: picture.Pattern(best.Leaves), Seconds: secondsOf(best.Seconds).drawn(slowest), Known: best.Known,
	}
	if g.Pattern == 0 {
		t.Name = words.Pattern(0)
	}
	t.Before = strings.TrimSuffix(c.visitor.Records.PatternName(g.Pattern), t.Name)
	_, parts, _ := strings.Cut(t.Seconds.Words, " seconds")
	t.After = " seconds" + parts + "; " + words.Counted(best.Count, "turn")
	if best.Known {
		t.After += "; yours"
	}
	return t
}

// casePatternView is the page with the options to one pattern in a case.
type casePatternView struct {
	pageView
	Code, Name, Picture, Words string
	// All is the page with all patterns, Own the pattern's own, Reach where it is
	// within reach.
	All, Own, Reach string
	Summary         string
	// Searched says among what the easiest was looked for.
	Searched string
	Views    []linkView
	Cards    []optionCardView
	// More are the next quickest options, and MoreWords how many there are in all.
	More      []optionView
	MoreWords string
	KeyWords  string
	Back      string
}

// optionCardView is a way that stands out.
type optionCardView struct {
	Title, Note string
	Option      optionView
}

// moreOptions is how many options are listed after those that stand out.
const moreOptions = 10

// CasePattern answers GET /case/{code}/patterns/{oll}.
func (s *Server) CasePattern(w http.ResponseWriter, r *http.Request) error {
	c, err := s.readCase(w, r)
	if err != nil {
		return err
	}
	pattern, err := patternOf(r)
	if err != nil {
		return err
	}
	all := gettable(c.options)
	g := all[pattern]
	below := fmt.Sprintf("/patterns/%d", pattern)
	name := words.WithSkip(c.visitor.Records.PatternName(pattern), pattern)
	v := casePatternView{
		pageView: s.pageView(name+" in case "+c.Case.Code()+" – Slotcast", "The insertions that leave this pattern: fewest turns and easiest.", s.sessions.PublicURL(r)+"/case/"+c.Case.Code()+below),
		Code:     c.Case.Code(), Name: name, Picture: picture.Pattern(pattern.Outcome()), Words: words.Outcome(pattern.Outcome()),
		All: c.path("/patterns"), Own: below, Reach: below + "/reach",
		Views:    c.views(below),
		KeyWords: "in about so many seconds",
		Back:     c.path(below),
	}
	if c.Predicted {
		v.KeyWords += ", as if you predicted everything"
	}
	switch {
	case len(g.Options) > 0:
		if err := s.optionCards(c, g, &v); err != nil {
			return err
		}
	case c.View == forecast.Known:
		v.Summary = fmt.Sprintf("%s in case %s: no insertion you know leaves it.", name, c.Case.Code())
	default:
		v.Summary = fmt.Sprintf("%s in case %s: you hid every insertion that leaves it.", name, c.Case.Code())
	}
	return render(w, r, http.StatusOK, casePatternPage(v))
}

// optionCards fills in the options that stand out and the next ones.
func (s *Server) optionCards(c caseQuery, g got, v *casePatternView) error {
	easiest := slices.MinFunc(g.Options, forecast.CompareInsert)
	if c.View == forecast.Known {
		v.Summary = fmt.Sprintf("%s in case %s: you know %s.", v.Name, v.Code, words.Counted(len(g.Options), "way"))
		v.stand(c, g, standingOut{fmt.Sprintf("Easiest of %s that you know", words.Counted(len(g.Options), "way")), "", easiest})
		return nil
	}
	shortest := s.atlas.Shortest(c.Case, g.Pattern)
	found, err := c.forecaster.Options(forecast.Request{Case: c.Case}, []cube.Sequence{shortest.Turns()})
	if err != nil {
		return err
	}
	v.Summary = fmt.Sprintf("%s in case %s: at least %s, proved; the easiest takes about %s s until the top is oriented.", v.Name, v.Code, words.Counted(shortest.Insertion.Count(), "turn"), words.Seconds(easiest.Seconds.Total()))
	v.Searched = s.book.Searched()
	var own []standingOut
	if best := g.Options[0]; best.Known && c.View == forecast.KnownFirst {
		own = []standingOut{{"Yours", "", best}}
	}
	stand := func(out ...standingOut) {
		if len(own) > 0 && slices.Equal(own[0].Turns, out[0].Turns) {
			out[0].title, own = "Yours: "+strings.ToLower(out[0].title[:1])+out[0].title[1:], nil
		}
		v.stand(c, g, append(own, out...)...)
	}
	const proved = "Every shorter sequence was tried: there is none."
	ofFound := fmt.Sprintf("Easiest of %s found", words.Counted(len(g.Options), "way"))
	switch {
	case len(found) == 0: // the person has hidden it
		stand(standingOut{ofFound, "", easiest})
	case slices.Equal(found[0].Turns, easiest.Turns):
		stand(standingOut{"Fewest turns, proved; e" + ofFound[1:], proved, easiest})
	default:
		stand(standingOut{ofFound, "The fastest to turn until the slot is filled.", easiest}, standingOut{"Fewest turns, proved", proved, found[0]})
	}
	return nil
}

// standingOut is a way with what there is to say of it.
type standingOut struct {
	title, note string
	forecast.Option
}

// stand shows the options that stand out, to one scale, and then the others.
func (v *casePatternView) stand(c caseQuery, g got, out ...standingOut) {
	var slowest time.Duration
	for _, o := range out {
		slowest = max(slowest, drawable(o.Option))
	}
	others := slices.Clone(g.Options)
	for _, o := range out {
		option := c.optionOf(o.Option)
		option.Seconds = option.Seconds.drawn(slowest)
		v.Cards = append(v.Cards, optionCardView{o.title, o.note, option})
		others = slices.DeleteFunc(others, func(other forecast.Option) bool { return slices.Equal(other.Turns, o.Turns) })
	}
	v.MoreWords = words.Counted(len(others), "other way")
	if len(others) > moreOptions {
		v.MoreWords = fmt.Sprintf("The %d fastest of %d other insertions", moreOptions, len(others))
	}
	for _, o := range others[:min(len(others), moreOptions)] {
		v.More = append(v.More, c.optionOf(o))
	}
}
