package page

import (
	"net/http"
	"strings"

	"slotcast/forecast/lastslot"
	"slotcast/forecast/practice"
	"slotcast/forecast/twoslots"
	"slotcast/web/profile"
	"slotcast/web/words"
)

// practiceListView is the form in which a list is made by hand; the session's address has it.
type practiceListView struct {
	pageView
	Exercises []linkView
	// Exercise is the one it is for, "" for the usual one.
	Exercise, Heading string
	// Groups are what can be ticked.
	Groups []practiceListGroup
	// Written is what was listed that is not there to tick, and Help how it is written.
	Written, Help string
	Most          int
}

type practiceListGroup struct {
	Name  string
	Items []practiceListItem
}

// practiceListItem is an item to tick.
type practiceListItem struct {
	Value, Name, Picture string
	Turns, Checked       bool
}

// listedCases is how many kept cases can be ticked; others are written.
const listedCases = 50

// PracticeList answers GET /practice/list.
func (s *Server) PracticeList(w http.ResponseWriter, r *http.Request) error {
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	values := r.URL.Query()
	kind, err := practiceKindOf(values)
	if err != nil {
		return err
	}
	f, err := s.sessions.VisitorForecaster(r, visitor)
	if err != nil {
		return err
	}
	p := newPractiser(s, visitor, f, kind)
	v := practiceListView{pageView: s.pageView("A list to practise – Slotcast", "Put together what to practise.", ""), Heading: "A list for " + kind.heading, Most: mostItems}
	if kind != &practiceKinds[0] {
		v.Exercise = kind.exercise.String()
	}
	for i := range practiceKinds {
		k := &practiceKinds[i]
		v.Exercises = append(v.Exercises, linkView{k.heading, strings.Replace(k.path(), "/practice", "/practice/list", 1), k == kind})
	}
	listed, groups := map[string]bool{}, []practiceListGroup(nil)
	var order []string
	for _, part := range listedParts(values["items"], kind) {
		listed[part] = true
		order = append(order, part)
	}
	switch {
	case kind.exercise == practice.Slots:
		v.Help = "Codes of cases with two slots open, with spaces or on lines of their own"
		groups = p.listTwoSlots()
	case kind.ofCases():
		v.Help = "Codes of cases, or names of places such as FR-UFR.R-UB.U, with spaces or on lines of their own"
		groups = p.listCases()
	case kind.exercise == practice.Predict:
		v.Help = "Insertions, each on a line with its slot first: FR R U R'"
		groups = p.listInsertions()
	case kind.exercise == practice.Execute:
		v.Help = "Numbers of patterns, or insertions with the slot first: FR R U R'. One a line"
		groups = append(listPatterns(visitor.Records), p.listInsertions()...)
	default:
		v.Help = "Numbers of patterns, with spaces between"
		groups = listPatterns(visitor.Records)
	}
	for g := range groups {
		for i := range groups[g].Items {
			item := &groups[g].Items[i]
			item.Checked = listed[item.Value]
			delete(listed, item.Value)
		}
	}
	v.Groups = groups
	var written []string
	for _, part := range order {
		if listed[part] {
			written = append(written, part)
		}
	}
	v.Written = strings.Join(written, "\n")
	return render(w, r, http.StatusOK, practiceListPage(v))
}

// listPatterns are all patterns but the oriented top.
func listPatterns(records profile.Records) (groups []practiceListGroup) {
	for _, group := range practicePatterns(records) {
		g := practiceListGroup{Name: group.Name}
		for _, c := range group.Patterns {
			if c.Left != "0" {
				g.Items = append(g.Items, practiceListItem{Value: c.Left, Name: c.Name, Picture: c.Picture})
			}
		}
		groups = append(groups, g)
	}
	return groups
}

// listInsertions are those that the person knows.
func (p *practiser) listInsertions() []practiceListGroup {
	g := practiceListGroup{Name: "Insertions that you know"}
	known, _ := p.knownInsertions()
	for _, c := range known {
		item := string(practice.InsertionItem(*c.Insertion))
		g.Items = append(g.Items, practiceListItem{Value: item, Name: p.records.Appearance().Notated(c.Insertion.Turns.String()), Turns: true})
	}
	return []practiceListGroup{g}
}

// listTwoSlots are the kept cases with two slots open.
func (p *practiser) listTwoSlots() []practiceListGroup {
	kept := practiceListGroup{Name: "Cases that you keep"}
	for _, k := range p.records.Kept {
		if c, err := twoslots.ParseCode(k.Code); err == nil && len(kept.Items) < listedCases {
			kept.Items = append(kept.Items, practiceListItem{Value: k.Code, Name: k.Code, Picture: openPictures(c)[0].position.Picture().SVG()})
		}
	}
	return []practiceListGroup{kept}
}

// listCases are the kept cases and the places.
func (p *practiser) listCases() []practiceListGroup {
	kept := practiceListGroup{Name: "Cases that you keep"}
	for _, c := range p.records.KeptLastSlot()[:min(len(p.records.KeptLastSlot()), listedCases)] {
		link := linkTo(c)
		kept.Items = append(kept.Items, practiceListItem{Value: link.Code, Name: link.Code, Picture: link.Picture})
	}
	places := practiceListGroup{Name: "Places, any case of each"}
	for _, place := range lastslot.Places(lastslot.FR) {
		places.Items = append(places.Items, practiceListItem{Value: place.String(), Name: words.Capital(words.Place(place))})
	}
	return []practiceListGroup{kept, places}
}
