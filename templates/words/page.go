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

// Page translates the texts of an HTML page, or of a piece of one, and says in
// it which language it is in. What people typed is translated only where it is
// a phrase of the catalogue, word for word.
func (c *Catalogue) Page(page []byte) []byte {
	var out bytes.Buffer
	tokens := html.NewTokenizer(bytes.NewReader(page))
	silent := false // within a script or a style
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
			if !silent {
				raw = c.textToken(raw)
			}
		case html.StartTagToken, html.SelfClosingTagToken:
			token := tokens.Token()
			silent = token.Data == "script" || token.Data == "style"
			if c.attributes(&token) {
				raw = []byte(token.String())
			}
		case html.EndTagToken:
			silent = false
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
