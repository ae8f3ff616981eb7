package words

import (
	"bytes"
	"encoding/json"
	"io"
	"regexp"
	"slices"

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

// isTyped reports whether an element is marked as what people typed.
func isTyped(token html.Token) bool {
	return slices.ContainsFunc(token.Attr, func(a html.Attribute) bool { return a.Key == "translate" && a.Val == "no" })
}

// Page translates the texts of an HTML page, or of a piece of one, and says in
// it which language it is in. What people typed is left as it is: what stands in a
// textarea, and in an element that the page marks translate="no" as HTML has it.
func (c *Catalogue) Page(page []byte) []byte {
	var out bytes.Buffer
	tokens := html.NewTokenizer(bytes.NewReader(page))
	silent := "" // the script, style or textarea that is gone through
	typed := 0   // how deep within an element that is not translated
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
			if silent == "" && typed == 0 {
				raw = c.textToken(raw)
			}
		case html.StartTagToken, html.SelfClosingTagToken:
			token := tokens.Token()
			if raws[token.Data] {
				silent = token.Data
			}
			if kind == html.StartTagToken && !void[token.Data] && (typed > 0 || isTyped(token)) {
				typed++
			}
			if typed == 0 && c.attributes(&token) {
				raw = []byte(token.String())
			}
		case html.EndTagToken:
			silent = ""
			typed = max(0, typed-1)
		}
		out.Write(raw)
	}
}

func (c *Catalogue) textToken(raw []byte) []byte {
	text := html.UnescapeString(string(raw))
	if translated := c.Text(text); translated != text {
		return []byte(html.EscapeString(translated))
	}
	return raw
}

// attributes translates what is spoken of a tag and reports whether anything
// changed.
func (c *Catalogue) attributes(token *html.Token) (changed bool) {
	for i, a := range token.Attr {
		now := a.Val
		switch {
		case token.Data == "html" && a.Key == "lang":
			now = c.Language
		case spoken[a.Key]:
			now = c.Text(a.Val)
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
