package web

import (
	"math/rand/v2"
	"net/http"
	"net/url"
)

// scrambleAnswer is the answer of GET /api/v1/practice-scramble.
type scrambleAnswer struct {
	Scramble string `json:"scramble"`
}

// practiceScrambleAPI answers GET /api/v1/practice-scramble.
func (s *site) practiceScrambleAPI(w http.ResponseWriter, r *http.Request) error {
	values, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return &problem{Status: http.StatusBadRequest, Detail: "the address’s parameters are not encoded as they should be"}
	}
	switch n := len(values["case"]); n {
	case 0:
		return unclear("case", "missing: give the code of a case")
	case 1:
	default:
		return repeated("case", n)
	}
	c, err := checkCode("case", values.Get("case"))
	if err != nil {
		return err
	}
	w.Header().Set("Cache-Control", "no-store")
	random := rand.New(rand.NewPCG(rand.Uint64(), rand.Uint64()))
	writeJSON(w, http.StatusOK, scrambleAnswer{c.Scramble(random).String()})
	return nil
}
