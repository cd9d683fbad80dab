package provider

import (
	"bytes"
	_ "embed"
	"html/template"
	"net/http"
	"net/url"
	"strings"
	"time"

	"lathmark/web"
)

//go:embed page.html
var text string

var page = template.Must(template.New("page").Parse(text))

// view is what the page shows: accounts to choose from, or the current one.
type view struct {
	Style, Request string
	People         []Person
	You            string // the current account's name; "": none
	Gone           bool   // just signed out
	Home           string
}

// cookieName is the name of the cookie that holds the browser's session here.
const cookieName = "account"

// draw answers with the page.
func (p *Provider) draw(w http.ResponseWriter, v view) {
	for at := range web.Assets {
		if strings.HasPrefix(at, "/static/sheet.") && strings.HasSuffix(at, ".css") {
			v.Style = at
		}
	}
	v.Home = p.Client.Home
	var b bytes.Buffer
	if err := page.Execute(&b, v); err != nil {
		http.Error(w, "The page cannot be drawn.", http.StatusInternalServerError)
		return
	}
	h := w.Header()
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Content-Security-Policy", "default-src 'none'; style-src 'self'; form-action 'self' "+origin(p.Client.Back)+
		"; base-uri 'none'; frame-ancestors 'none'")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Cache-Control", "no-store")
	_, _ = w.Write(b.Bytes()) // the browser has gone
}

func origin(address string) string {
	at, err := url.Parse(address)
	if err != nil {
		return ""
	}
	return at.Scheme + "://" + at.Host
}

// file serves the style of the page.
func file(w http.ResponseWriter, r *http.Request) {
	asset, ok := web.Assets[r.URL.Path]
	if !ok {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Content-Type", asset.Type)
	_, _ = w.Write(asset.Data) // the browser has gone
}

// here returns the browser's session.
func (p *Provider) here(r *http.Request) (s session, cookie string) {
	c, err := r.Cookie(cookieName)
	if err != nil {
		return session{}, ""
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.sessions[c.Value], c.Value
}

// who shows the accounts to choose from if a client asks, or else the current
// one.
func (p *Provider) who(w http.ResponseWriter, r *http.Request) {
	v := view{Request: r.URL.Query().Get("request")}
	if v.Request == "" {
		s, _ := p.here(r)
		if one, err := p.find(r.Context(), s.subject); err == nil {
			v.You = one.Name
		}
		p.draw(w, v)
		return
	}
	var err error
	if v.People, err = p.People(r.Context()); err != nil {
		http.Error(w, "The people cannot be read.", http.StatusInternalServerError)
		return
	}
	p.draw(w, v)
}

// choose signs in the chosen account and continues the request.
func (p *Provider) choose(w http.ResponseWriter, r *http.Request) {
	one, err := p.find(r.Context(), r.PostFormValue("person"))
	if err != nil || p.form.Check(r) != nil {
		http.Error(w, "Go back and choose a person.", http.StatusBadRequest)
		return
	}
	s, cookie := p.here(r)
	p.mu.Lock()
	asked := p.requests[r.PostFormValue("request")]
	if asked == nil || asked.Done() {
		p.mu.Unlock()
		http.Error(w, "That took too long. Start again.", http.StatusBadRequest)
		return
	}
	delete(p.sessions, cookie)
	if s.subject != one.Subject {
		s = session{one.Subject, random()}
	}
	cookie = random()
	p.sessions[cookie] = s
	asked.session, asked.at = s, time.Now()
	p.mu.Unlock()
	http.SetCookie(w, p.cookie(cookie, 0))
	http.Redirect(w, r, "/authorize/callback?id="+url.QueryEscape(asked.id), http.StatusSeeOther)
}

func (p *Provider) cookie(value string, age int) *http.Cookie {
	return &http.Cookie{Name: cookieName, Value: value, Path: "/", MaxAge: age, HttpOnly: true,
		Secure: strings.HasPrefix(p.Issuer, "https://"), SameSite: http.SameSiteLaxMode}
}

// signOut ends the session here, and notifies the client.
func (p *Provider) signOut(w http.ResponseWriter, r *http.Request) {
	if p.form.Check(r) != nil {
		http.Error(w, "This form came from another website.", http.StatusForbidden)
		return
	}
	s, cookie := p.here(r)
	if s.subject != "" {
		if err := p.notifyLogout(r.Context(), s); err != nil {
			http.Error(w, "Lathmark could not be told. Try again.", http.StatusBadGateway)
			return
		}
	}
	p.mu.Lock()
	delete(p.sessions, cookie)
	p.mu.Unlock()
	http.SetCookie(w, p.cookie("", -1))
	p.draw(w, view{Gone: true})
}
