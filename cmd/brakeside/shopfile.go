package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"

	"brakeside/calc/figures"
)

// shopFlags say by whose figures a part is worked out.
type shopFlags struct{ file, rule string }

// on adds the flags to those of a command.
func (f *shopFlags) on(flags *flag.FlagSet) {
	flags.Func("shop", "shop file: the rule for the K-factor, what was measured, materials of your own", filled(&f.file))
	flags.Func("rule", "rule for the K-factor where nothing was measured", named(&f.rule, 80))
}

// shop reads the shop file, if one is named, and the rule.
func (f *shopFlags) shop() (figures.Shop, error) {
	s := figures.Shop{}
	if f.file != "" {
		var err error
		if s, err = readShop(f.file); err != nil {
			return s, err
		}
	}
	if f.rule == "" {
		return s, nil
	}
	s, err := s.WithRule(f.rule)
	if err != nil {
		return s, misused("-%v", err)
	}
	return s, nil
}

func readShop(name string) (figures.Shop, error) {
	data, err := readFile(name)
	if err != nil {
		return figures.Shop{}, err
	}
	s, err := figures.ReadShop(data)
	if err != nil {
		return s, &inFile{name, err}
	}
	return s, nil
}

// shopToChange reads a shop file that is to be written again; where there is
// none yet, one is begun.
func shopToChange(name string) (figures.Shop, error) {
	if _, err := os.Stat(name); errors.Is(err, os.ErrNotExist) {
		return figures.Shop{}, nil
	}
	return readShop(name)
}

// keepShop writes a shop file whole or not at all.
func keepShop(name string, s figures.Shop) error {
	text, err := s.Write()
	if err != nil {
		return fmt.Errorf("writing the shop file: %w", err)
	}
	return writeFile(name, func(w io.Writer) error { _, err := w.Write(text); return err })
}
