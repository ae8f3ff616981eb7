package main

import (
	"context"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"text/template"
)

// unitWords is the unit: the service runs as a user of its own, sees nothing of
// the machine but its folders, and is started again when it ends by mistake.
var unitWords = template.Must(template.New("unit").Parse(`[Unit]
Description=brakeside, sheets and bend log of the shop
After=network-online.target
Wants=network-online.target

[Service]
ExecStart={{.Program}} serve{{range .Arguments}} {{.}}{{end}}
User=brakeside
Group=brakeside
Restart=on-failure
RestartSec=2
TimeoutStopSec=30
UMask=0077
NoNewPrivileges=yes
ProtectSystem=strict
ProtectHome=yes
PrivateTmp=yes
PrivateDevices=yes
ProtectKernelTunables=yes
ProtectKernelModules=yes
ProtectControlGroups=yes
CapabilityBoundingSet=
RestrictAddressFamilies=AF_INET AF_INET6 AF_UNIX AF_NETLINK
RestrictNamespaces=yes
RestrictRealtime=yes
RestrictSUIDSGID=yes
LockPersonality=yes
SystemCallArchitectures=native
ReadWritePaths={{range .Folders}}{{.}} {{end}}

[Install]
WantedBy=multi-user.target
`))

// unitFile writes a unit for systemd to standard output.
func unitFile(_ context.Context, args []string, s streams) error {
	flags := flag.NewFlagSet("unit", flag.ContinueOnError)
	data, addr, base, copies, words := "/srv/brakeside", defaultAddr, "", "", ""
	flags.Func("data", "data folder", filled(&data))
	flags.Func("addr", "address to listen on", named(&addr, mostAddress))
	flags.Func("url", "address that QR codes carry", named(&base, mostAddress))
	flags.Func("backup", "folder for a copy of the store once a day", filled(&copies))
	flags.Func("words", "catalogue that puts the pages into another language (.po)", filled(&words))
	if _, err := arguments(flags, args); err != nil {
		return err
	}
	program, err := os.Executable()
	if err != nil {
		return fmt.Errorf("where this program lies: %w", err)
	}
	view := struct {
		Program            string
		Arguments, Folders []string
	}{Program: program, Arguments: []string{"-data", data, "-addr", addr}, Folders: []string{data}}
	if base != "" {
		view.Arguments = append(view.Arguments, "-url", base)
	}
	if copies != "" {
		view.Arguments, view.Folders = append(view.Arguments, "-backup", copies), append(view.Folders, copies)
	}
	if words != "" {
		view.Arguments = append(view.Arguments, "-words", words)
	}
	for _, word := range append(view.Arguments, view.Program) {
		if strings.ContainsAny(word, " \t\n\"'\\%$") {
			return misused("unit: %q has a sign that systemd would take apart; give a plainer one", word)
		}
	}
	for _, folder := range view.Folders {
		if !filepath.IsAbs(folder) {
			return misused("unit: %s is no whole path; begin it with /", folder)
		}
	}
	return unitWords.Execute(s.out, view)
}
