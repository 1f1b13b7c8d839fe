package page

import (
	"fmt"
	"net/http"
	"strings"

	"slotcast/forecast"
	"slotcast/web/profile"
	"slotcast/web/words"
)

// Manual is what the manual says that other rooms know: each thing is said once, where
// it is true.
type Manual struct {
	// Routes are those of the interface, in order.
	Routes []ManualRoute
	// Parameters are what the names in them mean.
	Parameters []ManualTerm
}

// ManualRoute is a route of the interface.
type ManualRoute struct {
	Method, Path, Summary string
	// Parameters are the names of those that it takes.
	Parameters []string
}

// ManualTerm is a name and what it means.
type ManualTerm struct{ Name, Meaning string }

// manualView is the page on the interface, the file, backup and hosting.
type manualView struct {
	pageView
	Manual
	Limits []ManualTerm
	// Averages are what each average of whole solves stands for.
	Averages []ManualTerm
	Export   string
	// Nearly is by how many seconds what is chosen may take more than the best.
	Nearly string
}

// manualAverages are what each average stands for.
func manualAverages() (terms []ManualTerm) {
	for _, a := range profile.Averages {
		var seconds []string
		for level := 5; level >= 1; level-- {
			seconds = append(seconds, words.Seconds(a.Recognise[level]))
		}
		terms = append(terms, ManualTerm{words.Capital(a.Label), fmt.Sprintf("estimates ×%v; recognising, rated 5 to 1: %s s", a.Speed, strings.Join(seconds, ", "))})
	}
	return terms
}

// manualLimits are what a profile and a request may have at most.
func manualLimits() []ManualTerm {
	return []ManualTerm{
		{"Insertions of your own", words.Thousands(profile.MaxInsertions)},
		{"Steps of your own", words.Thousands(profile.MaxSteps)},
		{"Algorithms for each pattern", words.Thousands(profile.MaxSequences)},
		{"Kept cases", words.Thousands(profile.MaxKept)},
		{"Cases looked up recently", words.Thousands(profile.MaxRecent)},
		{"Results of practice", words.Thousands(profile.MaxResults) + ", of " + words.Thousands(profile.MaxPractised) + " items; " + words.Thousands(profile.MostGiven) + " at once"},
		{"Shares", words.Thousands(profile.MaxShares)},
		{"Keys, one on each device", words.Thousands(profile.MaxKeys)},
		{"Device links at the same time", words.Thousands(profile.MaxDeviceLinks)},
		{"An empty profile", "kept for 90 days after its last use"},
		{"A change sent late", "is checked against the last 30 days of changes"},
		{"A note", words.Counted(profile.LongestNote, "character")},
		{"A name for a pattern", words.Counted(profile.LongestName, "character")},
		{"A measured time", words.Counted(int(profile.LongestTime.Seconds()), "second")},
		{"Your own algorithm", words.Counted(profile.LongestOwn, "turn")},
		{"A device link", "works once, for " + words.Counted(int(profile.DeviceLinkLife.Minutes()), "minute")},
		{"An answer of the database", "is waited for during 5 seconds"},
		{"A file to import", words.Counted(profile.MaxImport>>20, "MiB")},
	}
}

// exportExample shows every kind of record in an exported file; a test imports it.
// What follows three spaces or more says what stands before it.
const exportExample = `{"format": "slotcast", "version": 7,
 "scale": [{"step": "execute", "rating": 5, "factor": 0.8},             what a rating stands for: a factor on your estimate,
           {"step": "recognise", "rating": 5, "seconds": 0.2},         seconds to recognise,
           {"step": "track", "seconds": 0.05}],                        and the seconds to track a piece
 "ratings": [{"oll": 27, "recognise": 4, "execute_seconds": 0.9,       1 (weak) to 5, or seconds, or both: seconds count;
              "learnt": true}],                                        learnt or not, for who says it pattern by pattern
 "plls": [{"pll": "T", "rating": 4,                                    how well you do it; where not all alike,
           "turns": "R U R' U' R' F R2 U' R' U' R U R' F'"}],          and with which algorithm, where not the easiest
 "names": [{"oll": 27, "name": "the easy one"}],                       a name of your own
 "sequences": [{"oll": 27, "turns": "R U R' U R U2 R'"}],              any number for a pattern
 "insertions": [{"slot": "FR", "turns": "R U R'", "own": false, "known": true, "hidden": false,
                 "rating": 4, "seconds": 0.5, "predicted": true}],     known, predicted, rating, seconds may be left out
 "steps": [{"open": "FR,FL", "turns": "D R U R' D'", "known": true, "hidden": false,
            "seconds": 0.7}],                                          with two slots open
 "preferences": [{"name": "top", "value": "white"}],                   what is not as usual
 "kept": [{"case": "1T0WT", "note": "the one I miss", "since": "2026-11-25T10:00:00Z"}],
 "recent": [{"case": "1T0WT", "looked": "2026-11-25T10:00:00Z"}],      the newest first
 "expected": [{"day": "2026-11-25", "seconds": 2.345}],                what a solve was expected to take, on days with practice
 "results": [{"id": "2WsFbFZzRkK2M2dJpL0d1Q", "exercise": "recognise", "item": "27",
              "at": "2026-11-25T10:00:00.123Z", "seconds": 1.234, "right": true, "grade": 3},
             {"id": "Zk1c3Qy8RrSxq0m9b7VtUw", "exercise": "whole", "item": "FR-UFR.R-UB.U",
              "at": "2026-11-25T09:00:00Z", "seconds": 4.2, "right": true, "grade": 3,
              "left": 27, "insert": 1.5, "recognise": 0.6}]}`

// Manual answers GET /manual.
func (s *Server) Manual(w http.ResponseWriter, r *http.Request) error {
	return render(w, r, http.StatusOK, manualPage(manualView{
		pageView: s.pageView("Manual – Slotcast", "The interface for scripts, the file of a profile, backup and hosting.", s.sessions.PublicURL(r)+"/manual"),
		Manual:   s.manual, Limits: manualLimits(), Averages: manualAverages(), Nearly: words.Seconds(forecast.Nearly), Export: exportExample,
	}))
}
