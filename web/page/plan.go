package page

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/url"
	"slices"

	"github.com/go-chi/chi/v5"

	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/learn"
	"slotcast/forecast/practice"
	"slotcast/web/picture"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/query"
	"slotcast/web/session"
	"slotcast/web/words"
)

// planView is the card with the plan of a place.
type planView struct {
	sheetView
	Words, Picture, PlacePath string
	// Theirs says that it is somebody else's.
	Theirs bool
	// None says why there is no plan, and More what tracking more would give, "" for nothing.
	None, More string
	Predict    planPartView
	Otherwise  planPartView
	Groups     []planGroupView
	// Always says that the first is done whatever it leaves.
	Always  bool
	Summary string
	// Practise are sessions of one's own plan.
	Practise []linkView
	// Scrambles lead to cases of the place, MoreScrambles to a list of them.
	Scrambles     []string
	MoreScrambles string
	// Share is the link for others, nil where the visitor shares nothing.
	Share *sharingView
}

// planPartView is an insertion of the plan; Turns is "" for doing nothing.
type planPartView struct {
	Turns, Track string
	Seeing       *seeingView
}

// planGroupView is patterns to accept, in words one can keep, with those that are named.
type planGroupView struct {
	Words    string
	Patterns []leavesView
}

// practiceScrambles is how many scrambles a card has.
const practiceScrambles = 3

// Plan answers GET /plan/{place}.
func (s *Server) Plan(w http.ResponseWriter, r *http.Request) error {
	name := chi.URLParam(r, "place")
	place, err := lastslot.ParsePlace(name)
	if err != nil {
		return &problem.Problem{Status: http.StatusNotFound, Detail: query.NoPlace(name)}
	}
	visitor, f, err := s.visitorForecaster(r)
	if err != nil {
		return err
	}
	values := r.URL.Query()
	path := "/plan/" + place.String()
	sheet, err := s.sheet("Plan: "+words.Place(place), path, values)
	if err != nil {
		return err
	}
	sheet.Drill = true
	v := planView{sheetView: sheet, Words: words.Capital(words.Place(place)), Picture: picture.Place(place).SVG(), PlacePath: "/learn/" + place.String()}
	if values.Has("with") {
		if f, err = s.sharer(r.Context(), profile.ShareID(values.Get("with"))); err != nil {
			return err
		}
		v.Theirs = true
	} else {
		id, err := s.firstShare(r)
		if err != nil {
			return err
		}
		if id != "" {
			address := s.sessions.PublicURL(r) + path + "?with=" + url.QueryEscape(string(id))
			share, err := sharingOf("plan-link", "Share this plan", v.Title, address)
			if err != nil {
				return err
			}
			v.Share = &share
		}
	}
	plan, err := learn.PlanOf(r.Context(), f, place, true)
	if err != nil {
		return err
	}
	if err := v.set(plan, visitor.Records); err != nil {
		return err
	}
	if plan == nil || v.None != "" {
		if v.More, err = moreWords(r.Context(), f, place, plan); err != nil {
			return err
		}
	}
	v.Scrambles, v.MoreScrambles = scramblesTo(place), scramblesOf(place)
	if v.None == "" && !v.Theirs {
		v.Practise = practiseSet("plan", place.String(), practice.Predict, practice.Execute, practice.Recognise)
	}
	if !v.Theirs {
		v.Practise = append(v.Practise, practiseSet("place", place.String(), practice.Choose, practice.Whole)...)
	}
	return render(w, r, http.StatusOK, planPage(v))
}

// sharer is the forecaster of whoever made the share.
func (s *Server) sharer(ctx context.Context, share profile.ShareID) (*forecast.Forecaster, error) {
	if !profile.IsSecret(string(share)) {
		return nil, session.NoShare()
	}
	found, err := s.store.Shared(ctx, share)
	if errors.Is(err, profile.ErrNotFound) {
		return nil, session.NoShare()
	}
	if err != nil {
		return nil, fmt.Errorf("read the share: %w", err)
	}
	return s.sessions.Forecaster(ctx, found)
}

// set words the plan, if it is worth anything.
func (v *planView) set(plan *learn.Plan, records profile.Records) error {
	if plan == nil {
		v.None = "There is no plan here: it takes two insertions that are known, one of them tracked."
		return nil
	}
	groups, loses := plan.Groups()
	if saves := plan.Saves() - loses; saves < learn.GroupsLose || len(groups) == 0 {
		v.None = fmt.Sprintf("No plan pays here: always %s is as good, %s s on average.", doingWords(records, plan.Best), words.Seconds(plan.Alone))
		return nil
	}
	var err error
	if v.Predict, err = planPartOf(plan.Predict); err != nil {
		return err
	}
	if v.Otherwise, err = planPartOf(plan.Otherwise); err != nil {
		return err
	}
	v.Always = groupWords(groups[0]) == anything
	for _, g := range groups {
		view := planGroupView{Words: groupWords(g)}
		for _, p := range g.Named {
			view.Patterns = append(view.Patterns, leavesView{records.PatternName(p), picture.Pattern(p.Outcome())})
		}
		v.Groups = append(v.Groups, view)
	}
	v.Summary = fmt.Sprintf("%s s on average, %s s less than always %s.", words.Seconds(plan.Takes+loses), words.Seconds(plan.Saves()-loses), doingWords(records, plan.Best))
	return nil
}

// doingWords say what is done.
func doingWords(records profile.Records, part learn.PlanPart) string {
	if len(part.Insertion) == 0 {
		return "doing nothing"
	}
	return records.Appearance().Notated(part.Turns().String())
}

func planPartOf(part learn.PlanPart) (planPartView, error) {
	v := planPartView{Turns: part.Turns().String()}
	if v.Turns == "" {
		return v, nil
	}
	v.Track = words.Counted(part.Track, "piece") + " to track"
	// With its AUF it is an insertion too, from where the slot is.
	i, err := lastslot.NewInsertion(part.Slot, slices.Concat(part.AUF, part.Insertion))
	if err != nil {
		return v, fmt.Errorf("an insertion of a plan: %w", err)
	}
	v.Seeing = new(seeingOf(i))
	return v, nil
}

// anything is said where every pattern is accepted.
const anything = "anything"

// groupWords say which patterns a group has.
func groupWords(g learn.Group) string {
	edges := string(g.Edges)
	switch {
	case g.Edges == "" && g.ButEdges == "":
		return anything
	case g.Edges == "":
		return "anything but a " + string(g.ButEdges)
	case len(g.Named) == 0:
		return "any " + edges
	case g.But && len(g.Named) == 1:
		return "any " + edges + " but this"
	case g.But:
		return fmt.Sprintf("any %s but these %d", edges, len(g.Named))
	case len(g.Named) == 1:
		return "this " + edges
	}
	return fmt.Sprintf("these %d: %s", len(g.Named), edges)
}

// moreWords say what the best plan would give to who tracks as many pieces as it needs.
func moreWords(ctx context.Context, f *forecast.Forecaster, place lastslot.Place, tracked *learn.Plan) (string, error) {
	any, err := learn.PlanOf(ctx, f, place, false)
	if err != nil || any == nil || any.Predict.Tracked {
		return "", err
	}
	saves := any.Saves()
	if tracked != nil {
		saves -= max(0, tracked.Saves())
	}
	if saves < learn.GroupsLose {
		return "", nil
	}
	return fmt.Sprintf("If you tracked %s through %s, a plan would save %s s.", words.Counted(any.Predict.Track, "piece"), any.Predict.Turns(), words.Seconds(saves)), nil
}

// scramblesTo lead to cases of the place, drawn anew each time.
func scramblesTo(place lastslot.Place) (scrambles []string) {
	random := rand.New(rand.NewPCG(rand.Uint64(), rand.Uint64())) // #nosec G404 -- which cases one practises is no secret
	for range practiceScrambles {
		scrambles = append(scrambles, place.Draw(random).Scramble(cube.FaceD, random).String())
	}
	return scrambles
}

// lookUp is the page that looks a scramble up.
func lookUp(scramble string) string {
	return "/?" + url.Values{"scramble": {scramble}}.Encode()
}
