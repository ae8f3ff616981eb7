package words

import (
	"bytes"
	"encoding/json"
	"io"
	"regexp"

	"golang.org/x/net/html"
)

// spoken are the attributes that a person reads or hears.
var spoken = map[string]bool{
	"aria-label": true, "title": true, "placeholder": true, "alt": true,
	"data-name": true, "data-sure": true, "data-hint": true, "data-elsewhere": true,
}

// raws are the elements whose content is no text of the page.
var raws = map[string]bool{"script": true, "style": true, "textarea": true}

// void are the elements without an end (HTML, 13.1.2).
var void = map[string]bool{
	"area": true, "base": true, "br": true, "col": true, "embed": true, "hr": true, "img": true, "input": true,
	"link": true, "meta": true, "source": true, "track": true, "wbr": true,
}

// within is an element that says something of the texts in it: that people typed
// them, or in which context they stand.
type within struct {
	typed   bool
	context string
	open    int // elements in it that are open, and itself
}

// surroundings are such elements, each in the one before.
type surroundings []within

// innermost is what holds for a text that comes next.
func (s surroundings) innermost() within {
	if len(s) == 0 {
		return within{}
	}
	return s[len(s)-1]
}

// with is what holds for an element and its attributes, and whether it says so itself.
func (s surroundings) with(token html.Token) (holds within, itself bool) {
	holds = s.innermost()
	for _, a := range token.Attr {
		switch {
		case a.Key == "translate" && a.Val == "no":
			holds.typed, itself = true, true
		case a.Key == "data-context":
			holds.context, itself = a.Val, true
		}
	}
	holds.open = 1
	return holds, itself
}

// began notes that an element began.
func (s surroundings) began(token html.Token) surroundings {
	if void[token.Data] {
		return s
	}
	if holds, itself := s.with(token); itself {
		return append(s, holds)
	}
	if len(s) > 0 {
		s[len(s)-1].open++
	}
	return s
}

// ended notes that an element ended.
func (s surroundings) ended() surroundings {
	n := len(s) - 1
	if n < 0 {
		return s
	}
	if s[n].open--; s[n].open == 0 {
		return s[:n]
	}
	return s
}

// Page translates the texts of an HTML page, or of a piece of one, and says in
// it which language it is in. What people typed is left as it is: what stands in a
// textarea, in an element that the page marks translate="no" as HTML has it, and what
// is Typed. A text in an element with data-context is looked up in that context (the
// msgctxt of the catalogue) before it is without.
func (c *Catalogue) Page(page []byte) []byte {
	var out bytes.Buffer
	tokens := html.NewTokenizer(bytes.NewReader(page))
	silent := "" // the script, style or textarea that is gone through
	var around surroundings
	for {
		kind := tokens.Next()
		if kind == html.ErrorToken {
			if tokens.Err() != io.EOF { // not HTML after all: leave it
				return page
			}
			return out.Bytes()
		}
		raw := bytes.Clone(tokens.Raw())
		switch kind {
		case html.TextToken:
			if now := around.innermost(); silent == "" && !now.typed {
				raw = c.textToken(now.context, raw)
			}
		case html.StartTagToken, html.SelfClosingTagToken:
			token := tokens.Token()
			if raws[token.Data] {
				silent = token.Data
			}
			if holds, _ := around.with(token); !holds.typed && c.attributes(holds.context, &token) {
				raw = []byte(token.String())
			}
			if kind == html.StartTagToken {
				around = around.began(token)
			}
		case html.EndTagToken:
			silent = ""
			around = around.ended()
		}
		out.Write(raw)
	}
}

func (c *Catalogue) textToken(context string, raw []byte) []byte {
	text := html.UnescapeString(string(raw))
	if translated := c.in(context, text); translated != text {
		return []byte(html.EscapeString(translated))
	}
	return raw
}

// attributes translates what is spoken of a tag and reports whether anything
// changed.
func (c *Catalogue) attributes(context string, token *html.Token) (changed bool) {
	for i, a := range token.Attr {
		now := a.Val
		switch {
		case token.Data == "html" && a.Key == "lang":
			now = c.Language
		case spoken[a.Key]:
			now = c.in(context, a.Val)
		}
		if now != a.Val {
			token.Attr[i].Val, changed = now, true
		}
	}
	return changed
}

// jsonText is a field of JSON that a script shows to a person.
var jsonText = regexp.MustCompile(`("(?:message|confirm|advice|words)":\s*)("(?:[^"\\]|\\.)*")`)

// JSON translates the fields of a JSON value that a script of a page shows.
func (c *Catalogue) JSON(body []byte) []byte {
	return jsonText.ReplaceAllFunc(body, func(found []byte) []byte {
		groups := jsonText.FindSubmatch(found)
		var text string
		if json.Unmarshal(groups[2], &text) != nil {
			return found
		}
		translated := c.Text(text)
		if translated == text {
			return found
		}
		var quoted bytes.Buffer
		encoder := json.NewEncoder(&quoted)
		encoder.SetEscapeHTML(false)
		if encoder.Encode(translated) != nil {
			return found
		}
		return append(groups[1], bytes.TrimSpace(quoted.Bytes())...)
	})
}
