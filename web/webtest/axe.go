package webtest

import (
	_ "embed"
	"strings"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

//go:embed axe.min.js
var axe string

// Violation is a rule of axe-core that the page breaks, and where.
type Violation struct {
	Rule, Help string
	// Places has a selector for each element, and what would mend it.
	Places []string
}

func (v Violation) String() string {
	return v.Rule + ": " + v.Help + "\n\t" + strings.Join(v.Places, "\n\t")
}

// Violations are what axe-core finds wrong with the page as it is shown now: the
// rules of WCAG 2.2 up to AA and those that it calls best practices.
func (b *Browser) Violations() []Violation {
	b.t.Helper()
	// The tools run it, so the page's own policy stays as it is.
	loaded, err := chromedp.Run(b.Context, chromedp.Evaluate[bool](`"axe" in window`))
	require.NoError(b.t, err)
	if !loaded {
		b.Do(chromedp.Evaluate[chromedp.Void](axe))
	}
	found, err := chromedp.Run(b.Context, chromedp.Evaluate[[]Violation](`axe.run(document, {
		resultTypes: ["violations"],
		rules: {"target-size": {enabled: true}},
	}).then(found => found.violations.map(v => ({
		Rule: v.id,
		Help: v.help,
		Places: v.nodes.map(n => n.target.join(" ") + " " + n.failureSummary.replace(/\s+/g, " ")),
	})))`, chromedp.EvalAwaitPromise))
	require.NoError(b.t, err)
	return found
}
