package server_test

import (
	"fmt"
	"os"
	"regexp"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"brakeside/server"
	"brakeside/server/internal/shoptest"
	"brakeside/templates/words"
)

// marked is a language that says what the English says, between two marks, and
// further texts between two others.
func marked(t testing.TB, more ...string) *words.Catalogue {
	t.Helper()
	english, err := os.ReadFile("../templates/words/english.pot")
	if err != nil {
		t.Fatal(err)
	}
	entry := regexp.MustCompile(`(?m)^msgid "(.+)"\nmsgstr ""$`)
	text := entry.ReplaceAllString(string(english), "msgid \"$1\"\nmsgstr \"‹$1›\"")
	plural := regexp.MustCompile(`(?m)^msgid_plural "(.+)"\nmsgstr.0. ""\nmsgstr.1. ""$`)
	text = plural.ReplaceAllString(text, "msgid_plural \"$1\"\nmsgstr[0] \"‹$1›\"\nmsgstr[1] \"‹$1›\"")
	for _, m := range more {
		text += fmt.Sprintf("\nmsgid %q\nmsgstr \"«%s»\"\n", m, m)
	}
	c, err := words.Read([]byte(strings.Replace(text, `"Language: \n"`, `"Language: und\n"`, 1)))
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// unsaid lists the texts of a page, and what is spoken of its pictures and
// fields, that are in no catalogue.
func unsaid(n *html.Node) (texts []string) {
	if n.Type == html.TextNode && !strings.Contains(n.Data, "‹") {
		texts = append(texts, strings.Join(strings.Fields(n.Data), " "))
	}
	if n.Data == "script" || n.Data == "style" || n.Data == "pre" || n.Data == "textarea" || shoptest.Attribute(n, "translate") == "no" {
		return nil
	}
	for child := n.FirstChild; child != nil; child = child.NextSibling {
		texts = append(texts, unsaid(child)...)
	}
	return texts
}

// data is what comes from files and people: figures with their units, and the
// names in the parts, brakes and jobs of these tests.
var data = regexp.MustCompile(`\d|^Test |^[a-z-]+(, [a-z-]+)*$|^(tray|bars)[.\[]|^Long bench brake$|→|^(Instrument drip tray|Rail foot, lipped|Hillside Pumps)$|^density \(|^(AB|CD|EF)$|N/mm|\(owner\)$`)

// Every text of every page stands in the catalogue of the English, so that it
// can be put into another language.
func TestEveryPageIsInWords(t *testing.T) {
	for _, fill := range shoptest.Shops {
		office, session, samples := fill(t)
		office.Restart(func(o *server.Options) { o.Words = marked(t) })
		for _, v := range samples {
			_, body := office.AnswerTo(v, session)
			checkSaid(t, v.Name, body)
		}
	}
	shop, _ := shoptest.BusyShop(t)
	shop.Restart(func(o *server.Options) { o.Words = marked(t) })
	for _, v := range shoptest.PhoneViews {
		_, body := shop.Get(v.Path)
		checkSaid(t, v.Name, body)
	}
	_, bundle := shop.Get("/t/" + shoptest.ChannelCode + "/bundle")
	checkSaid(t, "bundle", bundle)
}

var inWords = regexp.MustCompile(`\p{Ll}{2}`)

func checkSaid(t *testing.T, name, body string) {
	t.Helper()
	for _, text := range unsaid(shoptest.Parsed(t, body)) {
		if inWords.MatchString(text) && !data.MatchString(text) {
			t.Errorf("%s: %q is in no catalogue", name, text)
		}
	}
	if !strings.Contains(body, `<html lang="und">`) {
		t.Errorf("%s does not say which language it is in", name)
	}
}

// A refusal and the answer to a reading come in the language too, but what a
// program reads does not change.
func TestAnswersInWords(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.Restart(func(o *server.Options) { o.Words = marked(t) })
	_, answer := s.PostJSON("/t/"+shoptest.ChannelCode+"/readings", `{"id":"w1","piece":1,"step":1,"measured":45.3}`)
	if !strings.Contains(answer, `"advice":"‹In tolerance`) || !strings.Contains(answer, `"state":"as-bent"`) {
		t.Errorf("answer to a reading = %s, want its advice in the language and no more", answer)
	}
	_, refused := s.PostJSON("/t/"+shoptest.ChannelCode+"/readings", `{"id":"w2","piece":99,"step":1,"measured":45.3}`)
	if !strings.Contains(refused, `"message":"‹`) || !strings.Contains(refused, `"field":"piece"`) {
		t.Errorf("refusal = %s, want its message in the language", refused)
	}
}

// typed are texts that people typed into the shops of these tests.
var typed = []string{
	"DT-310", "L-100", "Instrument drip tray", "Rail foot, lipped", "Long bench brake", "leaf brake 1.2 m", "P-7", "H 4711",
	"CD", "AB", "EF", "J-1041", "J-1043", "J-1050", "1041", "new pack opened", "all made", "bent the wrong way", "Tray 7", "DEEP-1", "REV-12345",
}

// What people typed is never looked up, wherever it stands: not by itself, not in a
// sentence, not in an attribute. Here it all stands in the catalogue.
func TestTypedIsNeverLookedUp(t *testing.T) {
	c := marked(t, typed...)
	for _, fill := range shoptest.Shops {
		office, session, samples := fill(t)
		office.Restart(func(o *server.Options) { o.Words = c })
		for _, v := range samples {
			_, body := office.AnswerTo(v, session)
			checkTyped(t, v.Name, body)
		}
	}
	shop, _ := shoptest.BusyShop(t)
	shop.Restart(func(o *server.Options) { o.Words = c })
	for _, v := range shoptest.PhoneViews {
		_, body := shop.Get(v.Path)
		checkTyped(t, v.Name, body)
	}
	_, bundle := shop.Get("/t/" + shoptest.ChannelCode + "/bundle")
	checkTyped(t, "bundle", bundle)
}

func checkTyped(t *testing.T, name, body string) {
	t.Helper()
	for _, found := range translated.FindAllString(body, -1) {
		t.Errorf("%s: what was typed comes translated: %s", name, found)
	}
}

var translated = regexp.MustCompile(`.{0,60}«[^»]*».{0,20}`)
