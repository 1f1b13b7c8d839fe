package page_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest/site"
)

// From the last tap to the answer that can be read: what a person waits. The wait is
// the browser's own measure, in milliseconds, also with the CPU slowed four times.
func BenchmarkTapToAnswer(b *testing.B) {
	for _, slowed := range []float64{1, 4} {
		b.Run(fmt.Sprintf("slowed %.0f times", slowed), func(b *testing.B) {
			s := browse(b)
			s.Do(chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch), chromedp.Navigate(s.Home+"/?case="+site.TappedCode(b)))
			s.WaitFor("#status", "Case "+site.TappedCode(b))
			// A tap's own time is that of its event; the answer can be read once the frame
			// that has it is made.
			script[string](b, s, `
				window.waits = [];
				let from = 0;
				document.getElementById("tap").addEventListener("change", (e) => { from = e.timeStamp; }, true);
				new MutationObserver(() => requestAnimationFrame(() => { if (from) { waits.push(performance.now() - from); from = 0; } }))
					.observe(document.getElementById("answer"), { childList: true });
				"ready"`)
			_, err := chromedp.Call(s.Context, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: slowed})
			require.NoError(b, err)
			var waited float64
			taps := 0
			for b.Loop() {
				s.Click(`input[name="UL"][value="L"]`)
				taps++
				require.Eventually(b, func() bool { return script[int](b, s, `waits.length`) > 0 }, time.Minute, 5*time.Millisecond)
				waited += script[[]float64](b, s, `waits.splice(0)`)[0]
			}
			b.ReportMetric(waited/float64(taps), "ms/tap")
			s.Quiet()
		})
	}
}

// A shared link on a slow network, with nothing in the browser's cache: when its page
// is first painted, in milliseconds.
func BenchmarkFirstPaintOfASharedLink(b *testing.B) {
	s, home := serve(b)
	code := s.SampleCode(b)
	var painted float64
	links := 0
	for b.Loop() {
		painted += openedSlowly(b, home, code).Painted
		links++
	}
	b.ReportMetric(painted/float64(links), "ms/link")
}
