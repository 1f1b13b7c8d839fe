package api

import (
	"math/rand/v2"
	"net/http"
	"net/url"

	"slotcast/cube"
	"slotcast/forecast/twoslots"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/query"
)

// scrambleAnswer is the answer of GET /api/v1/practice-scramble.
type scrambleAnswer struct {
	Scramble string `json:"scramble"`
}

// PracticeScramble answers GET /api/v1/practice-scramble.
func (s *Server) PracticeScramble(w http.ResponseWriter, r *http.Request) error {
	values, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return problem.NotEncoded()
	}
	switch n := len(values["case"]); n {
	case 0:
		return problem.BadRequest("case", "missing: give the code of a case")
	case 1:
	default:
		return problem.Repeated("case", n)
	}
	code, err := profile.CheckKept("case", values.Get("case"))
	if err != nil {
		return err
	}
	cross, err := query.Cross(values, cube.FaceD)
	if err != nil {
		return err
	}
	w.Header().Set("Cache-Control", "no-store")
	random := rand.New(rand.NewPCG(rand.Uint64(), rand.Uint64())) // #nosec G404 -- what a scramble leaves free is no secret
	scramble, err := scrambleTo(code, cross, random)
	if err != nil {
		return err
	}
	problem.WriteJSON(w, http.StatusOK, scrambleAnswer{scramble.String()})
	return nil
}

// scrambleTo leads to the case of a code, for the last slot or with two slots open.
func scrambleTo(code string, cross cube.Face, random *rand.Rand) (cube.Sequence, error) {
	if two, err := twoslots.ParseCode(code); err == nil {
		return two.Scramble(cross, random), nil
	}
	c, err := profile.CheckCode("case", code)
	if err != nil {
		return nil, err
	}
	return c.Scramble(cross, random), nil
}
