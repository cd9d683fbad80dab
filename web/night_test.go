package web

import (
	"context"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// night makes the browser ask for the dark sheet, or for the light one.
func night(dark bool) chromedp.Action[chromedp.Void] {
	scheme := "light"
	if dark {
		scheme = "dark"
	}
	return media(emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
}

// paper makes the browser show the page as it is printed, until night is done.
func paper() chromedp.Action[chromedp.Void] {
	return media(emulation.SetEmulatedMediaParams{Media: "print"})
}

func media(of emulation.SetEmulatedMediaParams) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, of)
		return err
	})
}
