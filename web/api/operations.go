package api

import (
	"slotcast/web/profile"
	"slotcast/web/query"
)

// access says whose key a request needs.
type access int

const (
	ownKey access = iota
	// anyKey is one that changes the answer, but need not be there.
	anyKey
	noKey
)

// operation is what the description says of a route. What follows from the rest,
// such as 401 where a key is needed, is not repeated in it.
type operation struct {
	method, path string
	// summary is one sentence, and in further ones what else there is to know.
	summary string
	access  access
	// query names the parameters after the path, must those that have to be there.
	query, must []string
	// body and answer are values of the types that are decoded and encoded; nil for
	// none.
	body, answer any
	// status is that of the answer, 0 for the usual one.
	status int
	// problems are statuses that other operations do not have.
	problems []int
}

// operations are all routes of the interface, in the order of [web.New].
var operations = []operation{
	{method: "GET", path: "/healthz", access: noKey, answer: healthAnswer{}, problems: []int{503},
		summary: "Whether the program can answer, its database included."},
	{method: "GET", path: "/api/v1/openapi.json", access: noKey, answer: object{},
		summary: "This description."},
	{method: "GET", path: "/api/v1/forecast", access: anyKey, query: query.Parameters, answer: forecastAnswer{}, problems: []int{404, 422},
		summary: "The insertions of the last slot’s pair and what each leaves, fastest first. Exactly one of case and scramble is needed; solution, slot and until=solved belong to a scramble. With a key, or the id of a share, it is that profile’s forecast."},
	{method: "GET", path: "/api/v1/routes", access: anyKey, query: query.RoutesParameters, answer: routesAnswer{}, problems: []int{404, 422},
		summary: "With two slots open: what to fill first and how, with the best for the last slot that it leaves, the fastest in all first; at most one for each slot filled and case left. Exactly one of case and scramble is needed; solution and open belong to a scramble. A filled slot is taken as open too where fewer than two are."},
	{method: "GET", path: "/api/v1/insertions", access: anyKey, query: query.InsertionsParameters, answer: insertionsAnswer{}, problems: []int{404, 422},
		summary: "The insertions of the last slot’s pair that leave a wanted pattern, or one with wanted edges: exactly one of oll and edges is needed. The case is given as for a forecast."},
	{method: "GET", path: "/api/v1/learning", access: anyKey, must: []string{"place"}, query: []string{query.CountParameter}, answer: learningAnswer{},
		summary: "What to learn for a place of the pair: what is known, then the insertions that save most on average over all cases of the place, at most 20 in all."},
	{method: "GET", path: "/api/v1/learning/places", access: anyKey, must: []string{"slot"}, query: []string{query.CountParameter}, answer: learningPlacesAnswer{},
		summary: "The 42 places of a slot’s pair up to AUF, each with how much of its list is known and how often it comes; and what to learn next of all of them."},
	{method: "GET", path: "/api/v1/learning/steps", access: anyKey, must: []string{"open"}, answer: learningStepsAnswer{},
		summary: "Which steps that use the other open slot to learn next with two slots open: each is the one that saves most with those before it known, for who sees where both pairs are and not the top, and takes the quickest way they know; over all places of the two pairs alike, worked out exactly."},
	{method: "GET", path: "/api/v1/plan", access: anyKey, query: []string{"place", "case"}, answer: planAnswer{}, problems: []int{404},
		summary: "The best plan for a place over the insertions that the profile knows: track one, do it if it leaves one of the patterns to accept, otherwise do the other, unseen. Exactly one of place and case is needed. It is 404 where fewer than two insertions are known."},
	{method: "GET", path: "/api/v1/patterns", access: noKey, answer: patternsAnswer{},
		summary: "The 58 orientation patterns of the top, each with the book’s algorithm."},

	{method: "GET", path: "/api/v1/pll-sequences", access: noKey, answer: pllSequencesAnswer{},
		summary: "The 21 PLLs by the trade’s letters, each with the book’s algorithms, the easiest first."},

	{method: "GET", path: "/api/v1/practice-scramble", access: noKey, query: []string{"case", "cross"}, answer: scrambleAnswer{},
		summary: "A scramble of at most 22 face turns that leads from the solved puzzle, white on top and green in front, to the case, for the last slot or with two slots open, which is seen with the cross down, after the rotation that /api/v1/forecast or /api/v1/routes answers as hold. What the case leaves free is random each time."},

	{method: "POST", path: "/api/v1/profiles", access: noKey, query: []string{"keep"}, answer: keyAnswer{}, status: 201,
		summary: "Makes an empty profile and answers its key, which is shown only once."},
	{method: "DELETE", path: "/api/v1/profiles/me",
		summary: "Deletes the profile with everything in it, its other keys and its shares."},
	{method: "GET", path: "/api/v1/ratings", answer: ratingsAnswer{},
		summary: "The ratings and measured times that were given."},
	{method: "PUT", path: "/api/v1/ratings/{oll}", body: profile.RatingValues{}, answer: profile.PatternRating{},
		summary: "Rates both steps of a pattern, each by a rating, by measured seconds or by both. Where both are there, the seconds count."},
	{method: "PATCH", path: "/api/v1/ratings/{oll}", body: profile.RatingValues{}, answer: profile.PatternRating{},
		summary: "Rates a step of a pattern, or both, or says whether it is learnt; what is not given stays as it is."},
	{method: "DELETE", path: "/api/v1/ratings/{oll}",
		summary: "Removes what was given for a pattern."},
	{method: "DELETE", path: "/api/v1/ratings/{oll}/{step}", problems: []int{404},
		summary: "Removes what was given for one step of a pattern."},
	{method: "GET", path: "/api/v1/plls", answer: pllsAnswer{},
		summary: "What was said of single PLLs. The preference pll rates all of them."},
	{method: "PUT", path: "/api/v1/plls/{pll}", body: pllChange{}, answer: profile.PLLValues{}, problems: []int{422},
		summary: "Rates a PLL, or says by which turns it is done, in place of what was said of it. The turns must solve exactly that PLL and keep F2L; the answer has them without the AUF at their ends."},
	{method: "DELETE", path: "/api/v1/plls/{pll}",
		summary: "Removes what was said of a PLL."},
	{method: "GET", path: "/api/v1/scale", answer: scaleAnswer{},
		summary: "What each rating stands for: seconds to recognise, a factor on the profile’s own estimate to execute; and the seconds to track one piece."},
	{method: "PUT", path: "/api/v1/scale/recognise/{rating}", body: secondsValue{}, answer: scaleAnswerStep{}, problems: []int{422},
		summary: "Changes the seconds to recognise a pattern of this rating. A better rating cannot stand for more."},
	{method: "DELETE", path: "/api/v1/scale/recognise/{rating}", problems: []int{422},
		summary: "Sets the rating back to the default seconds."},
	{method: "PUT", path: "/api/v1/scale/execute/{rating}", body: factorValue{}, answer: scaleAnswerStep{}, problems: []int{422},
		summary: "Changes the factor on the estimate for a pattern of this rating. A better rating cannot stand for more."},
	{method: "DELETE", path: "/api/v1/scale/execute/{rating}", problems: []int{422},
		summary: "Sets the rating back to the default factor."},
	{method: "PUT", path: "/api/v1/scale/track", body: secondsValue{}, answer: scaleAnswerStep{},
		summary: "Changes the seconds that tracking one piece takes."},
	{method: "DELETE", path: "/api/v1/scale/track",
		summary: "Sets tracking back to the default seconds."},
	{method: "GET", path: "/api/v1/names", answer: namesAnswer{},
		summary: "The profile’s own names of patterns."},
	{method: "PUT", path: "/api/v1/names/{oll}", body: nameValue{}, answer: profile.NamedPattern{},
		summary: "Names a pattern."},
	{method: "DELETE", path: "/api/v1/names/{oll}",
		summary: "Removes the name of a pattern."},
	{method: "GET", path: "/api/v1/own-sequences", answer: ownSequencesAnswer{},
		summary: "The profile’s own algorithms for patterns."},
	{method: "PUT", path: "/api/v1/own-sequences", body: profile.SequenceValues{}, answer: profile.SequenceValues{}, problems: []int{422},
		summary: "Adds an algorithm for a pattern. It must orient exactly that pattern and keep F2L; the answer has it without the AUF at its ends."},
	{method: "DELETE", path: "/api/v1/own-sequences/{oll}", query: []string{"turns"},
		summary: "Removes an algorithm for a pattern; without turns, all of the pattern’s."},
	{method: "GET", path: "/api/v1/own-insertions", answer: ownInsertionsAnswer{},
		summary: "The marks on insertions, own insertions included."},
	{method: "PUT", path: "/api/v1/own-insertions", body: ownInsertionChange{}, answer: ownInsertionsAnswer{}, problems: []int{422},
		summary: "Marks an insertion as known, hidden, rated, timed or added, in place of earlier marks."},
	{method: "DELETE", path: "/api/v1/own-insertions/{slot}", must: []string{"turns"},
		summary: "Removes the marks on an insertion."},
	{method: "GET", path: "/api/v1/own-steps", answer: ownStepsAnswer{},
		summary: "The marks on steps with two slots open."},
	{method: "PUT", path: "/api/v1/own-steps", body: profile.OwnStepValues{}, answer: profile.OwnStepValues{}, problems: []int{422},
		summary: "Marks a step as known, hidden or timed, in place of earlier marks. It must keep the cross and the two solved slots, and neither of the open ones; the answer has it without the AUF at its ends, and with the slots as they stand before the turns."},
	{method: "DELETE", path: "/api/v1/own-steps/{open}", must: []string{"turns"},
		summary: "Removes the marks on a step. The open slots are two with a comma between them."},
	{method: "GET", path: "/api/v1/preferences", answer: preferencesAnswer{},
		summary: "The preferences that differ from the default."},
	{method: "PUT", path: "/api/v1/preferences/{name}", body: preferenceChange{}, answer: profile.PreferenceValues{},
		summary: "Chooses one. Values of theme are light and dark; of text big; of thumb left; of notation Rw; of top white, green, blue, red and orange; of colours stepped and parted; of hands right and left; of learnt all, ten (two looks) and own (those patterns that are said to be learnt); of practised off, where practice is not to rank; of track 0 to 8, how many last-layer pieces are followed through an insertion; of pll 1 to 5, how well every PLL is done of which nothing else is said; of speed a number from 0.25 to 4 that estimates of turning are multiplied by."},
	{method: "DELETE", path: "/api/v1/preferences/{name}",
		summary: "Sets it back to the default."},
	{method: "GET", path: "/api/v1/recent-cases", answer: recentCasesAnswer{},
		summary: "The last 50 cases looked up, newest first."},
	{method: "DELETE", path: "/api/v1/recent-cases",
		summary: "Forgets the cases that were looked up."},
	{method: "GET", path: "/api/v1/kept-cases", answer: keptCasesAnswer{},
		summary: "The kept cases, newest first."},
	{method: "PUT", path: "/api/v1/kept-cases/{code}", body: keptCaseChange{}, answer: profile.KeptValues{}, problems: []int{404, 422},
		summary: "Keeps a case, with a note in place of the one before."},
	{method: "DELETE", path: "/api/v1/kept-cases/{code}",
		summary: "Stops keeping a case."},
	{method: "GET", path: "/api/v1/results", query: []string{"exercise", "item", "before", "limit"}, answer: resultsAnswer{}, problems: []int{422},
		summary: "Results of practice, newest first, those withdrawn included. Further ones come after the last one’s id as before."},
	{method: "POST", path: "/api/v1/results", body: resultsGiven{}, answer: countedAnswer{}, problems: []int{422},
		summary: "Counts results of practice, at most 1,000 at once: all of them, or none where one is wrong. The device makes each id at random; one that is known already is the same result sent again, and counts once."},
	{method: "DELETE", path: "/api/v1/results",
		summary: "Removes all results, and with them what was measured."},
	{method: "DELETE", path: "/api/v1/results/{id}",
		summary: "Withdraws a result: it stays in the list and counts no more."},
	{method: "PATCH", path: "/api/v1/results/{id}", body: resultChange{},
		summary: "Withdraws a result, or brings it back: then it counts as it did."},
	{method: "GET", path: "/api/v1/practised", answer: practiceAnswer{},
		summary: "What all results come to: item by item how often it was right, its seconds and when it is due; and the person’s own reaction and how many pieces they track, where that was measured."},
	{method: "GET", path: "/api/v1/export", answer: profile.Export{},
		summary: "Everything in the profile as one document."},
	{method: "POST", path: "/api/v1/import", body: profile.Export{}, problems: []int{422, 503},
		summary: "Adds all of an exported document to the profile, each record in place of the one of the same thing, or nothing where anything in it is wrong. Files are taken one at a time: after five seconds in line the answer is 503."},
	{method: "POST", path: "/api/v1/device-links", answer: deviceLinkAnswer{}, status: 201, problems: []int{422},
		summary: "Makes a link that opens the profile on another device: once, and until it expires."},
	{method: "POST", path: "/api/v1/device-links/use", access: noKey, query: []string{"keep"}, body: deviceLinkUse{}, answer: keyAnswer{}, status: 201, problems: []int{410, 422},
		summary: "Uses up a device link and answers another key of its profile."},
	{method: "GET", path: "/api/v1/keys", answer: keysAnswer{},
		summary: "The profile’s keys, one on each device, without the keys themselves: since when each is there and when it was last used, to the day."},
	{method: "PUT", path: "/api/v1/keys/{mark}", body: keyName{}, problems: []int{404},
		summary: "Names a key, or the device that has it; an empty name takes the name away."},
	{method: "DELETE", path: "/api/v1/keys/{mark}", problems: []int{404, 422},
		summary: "Revokes a key: it no longer opens the profile, and unused device links go with it. The only key stays."},
	{method: "GET", path: "/api/v1/shares", answer: sharesAnswer{},
		summary: "The profile’s shares."},
	{method: "POST", path: "/api/v1/shares", answer: shareAnswer{}, status: 201, problems: []int{422},
		summary: "Makes a share: whoever has its id sees the profile’s ranking and can change nothing."},
	{method: "DELETE", path: "/api/v1/shares/{share}", problems: []int{404},
		summary: "Revokes a share."},
}
