package page_test

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"fmt"
	"image"
	"image/png"
	"maps"
	"net"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/forecast/lastslot"
	"slotcast/web/webtest"
	"slotcast/web/webtest/site"
)

// wire is the way to a server, which can be cut: nobody gets through, and who is
// connected is thrown out.
type wire struct {
	net.Listener

	mu    sync.Mutex
	isCut bool
	open  []net.Conn
}

func (w *wire) Accept() (net.Conn, error) {
	for {
		conn, err := w.Listener.Accept()
		if err != nil {
			return nil, err
		}
		w.mu.Lock()
		if !w.isCut {
			w.open = append(w.open, conn)
			w.mu.Unlock()
			return conn, nil
		}
		w.mu.Unlock()
		_ = conn.Close() // whoever asks is told by that
	}
}

func (w *wire) cut(cut bool) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.isCut = cut
	for _, conn := range w.open {
		_ = conn.Close() // it may be closed already
	}
	w.open = nil
}

// served is a service at a wire that can be cut, with a browser. What goes by can
// be looked at.
type served struct {
	*webtest.Browser
	site.Service
	wire *wire

	mu    sync.Mutex
	loses bool          // answers to changes get lost
	held  chan struct{} // the answer with the ratings waits for its end
	posts []string

	asked atomic.Bool // an answer with the ratings was held
}

func serveToCut(t *testing.T) *served {
	t.Helper()
	s := &served{Service: site.New(t)}
	server := httptest.NewUnstartedServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method == http.MethodPost {
			s.mu.Lock()
			s.posts = append(s.posts, r.URL.Path)
			lost := s.loses
			s.mu.Unlock()
			if lost {
				s.Service.ServeHTTP(httptest.NewRecorder(), r)
				// What a proxy says that lost the answer.
				w.WriteHeader(http.StatusBadGateway)
				return
			}
		}
		s.mu.Lock()
		held := s.held
		s.mu.Unlock()
		if held == nil || r.URL.Path != "/ratings" {
			s.Service.ServeHTTP(w, r)
			return
		}
		answer := httptest.NewRecorder()
		s.Service.ServeHTTP(answer, r)
		s.asked.Store(true)
		select {
		case <-held:
		case <-r.Context().Done():
		}
		maps.Copy(w.Header(), answer.Header())
		w.WriteHeader(answer.Code)
		_, _ = w.Write(answer.Body.Bytes()) // who went away does not need it
	}))
	s.wire = &wire{Listener: server.Listener}
	server.Listener = s.wire
	server.Start()
	t.Cleanup(server.Close)
	s.Browser = webtest.Browse(t, server.URL)
	return s
}

// serveRatings shows the ratings of somebody who has rated nothing, kept for when the
// network is cut.
func serveRatings(t *testing.T) *served {
	t.Helper()
	s := serveToCut(t)
	s.Do(chromedp.Navigate(s.Home + "/ratings"))
	s.readyForCuts(t, "/ratings")
	return s
}

// cut cuts the network for the browser, too, which then knows it.
func (s *served) cut(cut bool) {
	s.wire.cut(cut)
	s.CutNetwork(cut)
}

// loseAnswers makes answers to changes get lost, or not any more.
func (s *served) loseAnswers(loses bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.loses = loses
}

// holdRatings makes the network take as long for the answer with the ratings as the
// test wants; the end lets it through.
func (s *served) holdRatings(t *testing.T) (end func()) {
	held := make(chan struct{})
	end = sync.OnceFunc(func() {
		s.mu.Lock()
		defer s.mu.Unlock()
		s.held = nil
		close(held)
	})
	t.Cleanup(end)
	s.asked.Store(false)
	s.mu.Lock()
	defer s.mu.Unlock()
	s.held = held
	return end
}

func (s *served) sent() []string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return append([]string(nil), s.posts...)
}

// longest is how long a test waits for what is to happen, on a busy machine too.
const longest = 60 * time.Second

// until waits until the expression is true, on this page or the one that takes its
// place.
func (s *served) until(t *testing.T, expression, why string) {
	t.Helper()
	var err error
	for end := time.Now().Add(longest); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		var holds bool
		// While another page takes the place of this one there is nothing to ask, and a
		// question put to a page that just then went away may never be answered.
		asked, answered := context.WithTimeout(s.Context, longest/6)
		holds, err = chromedp.Run(asked, chromedp.Evaluate[bool]("(async () => !!("+expression+"))()", chromedp.EvalAwaitPromise))
		answered()
		if err == nil && holds {
			return
		}
	}
	t.Fatalf("%s: never true: %s (%v)", why, expression, err)
}

// readyForCuts waits until the worker runs and has kept what it is to keep: of the
// page that is shown nothing older than that.
func (s *served) readyForCuts(t *testing.T, pages ...string) {
	t.Helper()
	wanted, err := json.Marshal(append(pages, "/offline"))
	require.NoError(t, err)
	// A page that was on its way while the worker began is not the worker's; the next one is.
	s.until(t, fmt.Sprintf(`(await navigator.serviceWorker.getRegistration())?.active?.state === "activated" && await caches.keys().then(async names => {
		const kept = new Map();
		for (const name of names) {
			const store = await caches.open(name);
			for (const request of await store.keys()) {
				const page = new URL(request.url).pathname;
				const revision = Number((await store.match(request))?.headers.get("Slotcast-Revision") ?? 0);
				kept.set(page, Math.max(revision, kept.get(page) ?? 0));
			}
		}
		const shown = Number(document.documentElement.dataset.revision ?? 0);
		return %s.every(page => kept.has(page) && (page !== location.pathname || kept.get(page) >= shown));
	})`, wanted), "pages are kept")
}

// codes are cases all over the range.
func codes(n int) (all []string) {
	for i := range n {
		all = append(all, lastslot.CaseAt(i*2003+17).Code())
	}
	return all
}

// The job: network cut, ten cases seen before open, five patterns are rated,
// network back: all is there, on the server too.
func TestOfflineJob(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveToCut(t)
	ten := codes(10)
	begun := time.Now()
	s.Do(chromedp.Navigate(s.Home + "/ratings"))
	s.WaitFor("#rated", "0 of 58")
	s.Click(`#oll-57 [name="recognise"][value="5"]`)
	waitSaid(s.Browser, "#oll-57", "saved")
	assert.Empty(t, s.Text("#network-status"), "nothing to say")
	s.readyForCuts(t, "/ratings", "/insertions")
	forecasts := map[string]string{}
	for _, code := range ten {
		s.Do(chromedp.Navigate(s.Home + "/case/" + code))
		s.WaitFor("#status", code)
		forecasts[code] = s.Text("#answer .patterns")
		require.NotEmpty(t, forecasts[code])
	}
	var pages []string
	for _, code := range ten {
		pages = append(pages, "/case/"+code)
	}
	s.readyForCuts(t, pages...)
	// Whatever minute it was.
	times := map[string]bool{}
	for at := begun; at.Before(time.Now().Add(time.Minute)); at = at.Add(time.Minute) {
		times[at.Format("15:04")] = true
	}

	s.cut(true)
	for _, code := range ten {
		s.Do(chromedp.Navigate(s.Home + "/case/" + code))
		s.WaitFor("#network-status", "Offline. What you see was loaded at ")
		assert.Contains(t, times, regexpFind(t, `loaded at (\d\d:\d\d)\b.*; forecasts for new cases need the network\.`, s.Text("#network-status")))
		assert.Equal(t, forecasts[code], s.Text("#answer .patterns"))
	}
	s.Do(chromedp.Navigate(s.Home + "/ratings"))
	s.WaitFor("#network-status", "Offline. What you see was loaded at ")
	assert.Equal(t, "5", script[string](t, s.Browser, `document.querySelector('#oll-57 [name="recognise"]:checked').value`), "what was rated after the page was kept is shown")
	for i := range 5 {
		s.Click(fmt.Sprintf(`#oll-%d [name="recognise"][value="%d"]`, 21+i, i+1))
		s.WaitFor(fmt.Sprintf("#oll-%d .said", 21+i), "waiting to be sent")
	}
	s.WaitFor("#network-status", "5 changes wait to be sent.")
	// The page again: nothing is lost.
	s.Do(chromedp.Reload())
	s.WaitFor("#network-status", "5 changes wait to be sent.")
	s.WaitFor("#oll-25 .said", "waiting to be sent")
	assert.Equal(t, "12345", script[string](t, s.Browser, `[21,22,23,24,25].map(n => document.querySelector("#oll-" + n + ' [name="recognise"]:checked').value).join("")`))

	before := len(s.sent())
	s.cut(false)
	s.WaitFor("#network-status", "The network is back. What you see was loaded at")
	waitSaid(s.Browser, "#oll-25", "saved")
	assert.Equal(t, []string{"/ratings/21", "/ratings/22", "/ratings/23", "/ratings/24", "/ratings/25"}, s.sent()[before:], "in order, each once")
	s.loadAgain()
	assert.Empty(t, s.Text("#network-status"), "nothing to say")
	assert.Equal(t, "12345", script[string](t, s.Browser, `[21,22,23,24,25].map(n => document.querySelector("#oll-" + n + ' input[name="was-recognise"]').value).join("")`), "the server's own page has them")
	s.QuietButForCuts()
}

// Somebody who has no profile yet rates without a network: the first change makes
// one, and the others are in the same.
func TestOfflineFirstChanges(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveRatings(t)
	s.cut(true)
	s.Do(chromedp.Navigate(s.Home + "/ratings"))
	s.WaitFor("#network-status", "Offline.")
	for oll := 1; oll <= 3; oll++ {
		s.Click(fmt.Sprintf(`#oll-%d [name="recognise"][value="%d"]`, oll, oll))
		// What the page says of it has its own height.
		waitSaid(s.Browser, fmt.Sprintf("#oll-%d", oll), "waiting to be sent")
	}
	s.WaitFor("#network-status", "3 changes wait to be sent.")
	s.cut(false)
	s.until(t, `[1, 2, 3].every(n => document.querySelector("#oll-" + n + " .said").textContent === "saved")`, "all are saved")
	// The page is still the one that was kept, of nobody's: it shows them all the same.
	s.cut(true)
	s.Do(chromedp.Reload())
	s.until(t, `[1, 2, 3].map(n => document.querySelector("#oll-" + n + ' [name="recognise"]:checked').value).join("") === "123"`, "what is sent is shown")
	s.cut(false)
	s.Do(chromedp.Navigate(s.Home + "/ratings"))
	s.until(t, `[1, 2, 3].map(n => document.querySelector("#oll-" + n + ' [name="was-recognise"]').value).join("") === "123"`, "the service has them in one profile")
	s.QuietButForCuts()
}

// Who chooses and leaves the page in the same moment loses nothing, with the network
// and without.
func TestLeftAtOnce(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveRatings(t)
	leave := func(oll, rating int) {
		s.Follow(func() {
			s.Do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`document.querySelector('#oll-%d [name="recognise"][value="%d"]').click(); location.reload()`, oll, rating)))
		})
	}
	chosen := func(field string) string {
		return `[1, 2, 3].map(n => document.querySelector("#oll-" + n + ' ` + field + `').value).join("")`
	}
	leave(1, 4)
	s.until(t, `document.querySelector('#oll-1 [name="recognise"]:checked').value === "4"`, "it is shown")
	s.cut(true)
	leave(2, 3)
	leave(2, 5)
	leave(3, 2)
	s.until(t, chosen(`[name="recognise"]:checked`)+` === "452"`, "what waits is shown")
	s.cut(false)
	s.Do(chromedp.Navigate(s.Home + "/ratings"))
	s.until(t, chosen(`[name="recognise"]:checked`)+` === "452"`, "what was sent meanwhile is shown")
	s.until(t, `(await new Promise(done => {
		indexedDB.open("slotcast").onsuccess = opened => {
			opened.target.result.transaction("changes").objectStore("changes").getAll().onsuccess = read => done(read.target.result);
		};
	})).every(change => change.done)`, "all are sent")
	s.Follow(func() { s.Do(chromedp.Reload()) })
	assert.Equal(t, "452 of revision 3", script[string](t, s.Browser, chosen(`[name="was-recognise"]`)+` + " of revision " + document.documentElement.dataset.revision`), "the service has each once, in one profile")
	s.QuietButForCuts()
}

// Who chooses before the page has shown what waited from before has chosen: that is
// shown, and sent.
func TestChosenAtOnce(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveRatings(t)
	s.cut(true)
	s.Click(`#oll-1 [name="recognise"][value="2"]`)
	waitSaid(s.Browser, "#oll-1", "waiting to be sent")
	s.Click(`#oll-1 [name="execute"][value="3"]`)
	s.WaitFor("#network-status", "2 changes wait to be sent.")
	waitSaid(s.Browser, "#oll-1", "waiting to be sent")
	// The page's script has run by then, and what it asks the browser for has no answer.
	_, err := chromedp.Call(s.Context, cdppage.AddScriptToEvaluateOnNewDocument, cdppage.AddScriptToEvaluateOnNewDocumentParams{Source: `document.addEventListener("DOMContentLoaded", () => document.querySelector('#oll-1 [name="recognise"][value="5"]')?.click())`})
	require.NoError(t, err)
	s.Follow(func() { s.Do(chromedp.Reload()) })
	waitSaid(s.Browser, "#oll-1", "waiting to be sent")
	const shown = `["recognise", "execute"].map(step => document.querySelector('#oll-1 [name="' + step + '"]:checked').value).join("")`
	assert.Equal(t, "53", script[string](t, s.Browser, shown))
	s.cut(false)
	waitSaid(s.Browser, "#oll-1", "saved")
	assert.Equal(t, "53", script[string](t, s.Browser, shown))
	s.Do(chromedp.Navigate(s.Home + "/patterns/1"))
	assert.Equal(t, "5 3", script[string](t, s.Browser, `document.querySelector('[name="was-recognise"]').value + " " + document.querySelector('[name="was-execute"]').value`))
	s.QuietButForCuts()
}

// How pages look is chosen without a network, too: the others that are kept look so.
func TestOfflineLook(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveToCut(t)
	s.Do(chromedp.Navigate(s.Home + "/profile"))
	s.Click(`[name="text"][value="big"]`)
	waitSaid(s.Browser, "[data-appearance]", "saved")
	s.readyForCuts(t, "/ratings")
	s.cut(true)
	s.WaitFor("#network-status", "Offline.")
	s.Click(`[name="theme"][value="dark"]`)
	s.Click(`[name="text"][value=""]`)
	s.WaitFor("[data-appearance] .said", "waiting to be sent")
	s.Do(chromedp.Navigate(s.Home + "/ratings"))
	s.until(t, `document.documentElement.dataset.theme === "dark" && !document.documentElement.dataset.text`, "the kept page looks as was chosen")
	s.cut(false)
	s.WaitUntil(`document.querySelector("#network-status").textContent.startsWith("The network is back.")`)
	s.Do(chromedp.Navigate(s.Home + "/help"))
	s.WaitUntil(`document.documentElement.dataset.theme === "dark" && !document.documentElement.dataset.text`)
	s.QuietButForCuts()
}

// What was not sent when the browser was ended is sent when it is started again.
func TestOfflineBrowserRestarted(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveToCut(t)
	s.Do(chromedp.Navigate(s.Home + "/ratings"))
	s.WaitFor("#rated", "0 of 58")
	s.Click(`#oll-1 [name="recognise"][value="3"]`)
	waitSaid(s.Browser, "#oll-1", "saved")
	s.readyForCuts(t, "/ratings")
	s.cut(true)
	s.Click(`#oll-2 [name="execute"][value="2"]`)
	s.WaitFor("#oll-2 .said", "waiting to be sent")
	s.Browser = s.Restarted()
	// The network stays away, of which the browser knows nothing.
	s.Do(chromedp.Navigate(s.Home + "/ratings"))
	s.WaitFor("#network-status", "Slotcast is not answering. What you see was loaded at")
	s.WaitFor("#oll-2 .said", "waiting to be sent")
	s.wire.cut(false)
	waitSaid(s.Browser, "#oll-2", "saved")
	s.Do(chromedp.Navigate(s.Home + "/patterns/2"))
	assert.Equal(t, "2", script[string](t, s.Browser, `document.querySelector('[name="was-execute"]').value`))
}

// tabletOf is another device with the browser's profile.
func (s *served) tabletOf(t *testing.T) *surfer {
	t.Helper()
	s.Do(chromedp.Navigate(s.Home + "/profile"))
	s.Follow(func() { s.Click(`form[action="/profile/device-link"] button`) })
	link, err := chromedp.Run(s.Context, chromedp.Value(chromedp.CSS("#device-link")))
	require.NoError(t, err)
	tablet := &surfer{Service: s.Service}
	require.Equal(t, http.StatusSeeOther, tablet.post(regexp.MustCompile(`/device/.*`).FindString(link)).Code)
	return tablet
}

// What another device said meanwhile stays, until the person decides.
func TestOfflineConflict(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveToCut(t)
	s.Do(chromedp.Navigate(s.Home + "/ratings"))
	s.Click(`#oll-1 [name="recognise"][value="3"]`)
	waitSaid(s.Browser, "#oll-1", "saved")
	tablet := s.tabletOf(t)
	s.Do(chromedp.Navigate(s.Home + "/ratings"))
	s.readyForCuts(t, "/ratings")
	s.cut(true)
	s.WaitFor("#network-status", "Offline.")
	for _, oll := range []int{1, 2, 3} {
		require.Equal(t, http.StatusNoContent, tablet.save(fmt.Sprintf("/ratings/%d", oll), "recognise", "4").Code)
		s.Click(fmt.Sprintf(`#oll-%d [name="recognise"][value="2"]`, oll))
		waitSaid(s.Browser, fmt.Sprintf("#oll-%d", oll), "waiting to be sent")
	}
	s.Click(`#oll-3 [name="execute"][value="5"]`)
	s.WaitFor("#network-status", "4 changes wait to be sent.")
	s.cut(false)
	s.WaitFor("#troubles", "OLL 3, recognise, was changed elsewhere meanwhile: kept 4 from there, yours was 2.")
	require.Eventually(t, func() bool { return strings.Contains(tablet.exported(t), `"execute": 5`) }, longest, 50*time.Millisecond, "what nobody else changed is saved")
	assert.Equal(t, 3, strings.Count(tablet.exported(t), `"recognise": 4`), "the tablet's stay")
	assert.Contains(t, s.Text("#oll-1 .said"), "not saved")

	// Mine for the first, theirs for the second; the third waits over a reload.
	s.Click(`#troubles .trouble:first-child button`)
	waitSaid(s.Browser, "#oll-1", "saved")
	s.until(t, `document.querySelectorAll(".trouble").length === 2`, "one is settled")
	s.Follow(func() { s.Click(`#troubles .trouble:first-child button + button`) })
	s.WaitFor("#troubles", "OLL 3")
	assert.Equal(t, 1, script[int](t, s.Browser, `document.querySelectorAll(".trouble").length`), "two are settled")
	file := tablet.exported(t)
	assert.Equal(t, 1, strings.Count(file, `"recognise": 2`))
	assert.Equal(t, 2, strings.Count(file, `"recognise": 4`))
	s.until(t, `document.querySelector('#oll-2 [name="recognise"]:checked').value === "4"`, "what is kept is shown")
	s.QuietButForCuts()
}

// An answer that got lost: the change is sent again, and counts once, even where
// something newer came between.
func TestOfflineAnswerLost(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveToCut(t)
	s.Do(chromedp.Navigate(s.Home + "/ratings"))
	s.Click(`#oll-1 [name="recognise"][value="3"]`)
	waitSaid(s.Browser, "#oll-1", "saved")
	tablet := s.tabletOf(t)
	s.Do(chromedp.Navigate(s.Home + "/ratings"))
	s.loseAnswers(true)
	s.Click(`#oll-1 [name="recognise"][value="1"]`)
	s.WaitFor("#oll-1 .said", "waiting to be sent")
	require.Contains(t, tablet.exported(t), `"recognise": 1`, "the service has it")
	require.Equal(t, http.StatusNoContent, tablet.save("/ratings/1", "recognise", "5").Code)
	before := len(s.sent())
	s.loseAnswers(false)
	waitSaid(s.Browser, "#oll-1", "saved")
	assert.Contains(t, tablet.exported(t), `"recognise": 5`)
	assert.Contains(t, s.sent()[before:], "/ratings/1", "it is tried again by itself")
	s.QuietButForCuts()
}

// Where the network is very slow, what is kept is shown for the time being, and says
// so; where it is not, what is shown comes from the service.
func TestOfflineSlowNetwork(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveToCut(t)
	s.Do(chromedp.Navigate(s.Home + "/ratings"))
	s.Click(`#oll-1 [name="recognise"][value="3"]`)
	waitSaid(s.Browser, "#oll-1", "saved")
	tablet := s.tabletOf(t)
	s.Do(chromedp.Navigate(s.Home + "/ratings"))
	s.readyForCuts(t, "/ratings")
	shown := func() string {
		return script[string](t, s.Browser, `document.querySelector('#oll-2 [name="recognise"]:checked').value`)
	}
	require.Equal(t, http.StatusNoContent, tablet.save("/ratings/2", "recognise", "4").Code)
	end := s.holdRatings(t)
	s.Do(chromedp.Navigate(s.Home + "/ratings"))
	s.WaitFor("#network-status", "What you see was loaded at ")
	assert.Empty(t, shown())
	end()
	s.WaitFor("#network-status", "The network is back.")
	s.loadAgain()
	assert.Empty(t, s.Text("#network-status"))
	assert.Equal(t, "4", shown(), "what the service has now")
	s.Quiet()
}

// Insertions are marked and timed without a network, too.
func TestOfflineMarks(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveToCut(t)
	s.Do(chromedp.Navigate(s.Home + "/insertions"))
	s.Write("#turns", "R U R'")
	s.Follow(func() { s.Click(`form.panel button[type="submit"]`) })
	s.WaitFor(".own-cards .tags", "known")
	s.Do(chromedp.Navigate(s.Home + "/insertions"))
	s.readyForCuts(t, "/insertions")
	s.cut(true)
	s.Do(chromedp.Navigate(s.Home + "/insertions"))
	s.WaitFor("#network-status", "Offline.")
	s.Write(`.time-form [name="seconds"]`, "1.3")
	s.Click(`.time-form button`)
	s.WaitFor("#toast", "“Save” is waiting to be sent.")
	s.Click(`.mark-row [name="hide"]`)
	s.WaitFor(".mark-row .said", "“Hide” is waiting to be sent")
	s.Do(chromedp.Reload())
	s.WaitFor(".mark-row .said", "“Hide” is waiting to be sent")
	assert.Equal(t, "1.3", script[string](t, s.Browser, `document.querySelector('.time-form [name="seconds"]').value`))
	s.cut(false)
	s.until(t, `/^The network is back\. What you see was loaded at \d\d:\d\d[^.]*\.$/.test(document.getElementById("network-status").textContent)`, "nothing waits any more")
	s.Do(chromedp.Navigate(s.Home + "/insertions"))
	s.WaitFor(".own-cards .tags", "hidden")
	assert.Equal(t, "1.3", script[string](t, s.Browser, `document.querySelector('.time-form [name="seconds"]').value`))
	s.QuietButForCuts()
}

// Without a network the pages say so, and what is left.
func TestOfflineSaysSo(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveToCut(t)
	s.Do(chromedp.Navigate(s.Home + "/"))
	s.WaitFor("#status", "An example")
	s.readyForCuts(t, "/", "/ratings")
	s.Do(chromedp.Navigate(s.Home + "/insertions/one?insertion=FR%20R%20U%20R'"))
	s.readyForCuts(t, "/insertions/one")
	s.Do(chromedp.Navigate(s.Home + "/"))
	s.WaitFor("#status", "An example")
	// What was looked up on the page at once, too, is kept in a moment.
	code := codes(5)[4]
	script[bool](t, s.Browser, fmt.Sprintf(`(document.getElementById("code").value = %q, document.getElementById("by-code").requestSubmit(), true)`, code))
	s.WaitFor("#status", code)
	s.readyForCuts(t, "/case/"+code)
	script[bool](t, s.Browser, `(document.getElementById("scramble").value = "R U R' U'", true)`)
	s.cut(true)
	s.WaitFor("#network-status", "Offline. Forecasts for new cases need the network.")
	assert.Equal(t, "status", script[string](t, s.Browser, `document.getElementById("network-status").getAttribute("role")`))
	assert.Equal(t, "A new case needs the network. Your last cases open without it.", s.Text("#paste .locked-note"))
	for _, fields := range []string{"#paste button", "#tap input:not([type=hidden])", "#by-code button"} {
		assert.Empty(t, script[string](t, s.Browser, fmt.Sprintf(`[...document.querySelectorAll(%q)].filter(f => !f.matches(":disabled")).map(f => f.outerHTML).join()`, fields)), fields)
	}
	assert.Equal(t, "R U R' U'", script[string](t, s.Browser, `document.getElementById("scramble").value`), "what was typed stays")

	// A page that is not there says what is.
	s.Do(chromedp.Navigate(s.Home + "/case/" + codes(3)[2]))
	s.WaitFor("h1", "Without a network")
	assert.Contains(t, s.Text("#answer"), "is not kept on this device")
	s.WaitFor("#kept-pages", "Ratings loaded at ")
	assert.False(t, script[bool](t, s.Browser, `document.querySelector(".why-unsent").checkVisibility()`))
	assert.Contains(t, s.Text("#kept-pages"), "Case "+code)
	assert.Contains(t, s.Text("#kept-pages"), "R U R' loaded at ", "a title as it reads")
	s.Do(chromedp.EmulateViewport(320, 640), chromedp.Evaluate[chromedp.Void](`document.documentElement.style.fontSize = "200%"`))
	assert.LessOrEqual(t, script[int](t, s.Browser, `document.getElementById("answer").scrollWidth`), 320, "narrow, with big text")
	s.Do(chromedp.EmulateViewport(390, 844), chromedp.Evaluate[chromedp.Void](`document.documentElement.style.fontSize = ""`))
	s.Follow(func() { s.Click(`#kept-pages a[href$="/ratings"]`) })
	s.WaitFor("#rated", "0 of 58")

	// A form that no script sends loses nothing either.
	s.Do(chromedp.Navigate(s.Home + "/insertions"))
	s.WaitFor("h1", "Your insertions")
	s.WaitFor("#network-status", "Offline")
	s.Write("#turns", "R U R'")
	s.Click(`form.panel button[type="submit"]`)
	s.WaitFor("#network-status", "Not sent: this needs the network. What you typed is still here.")
	assert.Equal(t, "R U R'", script[string](t, s.Browser, `document.getElementById("turns").value`))

	// The same where the browser learns of it only by sending.
	s.cut(false)
	s.Do(chromedp.Navigate(s.Home + "/insertions"))
	s.Write("#turns", "R U R'")
	s.wire.cut(true)
	s.Click(`form.panel button[type="submit"]`)
	s.WaitFor("h1", "Without a network")
	assert.True(t, script[bool](t, s.Browser, `document.querySelector(".why-unsent").checkVisibility()`))
	assert.Contains(t, s.Text("#answer"), "Nothing was sent")
	s.wire.cut(false)
	s.Do(chromedp.NavigateBack())
	s.WaitFor("h1", "Your insertions")
	s.WaitUntil(`document.getElementById("turns").value === "R U R'"`)

	s.Do(chromedp.Navigate(s.Home + "/"))
	s.WaitFor("#status", "An example")
	assert.Empty(t, s.Text("#network-status"))
	assert.False(t, script[bool](t, s.Browser, `document.querySelector("#paste button").disabled`))
	s.QuietButForCuts()
}

// The last 50 cases are kept, in however many views, and those that are wanted
// besides.
func TestOfflineKeepsTheLastFifty(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveToCut(t)
	all := codes(54)
	s.Do(chromedp.Navigate(s.Home + "/case/" + all[0]))
	s.readyForCuts(t, "/case/"+all[0])
	// The first is seen again after the second, and in another view. The third is one
	// of those that the person keeps.
	see := func(address string) {
		t.Helper()
		s.Do(chromedp.Navigate(s.Home + "/case/" + address))
		s.until(t, fmt.Sprintf(`await caches.match("/case/%s")`, address), "it is kept before the next")
	}
	see(all[1])
	see(all[0] + "?view=all")
	wanted, err := chromedp.Call(s.Context, cdppage.AddScriptToEvaluateOnNewDocument, cdppage.AddScriptToEvaluateOnNewDocumentParams{Source: fmt.Sprintf(`document.addEventListener("DOMContentLoaded", () => {
		const a = document.createElement("a");
		a.href = "/case/%s";
		a.dataset.keepOffline = "";
		document.querySelector("main").append(a);
	})`, all[2])})
	require.NoError(t, err)
	see(all[0] + "?view=known")
	s.readyForCuts(t, "/case/"+all[2])
	_, err = chromedp.Call(s.Context, cdppage.RemoveScriptToEvaluateOnNewDocument, cdppage.RemoveScriptToEvaluateOnNewDocumentParams(wanted))
	require.NoError(t, err)
	for _, code := range all[3:] {
		see(code)
	}
	last, err := json.Marshal(append([]string{all[2]}, all[4:]...))
	require.NoError(t, err)
	s.until(t, fmt.Sprintf(`await caches.open("pages-none").then(store => store.keys()).then(keys => {
		const kept = new Set(keys.map(k => new URL(k.url).pathname).filter(p => p.startsWith("/case/")).map(p => p.slice(6)));
		return kept.size === 51 && %s.every(code => kept.has(code));
	})`, last), "the last fifty and the wanted one")
	s.until(t, `(await navigator.storage.estimate()).usage < 5e6`, "packed, they take little room")
}

// A person's pages leave the device when they are told to.
func TestOfflinePagesAreForgotten(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveToCut(t)
	s.Do(chromedp.Navigate(s.Home + "/ratings"))
	s.Click(`#oll-1 [name="recognise"][value="3"]`)
	waitSaid(s.Browser, "#oll-1", "saved")
	s.Do(chromedp.Navigate(s.Home + "/ratings"))
	s.readyForCuts(t, "/ratings")
	s.until(t, own, "the person's pages are kept")
	s.Do(chromedp.Navigate(s.Home + "/profile"))
	s.WaitFor("#kept-count", "kept on this device")
	s.Click("#forget-kept")
	s.WaitFor("#kept-count", "Forgotten. No pages are kept")
	s.until(t, own+" === false", "forgotten")
	// What is on its way just then does not come back.
	end := s.holdRatings(t)
	s.Follow(func() { s.Do(chromedp.Reload()) })
	s.readyForCuts(t, "/")
	s.Click("#forget-kept")
	s.WaitFor("#kept-count", "Forgotten. No pages are kept")
	end()
	s.until(t, "(await new Promise(idle => requestIdleCallback(idle, {timeout: 1000})), "+own+") === false", "forgotten for good")
	s.Quiet()
}

// own says whether pages of somebody's profile are kept.
const own = `await caches.keys().then(names => names.some(n => n.startsWith("pages-") && n !== "pages-none"))`

// loadAgain presses what the banner offers when the network is back. For a moment it takes no
// taps, as they were on their way to what is under it.
func (s *served) loadAgain() {
	s.WaitUntil(`document.getElementById("network").getAnimations().length === 0`)
	s.Follow(func() { s.Click("#load-again") })
}

// serveRater shows the profile of somebody who has rated, with pages of it kept.
func serveRater(t *testing.T, pages ...string) *served {
	t.Helper()
	s := serveToCut(t)
	s.Do(chromedp.Navigate(s.Home + "/ratings"))
	s.Click(`#oll-1 [name="recognise"][value="3"]`)
	waitSaid(s.Browser, "#oll-1", "saved")
	s.Do(chromedp.Navigate(s.Home + "/profile"))
	s.until(t, fmt.Sprintf(`await caches.keys().then(async names => {
		const kept = names.filter(name => name.startsWith("pages-") && name !== "pages-none");
		if (!kept.length) return false;
		const keys = await (await caches.open(kept[0])).keys();
		return %s.every(page => keys.some(key => new URL(key.url).pathname === page));
	})`, jsonOf(t, pages)), "the person's pages are kept")
	return s
}

func jsonOf(t *testing.T, value any) string {
	t.Helper()
	written, err := json.Marshal(value)
	require.NoError(t, err)
	return string(written)
}

// With the profile its pages are gone before anything else is shown, also where all
// of them were kept just now, so that nothing new is asked for; and they do not come
// back without a network.
func TestOfflinePagesGoWithTheProfile(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveRater(t, "/", "/learn", "/ratings", "/insertions", "/cases", "/help", "/manual")
	s.Do(chromedp.Navigate(s.Home+"/case/"+codes(1)[0]), chromedp.Navigate(s.Home+"/profile"))
	s.Click(`[name="sure"]`)
	s.Follow(func() { s.Click(`form[action="/profile/delete"] button`) })
	kept, err := chromedp.Run(s.Context, chromedp.Evaluate[[]string](`caches.keys()`, chromedp.EvalAwaitPromise))
	require.NoError(t, err)
	for _, name := range kept {
		assert.Contains(t, []string{"files", "keeper", "pages-none"}, name, "gone at once")
	}
	s.WaitFor(".panel", "Nothing saved yet.")
	s.Quiet()
	s.cut(true)
	s.Do(chromedp.Evaluate[chromedp.Void](`setTimeout(() => history.go(-2))`))
	s.until(t, `location.pathname.startsWith("/case/") && document.documentElement.dataset.why === "missing"`, "the way back shows nothing either")
	for _, page := range []string{"/ratings", "/insertions", "/patterns/1"} {
		s.Do(chromedp.Navigate(s.Home + page))
		s.until(t, `document.documentElement.dataset.why === "missing" || (document.documentElement.dataset.loaded && !document.documentElement.dataset.owner)`, "nobody's page, or none")
	}
}

// Who takes another profile into the browser leaves nothing of the one before.
func TestOfflinePagesGoWithALeftProfile(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveRater(t, "/ratings")
	before := script[string](t, s.Browser, `document.documentElement.dataset.owner`)
	other := &surfer{Service: s.Service}
	require.Equal(t, http.StatusNoContent, other.save("/ratings/1", "recognise", "5").Code)
	link := regexp.MustCompile(`/device/[\w-]+`).FindString(other.post("/profile/device-link").Body.String())
	s.Do(chromedp.Navigate(s.Home + link))
	s.Follow(func() { s.Click(`form[action^="/device/"] button`) })
	assert.NotEqual(t, before, script[string](t, s.Browser, `document.documentElement.dataset.owner`))
	kept, err := chromedp.Run(s.Context, chromedp.Evaluate[[]string](`caches.keys()`, chromedp.EvalAwaitPromise))
	require.NoError(t, err)
	assert.NotContains(t, kept, "pages-"+before)
	s.Quiet()
}

// What is lost on the way of a deletion is only the answer: the pages go all the same.
func TestOfflinePagesGoWithALostAnswer(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveRater(t, "/ratings")
	s.loseAnswers(true)
	s.Click(`[name="sure"]`)
	s.Follow(func() { s.Click(`form[action="/profile/delete"] button`) })
	s.cut(true)
	s.Do(chromedp.Navigate(s.Home + "/ratings"))
	s.until(t, `document.documentElement.dataset.why === "missing"`, "nothing is shown")
}

// A page that was on its way when the profile went, from another tab, is not kept.
func TestOfflinePageComesAfterTheProfileWent(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveRater(t, "/")
	s.Click("#forget-kept")
	s.WaitFor("#kept-count", "Forgotten. No pages are kept")
	end := s.holdRatings(t)
	s.Follow(func() { s.Do(chromedp.Reload()) })
	require.Eventually(t, s.asked.Load, longest, 10*time.Millisecond, "the ratings are asked for")
	s.Click(`[name="sure"]`)
	s.Do(chromedp.Evaluate[chromedp.Void](`document.querySelector('form[action="/profile/delete"]').target = "_blank"`))
	s.Click(`form[action="/profile/delete"] button`)
	// Asked before it is gone the profile's page may be an error, which the browser logs.
	s.until(t, own+" === false", "gone with the profile")
	s.until(t, `(await (await fetch("/profile")).text()).includes("Nothing saved yet.")`, "deleted")
	end()
	s.until(t, `await caches.match("/insertions")`, "what is kept after the ratings is kept")
	s.until(t, own+" === false", "what came late is not kept")
	s.Quiet()
}

// manifestOf is the manifest as a device reads it.
type manifestOf struct {
	ID, Name, Lang, Display, Scope string
	StartURL                       string `json:"start_url"`
	ShortName                      string `json:"short_name"`
	ThemeColor                     string `json:"theme_color"`
	BackgroundColor                string `json:"background_color"`
	Icons                          []struct{ Src, Sizes, Type, Purpose string }
	Shortcuts                      []struct{ Name, URL string }
}

// By the members of the W3C's Web Application Manifest, and by what Chromium needs
// to install it.
func TestInstallable(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveToCut(t)
	a := s.Ask("GET", "/manifest.webmanifest", "", "")
	require.Equal(t, http.StatusOK, a.Code)
	assert.Equal(t, "application/manifest+json", a.Header().Get("Content-Type"))
	var m manifestOf
	require.NoError(t, json.Unmarshal(a.Body.Bytes(), &m))
	assert.Equal(t, "Slotcast", m.Name)
	assert.Equal(t, [3]string{"/", "/", "standalone"}, [3]string{m.StartURL, m.Scope, m.Display})
	purposes := map[string]bool{}
	for _, icon := range m.Icons {
		purposes[icon.Sizes+" "+icon.Purpose] = true
		file := s.Ask("GET", icon.Src, "", "")
		require.Equal(t, http.StatusOK, file.Code, icon.Src)
		assert.Equal(t, icon.Type, file.Header().Get("Content-Type"))
		if icon.Type == "image/png" {
			picture, err := png.Decode(file.Body)
			require.NoError(t, err)
			assert.Equal(t, icon.Sizes, fmt.Sprintf("%dx%d", picture.Bounds().Dx(), picture.Bounds().Dy()))
			_, _, _, corner := picture.At(0, 0).RGBA()
			assert.Equal(t, icon.Purpose == "maskable", corner == 0xffff, "%s: the ground fills an icon whose edge may be cut off", icon.Src)
		}
	}
	for _, needed := range []string{"any any", "192x192 any", "512x512 any", "192x192 maskable", "512x512 maskable"} {
		assert.True(t, purposes[needed], needed)
	}
	assert.Len(t, m.Shortcuts, 3)

	s.Do(chromedp.Navigate(s.Home + "/"))
	s.readyForCuts(t, "/ratings")
	read, err := chromedp.Call(s.Context, cdppage.GetAppManifest, cdppage.GetAppManifestParams{})
	require.NoError(t, err)
	assert.Equal(t, s.Home+"/manifest.webmanifest", read.URL)
	assert.Empty(t, read.Errors)
	s.Quiet()
}

// The drawn icons are those that the browser makes of the SVG file, and what may
// be cut off of a maskable one is ground alone.
func TestDrawnIcons(t *testing.T) {
	t.Parallel()
	s := serveToCut(t)
	drawn := func(name string) image.Image {
		t.Helper()
		address := regexp.MustCompile(`/static/` + name + `-[0-9a-f]+\.png`).FindString(s.Ask("GET", "/manifest.webmanifest", "", "").Body.String())
		picture, err := png.Decode(s.Ask("GET", address, "", "").Body)
		require.NoError(t, err)
		return picture
	}
	svg := regexp.MustCompile(`/static/icon-[0-9a-f]+\.svg`).FindString(s.Ask("GET", "/", "", "").Body.String())
	s.Do(chromedp.EmulateViewport(192, 192), chromedp.Navigate(s.Home+svg))
	shot, err := chromedp.Run(s.Context, chromedp.CaptureScreenshot())
	require.NoError(t, err)
	browsers, err := png.Decode(bytes.NewReader(shot))
	require.NoError(t, err)
	ours := drawn("icon-192")
	require.Equal(t, ours.Bounds(), browsers.Bounds())
	// Both smooth edges in their own way; a shape that is a pixel off shows.
	different := 0
	for y := range 192 {
		for x := range 192 {
			r, g, b, a := ours.At(x, y).RGBA()
			white := 0xffff - a // the browser's page lies under it
			br, bg, bb, _ := browsers.At(x, y).RGBA()
			for _, d := range [...][2]uint32{{r + white, br}, {g + white, bg}, {b + white, bb}} {
				if max(d[0], d[1])-min(d[0], d[1]) > 0x5000 {
					different++
					break
				}
			}
		}
	}
	assert.Less(t, different, 20, "but for a few pixels at corners")

	maskable := drawn("icon-maskable-512")
	ground := maskable.At(0, 0)
	for y := range 512 {
		for x := range 512 {
			dx, dy := float64(x)-255.5, float64(y)-255.5
			if dx*dx+dy*dy > 0.16*512*512 && maskable.At(x, y) != ground {
				t.Fatalf("at %d, %d something may be cut off", x, y)
			}
		}
	}
}

func TestWorkerFile(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	a := s.Ask("GET", "/worker.js", "", "")
	require.Equal(t, http.StatusOK, a.Code)
	assert.Contains(t, a.Header().Get("Content-Type"), "text/javascript")
	assert.Contains(t, a.Header().Get("Cache-Control"), "no-cache", "a new one is found at once")
	var files []string
	list, _, ok := strings.Cut(strings.TrimPrefix(a.Body.String(), "self.pageFiles="), ";\n")
	require.True(t, ok)
	require.NoError(t, json.Unmarshal([]byte(list), &files))
	page := s.Ask("GET", "/offline", "", "").Body.String()
	for _, file := range files {
		assert.Equal(t, http.StatusOK, s.Ask("GET", file, "", "").Code, file)
		assert.Contains(t, page, file, "the page that stands in for others has no other files")
	}
	assert.Len(t, files, 3)
}

// At most 60 KB of script and style in all, packed (a goal of this project's own).
func TestScriptStyleAndWorkerAreSmall(t *testing.T) {
	t.Parallel()
	s := site.New(t)
	var packed bytes.Buffer
	page := s.Ask("GET", "/", "", "").Body.String()
	files := append(regexp.MustCompile(`/static/[\w.-]+\.(?:js|css)`).FindAllString(page, -1), "/worker.js")
	require.Len(t, files, 3)
	for _, file := range files {
		w := gzip.NewWriter(&packed)
		_, err := w.Write(s.Ask("GET", file, "", "").Body.Bytes())
		require.NoError(t, err)
		require.NoError(t, w.Close())
		r := httptest.NewRequest(http.MethodGet, file, nil)
		r.Header.Set("Accept-Encoding", "gzip")
		assert.Equal(t, "gzip", s.Answer(r).Header().Get("Content-Encoding"), "%s travels packed", file)
	}
	t.Logf("%d bytes", packed.Len())
	assert.LessOrEqual(t, packed.Len(), 60_000)
}

// What a finger is on its way to stays where it is while the banner comes and goes, at the top
// of a page and further down; a page that is opened without a network begins at its top.
func TestOfflineBannerMovesNothing(t *testing.T) {
	webtest.Long(t)
	t.Parallel()
	s := serveToCut(t)
	s.Do(chromedp.EmulateViewport(390, 664), chromedp.Navigate(s.Home+"/ratings"))
	s.readyForCuts(t, "/ratings")
	const banner = `document.getElementById("network").offsetHeight`
	for _, at := range []struct {
		page     string
		scrolled int
	}{{"/ratings", 0}, {"/ratings", 30}, {"/ratings", 700}, {"/", 0}, {"/", 200}} {
		s.Do(chromedp.Navigate(s.Home + at.page))
		s.WaitUntil(`document.readyState === "complete"`)
		s.Do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`
			scrollTo({top: %d, behavior: "instant"});
			window.touched = [...document.querySelectorAll("main a, main button, main h2, main summary")].find(e => e.checkVisibility() && e.getBoundingClientRect().top > 330)`, at.scrolled)))
		require.Equal(t, 0, script[int](t, s.Browser, banner))
		before := script[float64](t, s.Browser, `touched.getBoundingClientRect().top`)
		require.Equal(t, at.scrolled, script[int](t, s.Browser, `Math.round(scrollY)`))
		s.cut(true)
		s.WaitFor("#network-status", "Offline. ")
		require.Positive(t, script[int](t, s.Browser, banner))
		assert.InDelta(t, before, script[float64](t, s.Browser, `touched.getBoundingClientRect().top`), 1, "offline: %v", at)
		assert.True(t, script[bool](t, s.Browser, `(box => box.top >= 0 && box.bottom <= innerHeight)(document.getElementById("network-status").getBoundingClientRect())`), "it is seen at once: %v", at)
		s.cut(false)
		s.WaitUntil(`document.getElementById("network-status").textContent === ""`)
		assert.InDelta(t, before, script[float64](t, s.Browser, `touched.getBoundingClientRect().top`), 1, "with a network again: %v", at)
	}
	s.cut(true)
	s.Do(chromedp.Navigate(s.Home + "/ratings"))
	s.WaitFor("#network-status", "Offline. ")
	assert.Zero(t, script[int](t, s.Browser, `Math.round(scrollY)`))
}
