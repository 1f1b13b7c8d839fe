package webtest

import (
	"encoding/json"
	"errors"
	"strings"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"
)

// Focus is where the keyboard is on a page.
type Focus struct {
	// Role and Name are what a screen reader is told.
	Role, Name string
	// Element is the beginning of the element's HTML.
	Element string
	// Page says that the focus is on nothing but the page.
	Page bool
	// Marked says that an outline shows where it is, InView that its middle is on
	// the screen with nothing above it.
	Marked, InView bool
	// Later says that it comes after the element that had it before, in the
	// document; SamePart that both are in the same part of the page, whose order on
	// the screen is that of reading. In a figure there is none.
	Later, SamePart bool
	Box             struct{ Left, Top, Right, Bottom float64 }
}

const focusScript = `(() => {
	const e = document.activeElement;
	const before = window.focusBefore;
	window.focusBefore = e;
	const box = e.getBoundingClientRect();
	const line = e.getClientRects()[0] ?? box; // the first of a link that goes over two lines
	const part = x => x.closest("header, nav, main, section, article, form, details, ol, ul, footer");
	const outlined = x => {
		const style = getComputedStyle(x);
		return style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2;
	};
	const hit = document.elementFromPoint(line.left + Math.min(line.width, innerWidth) / 2, line.top + Math.min(line.height, innerHeight) / 2);
	return {
		Element: e.outerHTML.slice(0, 100),
		Page: e === document.body || e === document.documentElement,
		Marked: [e, e.nextElementSibling, e.closest("label"), e.closest(".figure")].some(x => x && outlined(x)),
		InView: !!hit && (e.contains(hit) || hit.closest("label")?.control === e || hit.contains(e) && !!hit.closest("label")),
		Later: !before?.isConnected || !!(before.compareDocumentPosition(e) & Node.DOCUMENT_POSITION_FOLLOWING),
		SamePart: !!before && part(before) === part(e) && !e.closest("[role=group]"),
		Box: {Left: box.left, Top: box.top + scrollY, Right: box.right, Bottom: box.bottom + scrollY},
	};
})()`

// Focused is where the keyboard is now.
func (b *Browser) Focused() Focus {
	b.t.Helper()
	var f Focus
	b.eventually(func() (_ bool, err error) {
		// While another page takes the place of this one there is no focus.
		f, err = b.focused()
		return true, err
	}, func(err error) { require.NoError(b.t, err) })
	return f
}

func (b *Browser) focused() (Focus, error) {
	f, err := chromedp.Run(b.Context, chromedp.Evaluate[Focus](focusScript))
	if err != nil {
		return f, err
	}
	element, err := chromedp.Run(b.Context, chromedp.Evaluate[*runtime.RemoteObject](`document.activeElement`))
	if err != nil {
		return f, err
	}
	relatives := false
	told, err := chromedp.Call(b.Context, accessibility.GetPartialAXTree, accessibility.GetPartialAXTreeParams{ObjectID: element.ObjectID, FetchRelatives: &relatives})
	if err != nil {
		return f, err
	}
	if len(told.Nodes) == 0 {
		return f, errors.New("nothing is told of what has the focus")
	}
	f.Role, f.Name = said(told.Nodes[0].Role), said(told.Nodes[0].Name)
	_, err = chromedp.Call(b.Context, runtime.ReleaseObject, runtime.ReleaseObjectParams{ObjectID: element.ObjectID})
	return f, err
}

func said(v *accessibility.Value) string {
	var words string
	if v == nil || json.Unmarshal(v.Value, &words) != nil {
		return ""
	}
	return strings.Join(strings.Fields(words), " ")
}

// Press presses the keys one after the other; see package kb.
func (b *Browser) Press(keys ...string) {
	b.t.Helper()
	for _, key := range keys {
		b.Do(chromedp.KeyEvent(key))
	}
}

// Tab presses the tabulator, and says where the keyboard is then.
func (b *Browser) Tab() Focus {
	b.t.Helper()
	b.Press(kb.Tab)
	return b.Focused()
}

// mostStops is more than any page has.
const mostStops = 1000

// TabTo presses the tabulator until what has the role, and a name that begins so,
// has the keyboard; from the end of the page it goes on at its start.
func (b *Browser) TabTo(role, name string) Focus {
	b.t.Helper()
	var stops []string
	ends := 0
	for range mostStops {
		f := b.Tab()
		if f.Role == role && strings.HasPrefix(f.Name, name) {
			require.True(b.t, f.Marked, "nothing shows that %s %q has the keyboard", role, name)
			return f
		}
		stops = append(stops, f.Role+" "+f.Name)
		if f.Page {
			ends++
		}
		if ends == 2 {
			break
		}
	}
	b.t.Fatalf("the tabulator never led to %s %q, but to:\n%s", role, name, strings.Join(stops, "\n"))
	return Focus{}
}
