package page_test

import (
	"net/http"
	"regexp"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest/site"
)

// Names of changes and devices are 128 random bits; these are as good.
const (
	changeOne   = "AAAAAAAAAAAAAAAAAAAAAA"
	changeTwo   = "AAAAAAAAAAAAAAAAAAAAAQ"
	proposedKey = "q4Hn0ZbD7xWmS2uKfT9cVg"
	changeThree = "AAAAAAAAAAAAAAAAAAAAAg"
	phone       = "BBBBBBBBBBBBBBBBBBBBBA"
	tablet      = "BBBBBBBBBBBBBBBBBBBBBQ"
)

// twoDevices are a phone and a tablet with the same profile.
func twoDevices(t *testing.T) (one, other *surfer) {
	t.Helper()
	one = &surfer{Service: site.New(t)}
	require.Equal(t, http.StatusNoContent, one.save("/ratings/27", "recognise", "3").Code)
	a := one.post("/profile/device-link")
	require.Equal(t, http.StatusOK, a.Code)
	link := regexp.MustCompile(`/device/[\w-]{22}`).FindString(a.Body.String())
	require.NotEmpty(t, link)
	other = &surfer{Service: one.Service}
	require.Equal(t, http.StatusSeeOther, other.post(link).Code)
	return one, other
}

// seen is what a page tells: whose it is and as of which revision.
func (s *surfer) seen(t *testing.T, address string) (owner, revision string) {
	t.Helper()
	a := s.get(address)
	require.Equal(t, http.StatusOK, a.Code)
	owner, revision = a.Header().Get("Slotcast-Owner"), a.Header().Get("Slotcast-Revision")
	if owner != "none" {
		assert.Contains(t, a.Body.String(), `data-owner="`+owner+`" data-revision="`+revision+`"`, "the script is told the same")
	}
	return owner, revision
}

func TestLateChangesOverwriteNothing(t *testing.T) {
	t.Parallel()
	one, other := twoDevices(t)
	owner, seen := one.seen(t, "/ratings")
	otherOwner, _ := other.seen(t, "/")
	assert.Equal(t, owner, otherOwner, "the profile is what counts, not its key")
	require.Equal(t, http.StatusNoContent, other.save("/ratings/27", "recognise", "4", "change-device", tablet).Code)

	// The phone had no network meanwhile. What the tablet said stays.
	sent := []string{"change-id", changeOne, "change-device", phone, "change-seen", seen, "change-owner", owner}
	a := one.save("/ratings/27", append(sent, "recognise", "2")...)
	_, detail := a.Refused(t, http.StatusConflict)
	assert.Equal(t, "OLL 27, recognise, was changed elsewhere meanwhile: kept 4 from there, yours was 2", detail)
	assert.Contains(t, one.exported(t), `"recognise": 4`)

	// Another step and another pattern were not changed by anyone.
	require.Equal(t, http.StatusNoContent, one.save("/ratings/27", append(sent, "execute", "5")...).Code)
	file := one.exported(t)
	assert.Contains(t, file, `"recognise": 4`)
	assert.Contains(t, file, `"execute": 5`)

	// Mine is taken on purpose: the phone has seen the tablet's now.
	sent[1], sent[5] = changeTwo, a.Header().Get("Slotcast-Revision")
	b := one.save("/ratings/27", append(sent, "recognise", "2")...)
	require.Equal(t, http.StatusNoContent, b.Code, "%s", b.Body)
	assert.Contains(t, one.exported(t), `"recognise": 2`)
	assert.Equal(t, owner, b.Header().Get("Slotcast-Owner"))
	assert.NotEqual(t, sent[5], b.Header().Get("Slotcast-Revision"))
}

func TestWordsOfLateChanges(t *testing.T) {
	t.Parallel()
	one, other := twoDevices(t)
	_, seen := one.seen(t, "/ratings")
	const insertion, step = "FR R U R'", "FR,FL D R U R' D'"
	for _, change := range [][]string{
		{"/ratings/0", "recognise-seconds", "0.4"}, {"/ratings/27", "recognise", ""}, {"/ratings/27", "name", "Mine"},
		{"/insertions/time", "insertion", insertion, "seconds", "1.2"}, {"/insertions/marks", "know", insertion},
		{"/steps/time", "step", step, "seconds", "0.7"}, {"/steps/marks", "know", step},
	} {
		require.Equal(t, http.StatusNoContent, other.save(change[0], change[1:]...).Code)
	}
	assert.Contains(t, other.exported(t), `"seconds": 1.2`, "a mark that a script sends leaves the time")
	for _, late := range []struct {
		address string
		fields  []string
		says    string
	}{
		{"/ratings/0", []string{"recognise", "1"}, "All oriented, recognise, was changed elsewhere meanwhile: kept 0.4 s from there, yours was 1"},
		{"/ratings/27", []string{"recognise", "5"}, "kept “not rated” from there, yours was 5"},
		{"/ratings/27", []string{"name", ""}, "Your name for OLL 27 was changed elsewhere meanwhile: kept “Mine” from there, yours was none"},
		{"/insertions/marks", []string{"hide", insertion}, "The insertion R U R' was changed elsewhere meanwhile: kept “known, 1.2 s” from there, yours was “hidden, 1.2 s”"},
		{"/insertions/time", []string{"insertion", insertion, "rating", "4"}, "yours was “known, 4”"},
		{"/insertions/remove", []string{"insertion", insertion}, "yours was nothing"},
		{"/steps/marks", []string{"hide", step}, "The step D R U R' D' was changed elsewhere meanwhile: kept “known, 0.7 s” from there, yours was “hidden, 0.7 s”"},
		{"/steps/remove", []string{"step", step}, "yours was nothing"},
	} {
		_, detail := one.save(late.address, append(late.fields, "change-device", phone, "change-seen", seen)...).Refused(t, http.StatusConflict)
		assert.Contains(t, detail, late.says)
	}
}

func TestChangeSentTwice(t *testing.T) {
	t.Parallel()
	one, other := twoDevices(t)
	first := []string{"change-id", changeOne, "change-device", phone, "recognise", "1"}
	require.Equal(t, http.StatusNoContent, one.save("/ratings/5", first...).Code)
	require.Equal(t, http.StatusNoContent, other.save("/ratings/5", "recognise", "5").Code)
	// Its answer was lost, so the phone sends it again.
	require.Equal(t, http.StatusNoContent, one.save("/ratings/5", first...).Code)
	assert.Contains(t, one.exported(t), "\"oll\": 5,\n      \"recognise\": 5")
}

// The answer to somebody's first change got lost, with it the key; or it is sent once
// more before there is an answer. It is in one profile.
func TestFirstChangeSentAgain(t *testing.T) {
	t.Parallel()
	service := site.New(t)
	first := []string{"change-id", changeOne, "change-device", phone, "change-key", proposedKey, "recognise", "1"}
	again := make([]surfer, 4)
	var all sync.WaitGroup
	for i := range again {
		again[i].Service = service
		all.Go(func() { assert.Equal(t, http.StatusNoContent, again[i].save("/ratings/5", first...).Code) })
	}
	all.Wait()
	owner, revision := again[0].seen(t, "/ratings")
	assert.Equal(t, "1", revision)
	for i := range again {
		its, _ := again[i].seen(t, "/ratings")
		assert.Equal(t, owner, its)
	}
	// Who has a profile changes that one.
	other := surfer{Service: service}
	require.Equal(t, http.StatusNoContent, other.save("/ratings/5", "recognise", "2").Code)
	require.Equal(t, http.StatusNoContent, other.save("/ratings/6", "change-key", proposedKey, "recognise", "2").Code)
	its, revision := other.seen(t, "/ratings")
	assert.NotEqual(t, owner, its)
	assert.Equal(t, "2", revision)
}

// What was changed in a profile that is gone does not get into another one, and
// makes none, unless the person says so.
func TestChangeOfAnotherProfile(t *testing.T) {
	t.Parallel()
	one, _ := twoDevices(t)
	owner, seen := one.seen(t, "/ratings")
	assert.NotEmpty(t, owner)
	deleted := one.post("/profile/delete", "sure", "true")
	require.Equal(t, http.StatusSeeOther, deleted.Code)
	assert.Equal(t, `"cache"`, deleted.Header().Get("Clear-Site-Data"), "what the browser stored goes, but no changes that wait in it")
	none, _ := one.seen(t, "/ratings")
	assert.Equal(t, "none", none)
	change := []string{"change-id", changeOne, "change-device", phone, "change-seen", seen, "recognise", "2"}
	a := one.save("/ratings/27", append(change, "change-owner", owner)...)
	_, detail := a.Refused(t, http.StatusConflict)
	assert.Contains(t, detail, "no longer has")
	assert.Nil(t, one.cookie)
	require.Equal(t, http.StatusNoContent, one.save("/ratings/27", "recognise", "4").Code)
	one.save("/ratings/27", append(change, "change-owner", owner)...).Refused(t, http.StatusConflict)
	assert.Contains(t, one.exported(t), `"recognise": 4`)
}

func TestWrongWordsOfAChange(t *testing.T) {
	t.Parallel()
	s := &surfer{Service: site.New(t)}
	for _, wrong := range [][2]string{{"change-id", "short"}, {"change-device", changeOne + "AA"}, {"change-key", "short"}, {"change-key", changeTwo}, {"change-seen", "-1"}, {"change-seen", "x"}} {
		field, _ := s.save("/ratings/27", "recognise", "2", wrong[0], wrong[1]).Refused(t, http.StatusBadRequest)
		assert.Equal(t, wrong[0], field)
	}
	assert.Nil(t, s.cookie)
	require.Equal(t, http.StatusNoContent, s.save("/ratings/27", "recognise", "2", "change-id", changeThree, "change-seen", "0").Code, "the first change makes the profile")
}
