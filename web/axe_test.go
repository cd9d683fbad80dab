package web

import (
	"context"
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// axeFile is axe-core, which npm installs for the tests only.
const axeFile = "node_modules/axe-core/axe.min.js"

// axeRules selects the rules of WCAG 2.0 to 2.2 at A and AA; target-size is that
// of 2.5.8.
const axeRules = `{runOnly: {type: "tag", values: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]},
	rules: {"target-size": {enabled: true}}, resultTypes: ["violations"]}`

// axeColours selects those of them that are about colours: by night nothing else is
// another. Contrast is isMadeForTheHand's, which wants more of it and asks by night, too;
// it is axe's slowest rule.
const axeColours = `{runOnly: {type: "rule", values: ["link-in-text-block"]}, resultTypes: ["violations"]}`

// axe returns axe-core's source.
func axe(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile(axeFile)
	if err != nil {
		t.Fatalf("%v: make script installs it", err)
	}
	return string(text)
}

// violation is a rule that a page breaks, as axe-core reports it.
type violation struct {
	ID, Help string
	Nodes    []struct {
		Target  []json.RawMessage
		Summary string `json:"failureSummary"`
	}
}

// violations runs axe-core over the page that is shown. Its scripts are
// injected by the developer tools, which the page's policy does not bind.
func violations(ctx context.Context, axe, rules string) ([]violation, error) {
	loaded, err := chromedp.Run(ctx, chromedp.Evaluate[bool](`typeof window.axe === "object"`))
	if err != nil {
		return nil, err
	}
	if !loaded {
		if _, err = chromedp.Run(ctx, chromedp.Evaluate[bool](axe+"\n;true")); err != nil {
			return nil, err
		}
	}
	return chromedp.Run(ctx, chromedp.Evaluate[[]violation](`axe.run(document, `+rules+`).then(r => r.violations)`,
		chromedp.EvalAwaitPromise))
}

// axeFindsNothing: axe-core finds no violation of WCAG 2.2 AA on the page, by
// day and by night.
func axeFindsNothing(t *testing.T, ctx context.Context, script string) {
	t.Helper()
	for dark, rules := range map[bool]string{false: axeRules, true: axeColours} {
		if err := chromedp.Do(ctx, night(dark)); err != nil {
			t.Fatal(err)
		}
		found, err := violations(ctx, script, rules)
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range found {
			for _, n := range v.Nodes {
				t.Errorf("dark %v: %s (%s) at %s: %s", dark, v.ID, v.Help, n.Target,
					strings.Join(strings.Fields(n.Summary), " "))
			}
		}
	}
}

// TestAxeSees: axe-core runs and finds what is wrong with a page.
func TestAxeSees(t *testing.T) {
	ctx, script := browser(t), axe(t)
	if err := chromedp.Do(ctx, chromedp.Navigate(
		`data:text/html,<title>t</title><html lang="en"><input name="x"><p style="color:silver">Pale</p>`+
			`<a href="/a" style="font-size:8px">A</a> <a href="/b" style="font-size:8px">B</a>`)); err != nil {
		t.Fatal(err)
	}
	found, err := violations(ctx, script, axeRules)
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]bool{}
	for _, v := range found {
		got[v.ID] = true
	}
	for _, want := range []string{"label", "color-contrast"} {
		if !got[want] {
			t.Errorf("it does not find %s: %v", want, got)
		}
	}
}
