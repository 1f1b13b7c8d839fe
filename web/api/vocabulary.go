package api

import (
	"slotcast/cube"
	"slotcast/forecast"
	"slotcast/forecast/lastslot"
	"slotcast/forecast/learn"
	"slotcast/forecast/pll"
	"slotcast/forecast/practice"
	"slotcast/forecast/twoslots"
	"slotcast/web/profile"
	"slotcast/web/query"
)

// What several names stand for.
var (
	slots                 = []string{"FR", "FL", "BL", "BR"}
	secretText            = "^[A-Za-z0-9_-]{22}$" // #nosec G101 -- the shape that [profile.NewSecret] makes, no secret
	ratingSchema          = object{"type": "integer", "minimum": 1, "maximum": 5, "description": "1 (weak) to 5 (strong)."}
	timeSchema            = object{"type": "number", "exclusiveMinimum": 0, "maximum": profile.LongestTime.Seconds(), "description": "Measured seconds, kept to the millisecond."}
	preferenceName        = object{"type": "string", "enum": profile.PreferenceNames(), "description": "What can be chosen."}
	preferenceValueSchema = object{"type": "string", "minLength": 1, "description": "A value other than the usual one; what it can be depends on the name."}
	resultSeconds         = object{"type": "number", "exclusiveMinimum": 0, "maximum": practice.MostTook.Seconds(), "description": "How long it took, kept to the millisecond."}
	countSchema           = object{"type": "string", "enum": query.Counts, "default": query.Counts[0], "description": "How often each place comes: all cases alike, or as solves met the places, in 400,000 random positions in which slots were filled one after the other, always the quickest pair next."}
	ownOLL                = object{"type": "integer", "minimum": 1, "maximum": lastslot.Patterns - 1, "description": "The number of a pattern."}
	stepSlots             = object{"type": "string", "pattern": "^[A-Za-z]{2},[A-Za-z]{2}$", "description": "The two open slots as they stand before the turns, such as FR,BL."}
	keptCode              = object{"type": "string", "pattern": "^[0-9A-Za-z]{1,8}$", "description": "The code of a case, for the last slot or with two slots open; it is read in either case."}
)

var edgeTypes = []lastslot.Edges{lastslot.Dot, lastslot.Line, lastslot.L, lastslot.Cross}

// vocabulary is what a name says that its Go type does not. A name means the same in
// the whole interface; where its range differs, that of one path or schema is
// found under both.
var vocabulary = map[string]object{
	"case":      {"type": "string", "pattern": "^[0-9A-Za-z]{1,6}$", "description": "The code of a case; it is read in either case."},
	"cross":     {"type": "string", "enum": query.CrossColours, "default": "yellow", "description": "The colour of the cross, of a puzzle that is white on top and green in front."},
	"scramble":  {"type": "string", "maxLength": cube.MaxLength, "description": "Turns from the solved puzzle, white on top and green in front."},
	"solution":  {"type": "string", "maxLength": cube.MaxLength, "description": "The turns done since the scramble, rotations included."},
	"slot":      {"type": "string", "enum": slots, "description": "The open slot, with the cross down."},
	"limit":     {"type": "integer", "minimum": 1, "maximum": query.MaxLimit, "default": query.DefaultLimit, "description": "The most options in the answer."},
	"per":       {"type": "string", "enum": []string{"pattern"}, "description": "Answer only the best option for each pattern."},
	"predicted": {"type": "boolean", "default": false, "description": "Every option counts as predicted: recognising takes no longer than tracking its pieces."},
	"until":     {"type": "string", "enum": []string{"oriented", "solved"}, "default": "oriented", "description": "Until when the time counts by which options are in order: until the top is oriented, or until all is solved, which takes a scramble."},
	"view":      {"type": "string", "enum": []string{"all", "known"}, "default": "all", "description": "The insertions that are offered: all, or those that the profile knows, marked or assumed as the usual ones."},
	"rotation":  {"type": "string", "enum": []string{"none"}, "description": "Offer no option with a rotation, first or inside the insertion."},
	"hand":      {"type": "string", "enum": []string{"right", "left"}, "description": "Offer only options that never turn the other hand’s side, L or R, alone or wide."},
	"max_count": {"type": "integer", "minimum": 1, "maximum": query.MaxMaxCount, "description": "Offer only insertions of at most so many turns, as count has them."},
	"share":     {"type": "string", "pattern": secretText, "description": "The id of a share."},
	"order":     {"type": "string", "enum": []string{"shortest", "easiest"}, "default": "shortest", "description": "What comes first: the fewest turns, written in face turns only, or the fewest seconds to insert."},
	"keep":      {"type": "string", "enum": []string{"cookie"}, "description": "Give the key to the browser, in a cookie that scripts cannot read, and not in the answer."},

	"hold":             {"enum": []string{"", "x2", "x'", "x", "z", "z'"}, "description": "The rotation to do first, so that the cross is down."},
	"turns":            {"type": "string", "maxLength": cube.MaxLength, "description": "Turns in the usual notation."},
	"then":             {"enum": []string{"", "U", "U2", "U'"}, "description": "The AUF to do next, in the hold where the turns ended."},
	"sequence":         {"description": "The turns that orient the pattern: where it takes several looks those of all, with the AUFs between them. Empty where all is oriented."},
	"looks":            {"description": "The looks that then and sequence are made of, where it takes several: the pattern is not learnt, or one look takes longer."},
	"Look.oll":         {"minimum": 0, "maximum": lastslot.Patterns - 1, "description": "The pattern whose sequence is done; 0 where all is oriented by then."},
	"edges_only":       {"description": "The look is at the edges only."},
	"gap":              {"description": "Nothing that is learnt orients the pattern: the sequence is its own, to be looked up, and seconds count an hour for it, so that it comes last."},
	"learnt":           {"description": "Whether the person has learnt a sequence for the pattern; it counts where the preference learnt is own."},
	"Option.pll":       {"enum": append([]string{""}, pll.Letters()...), "description": "With until=solved, the PLL that is left after the sequence; empty where all is solved but for the AUF."},
	"pll_turns":        {"description": "With until=solved, the AUF and the PLL’s sequence, after a rotation where the sequence before left another face on top."},
	"last":             {"enum": []string{"", "U", "U2", "U'"}, "description": "With until=solved, the AUF that ends it."},
	"Seconds.pll":      {"description": "With until=solved, seconds from the oriented top until all is solved: recognising, both AUFs and the sequence. The total has them."},
	"pll":              {"type": "string", "enum": pll.Letters(), "description": "A PLL by the trade’s letters."},
	"count":            {"minimum": 0, "description": "Face and wide turns count 1, slices 2, rotations and AUF at either end of the insertion 0."},
	"ways":             {"minimum": 0, "description": "How many insertions were found; those answered are the first of them."},
	"searched":         {"description": "What was searched, in a sentence."},
	"Option.predicted": {"description": "The profile predicts what the insertion leaves: seconds.recognise is the lesser of recognising and tracking."},
	"track":            {"minimum": 0, "maximum": 8, "description": "Last-layer pieces to track for predicting what is left: those that move otherwise than one turn of U would, or turn, for the turn of U that leaves fewest."},
	"gain":             {"description": "The seconds that knowing the insertion would save here; missing where it is known, and without a profile."},
	"oll":              {"type": "integer", "minimum": 0, "maximum": lastslot.Patterns - 1, "description": "The number of a pattern; 0 is all oriented."},
	"edges":            {"type": "string", "enum": edgeTypes, "description": "Which edges of the top are oriented."},
	"corners_oriented": {"minimum": 0, "maximum": 4},
	"facing":           {"pattern": "^[URFBL]{8}$", "description": "Where the top colour of each place of the top faces."},

	"place":          {"type": "string", "pattern": `^(FR|FL|BL|BR)-[UDLRFB]{3}\.[UDLRFB]-[UDLRFB]{2}\.[UDLRFB]$`, "description": "Where the pair stands, up to AUF: the slot, the sticker that shows the bottom colour of its corner, and the one that shows the front colour of its edge, for a slot at the back its back colour."},
	"cases":          {"description": "The cases of the place, over which averages are: each as likely as any other."},
	"known_lessons":  {"description": "How many insertions of the list are known; they come first."},
	"average":        {"description": "The average, over all cases of the place, of the best option’s total with this and all lessons before it. Of a place, with what is known; where nothing is, with the first lesson."},
	"saves":          {"description": "How much this lesson lowers the average; 0 for the first where nothing is known."},
	"level":          {"minimum": 1, "maximum": len(learn.Levels), "description": "The level of the list that the lesson belongs to: up to 1, 3, 8 and 20 insertions."},
	"best":           {"minimum": 0, "description": "In how many of the cases it is quicker than all lessons before it. Then it leaves these patterns, the commonest first."},
	"insert":         {"description": "Seconds for the turns, without AUF."},
	"Seconds.insert": {},

	"/api/v1/practice-scramble.case": keptCode,

	"/api/v1/learning.count":        countSchema,
	"/api/v1/learning/places.count": countSchema,
	"frequency":                     {"minimum": 0, "maximum": 1, "description": "How often the place comes, of all places of the slot, as count says."},
	"saves_in_all":                  {"description": "How much this lesson lowers the average over all places of the slot, each as often as count says."},

	"/api/v1/learning/steps.open": {"type": "string", "pattern": "^[A-Za-z]{2},[A-Za-z]{2}$", "description": "The two open slots, with the cross down, such as FR,BL."},
	"LearningSteps.open":          {"description": "The two open slots, with the cross down."},
	"LearningSteps.places":        {"minimum": 0, "maximum": twoslots.JointPlaces, "description": "The places of both pairs over which averages are: those where the person knows a way."},
	"LearningSteps.average":       {"description": "The average, over these places, of the quickest known way’s total, how the rest is turned not being seen; 0 where there is no such place."},
	"LearningStep.average":        {"description": "The average with this step and all before it known."},
	"LearningStep.saves":          {"description": "How much this step lowers the average."},
	"LearningStep.best":           {"minimum": 0, "description": "At how many of the places it is quicker than all that is known by then."},
	"LearningExample.case":        {"type": "string", "pattern": "^[0-9A-Z]{7}$", "description": "The code of a case with these slots open where the step saves most."},
	"LearningExample.fills":       {"type": "string", "enum": slots, "description": "The slot that it fills there, as open names it."},
	"LearningExample.turns":       {"description": "Its turns there, with rotation and AUF, as /api/v1/routes has them."},

	"PlanPart.turns": {"description": "Rotation and insertion; with the AUF where no piece of the pair is on top. Empty for doing nothing."},
	"alone":          {"description": "The mean over the place’s cases of the best one insertion, unseen, AUF included."},
	"plan":           {"description": "The same with the plan: tracking is paid either way, and takes the place of recognising where the first insertion is done."},

	"recognise":              ratingSchema,
	"Seconds.recognise":      {},
	"execute":                ratingSchema,
	"Seconds.execute":        {},
	"recognise_seconds":      timeSchema,
	"execute_seconds":        timeSchema,
	"step":                   {"type": "string", "enum": []string{forecast.Recognise.String(), forecast.Execute.String(), forecast.Track.String()}, "description": "What a level stands for: seconds to recognise, a factor to execute, seconds to track a piece."},
	"rating":                 ratingSchema,
	"seconds":                timeSchema,
	"factor":                 {"minimum": 0.1, "maximum": 10, "description": "What the estimate of the profile’s own turns is multiplied by, kept to the thousandth."},
	"ScaleStep.own":          {"description": "The profile changed it."},
	"name":                   {"minLength": 1, "maxLength": profile.LongestName, "description": "A name of the person’s own; spaces at its ends do not count."},
	"OwnSequence.oll":        ownOLL,
	"own":                    {"description": "The person added it."},
	"known":                  {"description": "Whether the person knows it; left out where it is not marked: then the usual insertions are known."},
	"Option.known":           {"description": "The profile knows the insertion, marked or assumed as a usual one."},
	"hidden":                 {"description": "It is hidden from forecasts."},
	"mirror":                 {"description": "Say the same of its mirror image, for the other hand."},
	"code":                   {"type": "string", "pattern": "^[0-9A-Za-z]{1,6}$", "description": "The code of a case; it is read in either case."},
	"note":                   {"maxLength": profile.LongestNote, "description": "The person’s own words; missing for none."},
	"since":                  {"description": "When the case was kept first."},
	"looked":                 {"description": "When the case was looked up last."},
	"Preference.name":        preferenceName,
	"Preference.value":       preferenceValueSchema,
	"PreferenceChange.value": preferenceValueSchema,
	"format":                 {"const": profile.ExportFormat},
	"version":                {"minimum": 1, "maximum": profile.ExportVersion, "description": "An export has the last; files of earlier versions are read, too."},
	"key":                    {"pattern": secretText, "description": "Opens the profile: a secret. Missing where the browser keeps it."},
	"token":                  {"description": "Opens the profile once: a secret."},

	"exercise":                {"type": "string", "enum": practice.ExerciseNames(), "description": "A kind of practice; react is a plain tap on a signal."},
	"item":                    {"type": "string", "maxLength": practice.LongestItem, "description": "What the exercise was about: the number of a pattern (recognise, execute), the slot and an insertion, such as FR R U R' (predict, execute), with “edges” before it where only the edges are said (predict), the name of a place (choose, whole), two open slots, such as FR,BL (slots), or signal (react)."},
	"before":                  {"type": "string", "pattern": secretText, "description": "The id of a result: answer those that come after it in the list."},
	"id":                      {"type": "string", "pattern": secretText, "description": "Made at random by the device, 16 bytes in base64url: two results with the same id are one."},
	"at":                      {"description": "When it was done, by the device’s clock; kept to the millisecond."},
	"right":                   {"description": "Whether the answer was right, or the puzzle as it should be."},
	"left":                    {"minimum": 0, "maximum": lastslot.Patterns - 1, "description": "The pattern that a whole solve came to; left out where it is not said."},
	"grade":                   {"minimum": 1, "maximum": 4, "description": "1 wrong; right, 2 over 1.5 times the median of the item’s last results, 4 under 0.7 times, else 3."},
	"withdrawn":               {"description": "It does not count."},
	"ResultGiven.seconds":     resultSeconds,
	"Result.seconds":          resultSeconds,
	"ResultGiven.insert":      {"exclusiveMinimum": 0, "description": "Seconds of a whole solve until the slot was filled; with recognise, or not at all."},
	"ResultGiven.recognise":   {"exclusiveMinimum": 0, "description": "Seconds after that until the pattern was known; the rest is for executing."},
	"Result.insert":           {"exclusiveMinimum": 0, "description": "Seconds of a whole solve until the slot was filled; with recognise, or not at all."},
	"Result.recognise":        {"exclusiveMinimum": 0, "description": "Seconds after that until the pattern was known; the rest is for executing."},
	"counted":                 {"minimum": 0, "description": "How many were counted now."},
	"already":                 {"minimum": 0, "description": "How many were known already, and changed nothing."},
	"tries":                   {"minimum": 0, "description": "How many results count."},
	"Practised.right":         {"minimum": 0, "description": "How many of them are right."},
	"median":                  {"minimum": 0, "description": "The median of the last right results that count, in seconds, as they were measured; 0 for none."},
	"from":                    {"minimum": 0, "description": "Where the middle half of them begins."},
	"to":                      {"minimum": 0, "description": "Where it ends."},
	"Practised.counted":       {"minimum": 0, "description": "How many of the last 20 count for the seconds: right ones, up to 10 s and three times the median."},
	"due":                     {"format": "date", "description": "The day, in UTC, from which it is due again."},
	"newest":                  {"description": "When the newest result was made."},
	"reaction":                {"minimum": 0, "description": "What is taken off what was recognised on a screen: the median of the last ten plain taps, a quarter of a second until there are ten."},
	"own_reaction":            {"description": "The reaction is the person’s own."},
	"track_measured":          {"minimum": 0, "maximum": 8, "description": "How many pieces the person tracks by their predictions: four in five of the last were right and in time. Missing where too little was predicted."},
	"/api/v1/results.limit":   {"type": "integer", "minimum": 1, "maximum": mostResults, "default": usualResults, "description": "The most results in the answer."},
	"/api/v1/results/{id}.id": {"type": "string", "pattern": secretText, "description": "The result’s id."},

	"mark":              {"type": "string", "pattern": "^[0-9a-f]{16}$", "description": "Tells the profile’s keys apart; it opens nothing."},
	"made":              {"description": "When the key was given; missing where that is not known."},
	"used":              {"description": "When the key was last used, to the day; missing where that is not known."},
	"this":              {"description": "It is the key of this request."},
	"KeyName.name":      {"maxLength": profile.LongestKeyName, "description": "What the person calls the device; empty for no name."},
	"KeyOfProfile.name": {"maxLength": profile.LongestKeyName, "description": "What the person calls the device; empty for no name."},

	"Health.status": {"const": "ok"},

	"Problem.type":   {"format": "uri-reference"},
	"Problem.title":  {"description": "The status in words."},
	"Problem.status": {"minimum": 400, "maximum": 599},
	"Problem.detail": {"description": "What is wrong, for the person who asked."},
	"Problem.field":  {"description": "The parameter or field that is wrong."},
	"Problem.offset": {"minimum": 0, "description": "Where in it the trouble starts, in characters from 0."},

	"/api/v1/own-sequences/{oll}.oll":   ownOLL,
	"/api/v1/ratings/{oll}/{step}.step": {"type": "string", "enum": []string{forecast.Recognise.String(), forecast.Execute.String()}, "description": "A part of the time for a pattern."},
	"/api/v1/preferences/{name}.name":   preferenceName,
	"/api/v1/forecast.slot":             {"type": "string", "enum": slots, "description": "The slot that is open. It is found where it is not named; with all four solved it is the first of these."},
	"/api/v1/insertions.edges":          {"type": "string", "enum": []any{lastslot.Dot, lastslot.Line, lastslot.L, lastslot.Cross, query.NoDot}, "description": "Which edges of the top are to be oriented; no-dot is any but a dot."},
	"/api/v1/kept-cases/{code}.code":    keptCode,
	"KeptCase.case":                     keptCode,
	"KeptCaseInput.case":                keptCode,
	"/api/v1/routes.case":               {"type": "string", "pattern": "^[0-9A-Za-z]{1,8}$", "description": "The code of a case with two slots open; it is read in either case."},
	"/api/v1/routes.limit":              {"type": "integer", "minimum": 1, "maximum": query.MaxRoutes, "default": query.DefaultRoutes, "description": "The most routes in the answer."},
	"/api/v1/routes.view":               {"type": "string", "enum": []string{"all", "known"}, "default": "all", "description": "The steps and insertions that are offered: all, or those that the profile knows, marked or assumed as the usual ones."},
	"open":                              {"type": "string", "pattern": "^[A-Za-z]{2},[A-Za-z]{2}$", "description": "The two slots to take as open, with the cross down, such as FR,BL; it must hold those that are. Where it is missing, the first solved ones of FR FL BL BR are taken with those that are open."},
	"OwnStep.open":                      stepSlots,
	"OwnStepInput.open":                 stepSlots,
	"LearningStep.open":                 stepSlots,
	"/api/v1/own-steps/{open}.open":     stepSlots,
	"Routes.case":                       {"type": "string", "pattern": "^[0-9A-Z]{7}$", "description": "The code of the case with two slots open."},
	"Routes.open":                       {"minItems": 2, "maxItems": 2, "description": "The open slots, with the cross down, in the order FR FL BL BR."},
	"Routes.all":                        {"minimum": 0, "description": "How many routes there are, of which those answered are the first."},
	"Route.fills":                       {"type": "string", "enum": slots, "description": "The slot that is filled first, as open names it."},
	"Route.slot":                        {"type": "string", "enum": slots, "description": "The slot that is open then, in the hold where the turns ended."},
	"Route.near":                        {"description": "The total is so close to the first route’s that the estimates do not tell which is faster."},
	"Step.known":                        {"description": "The profile knows the step: as an insertion, marked or assumed, or as the usual one where a piece of the pair is in the other open slot."},
	"Step.techniques":                   {"description": "What the hands do, told by following the pieces."},
	"Routes.alike":                      {"minimum": 1, "description": "How many cases look the same by what is seen, all counted alike; 1 where all is seen."},
	"seen":                              {"type": "string", "pattern": "^(all|pairs|[A-Za-z]{2})$", "default": "all", "description": "What of the case is seen: all; pairs, and not how the rest is turned; or an open slot, with the cross down, for its pair alone, which then is the one that is filled. What is not seen counts by the mean over all that it can be, worked out exactly: case and last are left out then."},
	"RouteSeconds.first":                {"description": "Seconds until the slot is filled."},
	"RouteSeconds.last":                 {"description": "Seconds from there until the top is oriented; the mean over all that is not seen."},
	"/api/v1/forecast.share":            {"type": "string", "pattern": secretText, "description": "The id of a share, for the forecast of the profile that made it."},
}

// meaning is what the vocabulary says of a name in a schema or path.
func meaning(scope, name string) object {
	if special, ok := vocabulary[scope+"."+name]; ok {
		return special
	}
	return vocabulary[name]
}
