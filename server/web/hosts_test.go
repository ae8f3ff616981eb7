package web

import (
	"os"
	"strings"
	"testing"
)

func TestHosts(t *testing.T) {
	name, err := os.Hostname()
	if err != nil {
		t.Fatal(err)
	}
	short, _, _ := strings.Cut(name, ".")
	own := hostsOf("https://brake.shop.example/", []string{"Bench.Example"})
	for host, want := range map[string]bool{
		"192.0.2.7:8080": true, "192.0.2.7": true, "[2001:db8::1]:8080": true, "[::1]": true, "127.0.0.1:1": true,
		"localhost:8080": true, "LOCALHOST": true, "app.localhost": true, "localhost.": true,
		name: true, short + ":8080": true, strings.ToUpper(short): true, short + ".local": true, short + ".home.arpa:80": true,
		"brake.shop.example:8443": true, "bench.example": true,
		"": false, "evil.example": false, "localhost.evil.example": false, short + ".evil.example": false, "192.0.2.7.evil.example": false,
		"evil-localhost": false, "shop.example": false, "x.brake.shop.example": false, "192.0.2.7:x:y": false, "0x7f000001": false,
	} {
		if got := own.has(plainHost(host)); got != want {
			t.Errorf("own name %q = %v, want %v", host, got, want)
		}
	}
}
