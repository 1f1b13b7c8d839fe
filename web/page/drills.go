package page

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"time"

	"github.com/go-chi/chi/v5"

	"slotcast/forecast/practice"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/session"
	"slotcast/web/words"
)

// drillView is a drill for two: how it is handed on, and what both did side by side.
type drillView struct {
	pageView
	Heading, Summary string
	// Start is the session.
	Start string
	// Mine says that whoever asks takes part.
	Mine    bool
	Sharing sharingView
	Rows    []drillRow
	// Own and Theirs say what it comes to, "" for nothing yet.
	Own, Theirs string
}

// drillRow is an item and what each did.
type drillRow struct {
	Number, Name string
	Own, Theirs  drillCell
}

// drillCell is a result, "" where there is none. Better says that it beats the other's.
type drillCell struct {
	Words  string
	Better bool
}

// noDrill says that there is none at the address.
func noDrill() *problem.Problem {
	return &problem.Problem{Status: http.StatusNotFound, Title: "No drill", Detail: "no drill at this address: it may be one of long ago, or its maker’s profile is gone"}
}

// NewDrill answers POST /drills: the items become a drill for two.
func (s *Server) NewDrill(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	kind, err := practiceKindOf(values)
	if err != nil {
		return err
	}
	seed, err := practiceSeed(values)
	if err != nil {
		return err
	}
	if _, err := listedItems(values["items"], kind); err != nil {
		return err
	}
	owner, err := s.sessions.Owner(w, r)
	if err != nil {
		return err
	}
	d := profile.Drill{ID: profile.DrillID(profile.NewSecret()), Exercise: kind.exercise, Items: values.Get("items"), Seed: seed, Made: time.Now()}
	if err := s.store.NewDrill(r.Context(), owner, d); err != nil {
		return fmt.Errorf("make a drill: %w", err)
	}
	return saved(w, r, "/drills/"+string(d.ID))
}

// readDrill reads the drill that a result belongs to, "" for none.
func readDrill(values url.Values) (profile.DrillID, error) {
	drill := values.Get("drill")
	if drill != "" && !profile.IsSecret(drill) {
		return "", problem.BadRequest("drill", profile.NotSecret)
	}
	return profile.DrillID(drill), nil
}

// Drill answers GET /drills/{drill}.
func (s *Server) Drill(w http.ResponseWriter, r *http.Request) error {
	id := chi.URLParam(r, "drill")
	if !profile.IsSecret(id) {
		return noDrill()
	}
	visitor, err := s.sessions.Visitor(r)
	if err != nil {
		return err
	}
	asks := profile.ID(0)
	if visitor.Profile != nil {
		asks = visitor.Profile.ID
	}
	d, err := s.store.Drill(r.Context(), profile.DrillID(id), asks)
	if errors.Is(err, profile.ErrNotFound) {
		return noDrill()
	}
	if err != nil {
		return fmt.Errorf("read the drill: %w", err)
	}
	kind, err := practiceKindOf(url.Values{"exercise": {d.Exercise.String()}})
	if err != nil {
		return err
	}
	items, err := listedItems([]string{d.Items}, kind)
	if err != nil {
		return fmt.Errorf("items of a drill: %w", err)
	}
	v := drillView{
		pageView: s.pageView("Drill – Slotcast", "The same items in the same order, for two.", ""),
		Heading:  kind.heading + ": " + words.Counted(len(items), "item") + " for two", Mine: d.Mine,
	}
	start := []string{"items", d.Items, "seed", strconv.FormatUint(d.Seed, 10)}
	switch {
	case !d.Mine && d.Taken:
		v.Summary = "Two people take part in this drill already, and only they see its results. You can do the same by yourself."
	case !d.Mine:
		v.Summary = "Somebody shared this drill with you. Your first result makes you the partner: then each of you sees what the other did, and nobody else does."
		start = append(start, "drill", id)
	default:
		start = append(start, "drill", id)
		if v.Sharing, err = sharingOf("drill-link", "Link for your partner", v.Heading, s.sessions.PublicURL(r)+"/drills/"+id); err != nil {
			return err
		}
		v.compare(visitor.Records, items, d)
	}
	v.Start = kind.path(start...)
	session.Private(w)
	return render(w, r, http.StatusOK, drillPage(v))
}

// compare puts the two side by side. Each item's first result counts: what is done once more
// is practice of one's own.
func (v *drillView) compare(records profile.Records, items []practiceDrawn, d profile.DrillSeen) {
	v.Summary = "Hand the link on. What your partner does is shown here beside yours, to you two alone."
	if d.Taken {
		v.Summary = "You and your partner, side by side. Nobody else sees this."
	}
	own, theirs := slices.Clone(d.Own), slices.Clone(d.Theirs)
	var counted, othersCounted []profile.Result
	for i, item := range items {
		row := drillRow{Number: strconv.Itoa(i + 1), Name: itemName(records, item.Item)}
		mine, other := firstOf(&own, item.Item), firstOf(&theirs, item.Item)
		row.Own, row.Theirs = cellOf(mine, other), cellOf(other, mine)
		v.Rows = append(v.Rows, row)
		if mine != nil {
			counted = append(counted, *mine)
		}
		if other != nil {
			othersCounted = append(othersCounted, *other)
		}
	}
	v.Own, v.Theirs = totalWords(counted), totalWords(othersCounted)
}

// firstOf takes the earliest result of the item out of the results; nil where there is none.
func firstOf(results *[]profile.Result, item practice.Item) *profile.Result {
	at := slices.IndexFunc(*results, func(r profile.Result) bool { return r.Item == item })
	if at < 0 {
		return nil
	}
	r := (*results)[at]
	*results = slices.Delete(*results, at, at+1)
	return &r
}

// cellOf words a result. Right beats wrong, and of two right ones the quicker.
func cellOf(r, other *profile.Result) drillCell {
	if r == nil {
		return drillCell{}
	}
	c := drillCell{Words: words.Seconds(r.Took) + " s"}
	if !r.Right {
		c.Words += ", wrong"
	}
	c.Better = other != nil && r.Right && (!other.Right || r.Took < other.Took)
	return c
}

// totalWords say what somebody's results come to.
func totalWords(results []profile.Result) string {
	if len(results) == 0 {
		return ""
	}
	right := 0
	for _, r := range results {
		if r.Right {
			right++
		}
	}
	text := fmt.Sprintf("%d of %d right", right, len(results))
	if median := medianOf(results); median > 0 {
		text += fmt.Sprintf(", median %s s", words.Seconds(median))
	}
	return text
}

// medianOf is the median of the right ones, 0 where none is; of two in the middle the
// quicker.
func medianOf(results []profile.Result) time.Duration {
	var took []time.Duration
	for _, r := range results {
		if r.Right {
			took = append(took, r.Took)
		}
	}
	if len(took) == 0 {
		return 0
	}
	slices.Sort(took)
	return took[(len(took)-1)/2]
}
